package main

import (
	"encoding/json"
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
	goal := entry.Goal{Side: entry.Home, Scorer: "12", Assists: []entry.Jersey{"8", ""}}
	list := []entry.Body{
		entry.GameOpened{
			Division: division,
			Home:     entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "12", Captain: true}}},
			Visitors: entry.Team{Name: "Millrace"},
		},
		entry.RosterSet{Side: entry.Visitors, Team: entry.Team{Name: "Northmole"}},
		entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: 720_000},
		entry.ClockStarted{Elapsed: 0, Error: 4}, entry.ClockStopped{Elapsed: 81_000},
		entry.ClockSet{Elapsed: 80_000}, entry.TimeOut{Side: entry.Home, Length: 60_000}, goal,
		entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}},
		entry.Choice{Question: "q", Picks: []entry.Jersey{"7"}}, entry.SetAside{Item: "i"},
		entry.Note{Text: "n"}, entry.BoardRead{Elapsed: 1}, entry.BenchSet{Clock: entry.Beside},
		entry.RunningTime{On: true}, entry.Goalkeeper{Side: entry.Home, Number: "1"}, entry.Delay{Why: entry.Ice},
		entry.DelayOver{}, entry.Seated{Side: entry.Home, Player: "4", In: true},
		entry.CardSet{Card: json.RawMessage(`{}`)}, entry.Ticked{Step: "x"},
		entry.Shots{Side: entry.Home, Count: 3}, entry.FaceOff{Won: entry.Visitors, Home: "9"},
		entry.Attempt{Side: entry.Home, Player: "9", Goalkeeper: "30", Scored: true, On: entry.ShootOutAttempt},
		entry.Announced{What: "goal/1"}, entry.RosterConfirmed{Side: entry.Home, By: "Head coach"},
		entry.CrewSet{Officials: []entry.Official{{Role: entry.Referee, Name: "R. Example"}}},
		entry.Signed{Role: entry.Scorer, Name: "S. Example", Drawing: "M0 0L10 10"},
		entry.Sealed{Version: 1, Head: strings.Repeat("a", 64), Key: "a2V5", Signature: "c2ln"},
		entry.ClockDoubted{Elapsed: 60_000, Asleep: 5000},
		entry.Withdrawn{Texts: []string{"#" + strings.Repeat("A", 43)}, Lines: []entry.WithdrawnLine{{Entry: "01JD000000000000000000000A", Hash: strings.Repeat("a", 64)}}, Key: "a2V5", Signature: "c2ln"},
		entry.Amended{To: goal}, entry.Struck{Reason: "wrong side"},
	}
	var ledger []entry.Entry
	prev := ""
	for i, b := range list {
		e := entry.Entry{
			ID: "01JD00000000000000000000" + string("ABCDEFGHJKMNPQRSTVWXYZ0123456789IL"[i]) + "0", Game: "01JD0000000000000000000000",
			Seq: i + 1, Wall: 1_764_000_000_000 + entry.Millis(i), Seat: entry.Solo, Prev: prev, Body: b,
			At: entry.At{Period: 1, Elapsed: 81_000},
		}
		if e.Kind() == entry.KindAmended || e.Kind() == entry.KindStruck {
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
