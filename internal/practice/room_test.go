package practice_test

import (
	"encoding/json"
	"testing"

	"whistlestop/internal/demo"
	"whistlestop/practice/drill"
)

// drillsOf are the drills, with the invented rink card.
func drillsOf(t testing.TB) []drill.Script {
	t.Helper()
	list, err := drill.Drills(must(json.Marshal(demo.Card().Card)))
	if err != nil {
		t.Fatal(err)
	}
	return list
}
