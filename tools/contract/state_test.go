package main

import (
	"encoding/json"
	"testing"

	"github.com/google/jsonschema-go/jsonschema"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// one returns the schema of one definition of the contract, ready to validate.
func one(t *testing.T, name string) *jsonschema.Resolved {
	t.Helper()
	return resolve(t, &jsonschema.Schema{Schema: draft, Ref: prefix + name, Defs: define(t)})
}

func TestStatesKeepTheContract(t *testing.T) {
	schema := one(t, "State")
	ledger := sample(t)
	for last := range ledger {
		state, err := rules.Fold(ledger[:last+1])
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(state)
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value(t, raw)); err != nil {
			t.Errorf("after entry %d (%s): %v\n%s", last+1, ledger[last].Kind(), err, raw)
		}
	}
}

func TestBuiltInCodesAndDivisionsKeepTheContract(t *testing.T) {
	for name, list := range map[string]any{"Code": rulebook.Codes(), "Division": rulebook.Divisions()} {
		schema := one(t, name)
		raw, err := json.Marshal(list)
		if err != nil {
			t.Fatal(err)
		}
		members, ok := value(t, raw).([]any)
		if !ok || len(members) == 0 {
			t.Fatalf("there is no %s", name)
		}
		for _, member := range members {
			if err := schema.Validate(member); err != nil {
				t.Errorf("%s: %v\n%v", name, err, member)
			}
		}
	}
}

func TestPreviewsKeepTheContract(t *testing.T) {
	schema := one(t, "Preview")
	ledger := sample(t)[:7]
	draft := entry.Entry{
		ID: "01JD000000000000000000009A", Game: ledger[0].Game, Seat: entry.Solo,
		At: entry.At{Period: 1, Elapsed: 90_000}, Wall: ledger[0].Wall + 1000,
	}
	for _, body := range []entry.Body{
		entry.Goal{Side: entry.Home, Scorer: "12"},
		entry.Penalty{Side: entry.Visitors, Player: "99", Parts: []entry.Part{entry.Minor, entry.Misconduct}},
		entry.Goal{Side: "referee"}, // refused
	} {
		draft.Body = body
		raw, err := json.Marshal(rules.Consider(ledger, []entry.Entry{draft}, draft.Wall))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value(t, raw)); err != nil {
			t.Errorf("%+v: %v\n%s", body, err, raw)
		}
	}
}
