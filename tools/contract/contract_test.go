package main

import (
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/jsonschema-go/jsonschema"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

func TestEveryKindHasABody(t *testing.T) {
	var kinds []entry.Kind
	for _, b := range append(slices.Clone(bodies), entry.Amended{}) {
		kinds = append(kinds, b.Kind())
	}
	slices.Sort(kinds)
	want := slices.Sorted(slices.Values(entry.Kinds))
	if !slices.Equal(kinds, want) {
		t.Errorf("the contract has bodies of %v; the kinds of entry are %v", kinds, want)
	}
}

func TestStringSetsAreClosed(t *testing.T) {
	definitions := define(t)
	for name, members := range map[string]int{
		"Kind": len(entry.Kinds), "Part": len(entry.Parts), "Side": len(entry.Sides), "GoalOn": 3,
	} {
		if got := len(definitions[name].Enum); got != members {
			t.Errorf("%s has %d members in the schema, %d in Go", name, got, members)
		}
	}
}

// sample is a ledger with an entry of every kind.
func sample(t *testing.T) []entry.Entry {
	t.Helper()
	divisions := rulebook.Divisions()
	if len(divisions) == 0 {
		t.Fatal("there is no division")
	}
	division, err := json.Marshal(divisions[0])
	if err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile("../../game/entry/testdata/bodies.json")
	if err != nil {
		t.Fatal(err)
	}
	var samples map[entry.Kind]json.RawMessage
	if err := json.Unmarshal(raw, &samples); err != nil {
		t.Fatal(err)
	}
	list := make([]entry.Body, 0, len(entry.Kinds))
	for _, kind := range entry.Kinds {
		if kind == entry.KindAmended {
			list = append(list, entry.Amended{To: list[7]})
			continue
		}
		body := reflect.New(reflect.TypeOf(kind.About().Body))
		if err := json.Unmarshal(samples[kind], body.Interface()); err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		list = append(list, body.Elem().Interface().(entry.Body))
	}
	opened := list[0].(entry.GameOpened)
	opened.Division = division
	list[0] = opened
	var ledger []entry.Entry
	prev := ""
	for i, b := range list {
		e := entry.Entry{
			ID: fmt.Sprintf("01JD0000000000000000000%03d", i), Game: "01JD0000000000000000000000",
			Seq: i + 1, Wall: 1_764_000_000_000 + entry.Millis(i), Seat: entry.Solo, Prev: prev, Body: b,
			At: entry.At{Period: 1, Elapsed: 81_000},
		}
		if e.Kind().Edits() {
			e.Of = ledger[7].ID
		}
		if err := e.Validate(); err != nil {
			t.Fatalf("%s: %v", e.Kind(), err)
		}
		if prev, err = e.Hash(); err != nil {
			t.Fatal(err)
		}
		ledger = append(ledger, e)
	}
	return ledger
}

func TestLedgerSchemaTakesRealEntries(t *testing.T) {
	schema := resolve(t, Ledger(define(t)))
	for _, e := range sample(t) {
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value(t, line)); err != nil {
			t.Errorf("%s is refused: %v\n%s", e.Kind(), err, line)
		}
	}
}

func TestLedgerSchemaRefuses(t *testing.T) {
	schema := resolve(t, Ledger(define(t)))
	ledger := sample(t)
	line, err := ledger[7].MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	for what, change := range map[string][2]string{
		"a side that does not exist": {`"side":"home"`, `"side":"referee"`},
		"a misspelt field":           {`"scorer"`, `"scoorer"`},
		"a field too many":           {`"specversion"`, `"colour":"red","specversion"`},
		"a body of another kind":     {`whistlestop.goal.v1`, `whistlestop.note.v1`},
		"another version":            {`goal.v1`, `goal.v7`},
		"a jersey with letters":      {`"scorer":"12"`, `"scorer":"1b"`},
		"time that is not whole":     {`"elapsed_ms":81000`, `"elapsed_ms":81000.5`},
	} {
		changed := strings.Replace(string(line), change[0], change[1], 1)
		if changed == string(line) {
			t.Errorf("%s: nothing was changed in %s", what, line)
		}
		if schema.Validate(value(t, []byte(changed))) == nil {
			t.Errorf("%s is accepted: %s", what, changed)
		}
	}
}

func define(t *testing.T) map[string]*jsonschema.Schema {
	t.Helper()
	definitions, err := Definitions("../..")
	if err != nil {
		t.Fatal(err)
	}
	return definitions
}

func resolve(t *testing.T, schema *jsonschema.Schema) *jsonschema.Resolved {
	t.Helper()
	resolved, err := schema.Resolve(nil)
	if err != nil {
		t.Fatal(err)
	}
	return resolved
}

func value(t *testing.T, raw []byte) any {
	t.Helper()
	var v any
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatal(err)
	}
	return v
}
