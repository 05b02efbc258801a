package practice_test

import (
	"encoding/json"
	"testing"

	"whistlestop/internal/demo"
	"whistlestop/practice/maker"
	"whistlestop/practice/script"
)

// drillsOf are the drills, with the invented rink card.
func drillsOf(t testing.TB) []script.Script {
	t.Helper()
	list, err := maker.Drills(must(json.Marshal(demo.Card().Card)))
	if err != nil {
		t.Fatal(err)
	}
	return list
}
