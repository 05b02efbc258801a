package seating_test

import (
	"os"
	"reflect"
	"testing"

	"whistlestop/crew/seating"
)

func TestWrittenRulesAreReadBack(t *testing.T) {
	text, err := os.ReadFile("../../testdata/league/harbour-crew.toml")
	if err != nil {
		t.Fatal(err)
	}
	rules, err := seating.Read(text, "harbour-crew.toml")
	if err != nil {
		t.Fatal(err)
	}
	written, err := rules.Keep()
	if err != nil {
		t.Fatal(err)
	}
	again, err := seating.Read(written, "again.toml")
	if err != nil || !reflect.DeepEqual(again, rules) {
		t.Errorf("%v\n%s", err, written)
	}
	if _, err := seating.Proposed().Keep(); err != nil {
		t.Error(err)
	}
	rules.Seats[0].Need = "perhaps"
	if _, err := rules.Keep(); err == nil {
		t.Error("rules that cannot be read are written")
	}
}
