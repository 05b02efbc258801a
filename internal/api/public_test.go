package api

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// planter puts a text of its own into every text of a value.
type planter struct {
	paths map[string]string // text to the field that it stands in
}

func (p *planter) fill(v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.String:
		mark := fmt.Sprintf("MARK%04d", len(p.paths))
		p.paths[mark] = path
		v.SetString(mark)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(1)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		p.fill(v.Elem(), path)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				p.fill(v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			p.fill(v.Index(i), path)
		}
	case reflect.Slice:
		if v.Type() == reflect.TypeFor[json.RawMessage]() {
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		p.fill(v.Index(0), path)
	case reflect.Map:
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		p.fill(key, path)
		p.fill(value, path)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(key, value)
	case reflect.Interface:
		if v.Type() == reflect.TypeFor[entry.Body]() {
			mark := fmt.Sprintf("MARK%04d", len(p.paths))
			p.paths[mark] = path
			v.Set(reflect.ValueOf(entry.Goal{Side: entry.Side(mark), Scorer: "MARK", Assists: []entry.Jersey{"MARK"}}))
		}
	}
}

// goesOut are the texts of a state that anybody may read: no name of a person,
// no sentence, nothing of the ledger but which team scored when.
var goesOut = []string{
	".Game", ".Info.", ".Division.", ".Stage.", ".Delay.Why", ".TimeOut.Side", ".Bench.Clock", ".Clock.Doubt.Entry",
	".Periods.Stage.", ".Teams.Side", ".Teams.Name", ".Teams.Colour", ".Teams.Goalkeeper",
	".Goals.Entry", ".Goals.Side", ".Goals.Scorer", ".Goals.Assists", ".Goals.Class", ".Goals.On",
	".Calls.Entry", ".Calls.Side", ".Calls.Player", ".Calls.Call", ".Calls.Parts",
	".Terms.ID", ".Terms.Entry", ".Terms.Row", ".Terms.Side", ".Terms.Player", ".Terms.Sits", ".Terms.Part",
	".Terms.Call", ".Terms.Ended", ".Terms.Door", ".Releases.Side", ".Releases.Term", ".Releases.Sits", ".Releases.Door",
	".Due.Side", ".Due.Sits", ".Due.Player", ".Due.Term", ".Due.Door", ".Due.Why.Key",
	".Book.Shots.", ".Book.Attempts.", ".Book.Keepers.", ".Book.ShootOut.Winner",
	".Lines.Entry", ".Lines.Kind", ".Lines.Seat", ".Lines.Body",
}

// namesGoOut are those that join them where names may be shown.
var namesGoOut = []string{
	".Teams.Players.Number", ".Teams.Players.Name", ".Teams.Players.Position",
}

func leaks(t *testing.T, s rules.State, planted planter) []string {
	t.Helper()
	raw, err := json.Marshal(Public(s))
	if err != nil {
		t.Fatal(err)
	}
	found := []string{}
	for mark, path := range planted.paths {
		if strings.Contains(string(raw), mark) {
			found = append(found, path)
		}
	}
	return found
}

func planted(t *testing.T) (rules.State, planter) {
	t.Helper()
	var s rules.State
	p := planter{paths: map[string]string{}}
	p.fill(reflect.ValueOf(&s).Elem(), "")
	if len(p.paths) < 150 {
		t.Fatalf("only %d texts were planted", len(p.paths))
	}
	for i := range s.Lines {
		s.Lines[i].Struck = false
	}
	for i := range s.Teams {
		s.Teams[i].Players[0].Status = entry.Dressed
	}
	return s, p
}

// What the public view says is listed here: a new field of the state stays in
// the bench until it is on the list.
func TestThePublicViewSaysNoMoreThanItsList(t *testing.T) {
	s, marks := planted(t)
	for _, names := range []bool{false, true} {
		s.Bench.Names = names
		allowed := goesOut
		if names {
			allowed = slices.Concat(goesOut, namesGoOut)
		}
		found := leaks(t, s, marks)
		for _, path := range found {
			if !slices.ContainsFunc(allowed, func(one string) bool {
				return path == one || strings.HasSuffix(one, ".") && strings.HasPrefix(path, one)
			}) {
				t.Errorf("names shown: %v; %s goes out", names, path)
			}
		}
		if got := slices.Contains(found, ".Teams.Players.Name"); got != names {
			t.Errorf("names may be shown: %v; they are: %v", names, got)
		}
		if !slices.Contains(found, ".Teams.Name") || !slices.Contains(found, ".Goals.Scorer") {
			t.Errorf("teams and numbers are missing: %v", found)
		}
	}
	s.Bench.Names = true
	for i := range s.Teams {
		s.Teams[i].Players[0].Status = entry.Absent
	}
	if found := leaks(t, s, marks); slices.Contains(found, ".Teams.Players.Name") {
		t.Error("who is absent is named")
	}
}
