package person_test

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/person"
)

func Example() {
	who, ok := person.Named("Rowan Tidewell")
	fmt.Println(ok, who.In("Hurt: ROWAN  TIDEWELL, knee"), who.In("Rowan Tidewells"))
	// Output: true true false
}

func TestIn(t *testing.T) {
	for _, c := range []struct {
		name, text string
		in         bool
	}{
		{"Rowan Tidewell", "rowan tidewell", true},
		{"Rowan Tidewell", "Tidewell, Rowan", true},
		{"Rowan Ann Tidewell", "TIDEWELL Rowan Ann (C)", true},
		{"Zoë Quay", "Zoe\u0308 Quay hit her head", true}, // one letter, or a letter and its mark
		{"Zoë Quay", "Zoe Quay", false},
		{"Zoë Tidewell-Quay", "Hurt: TIDEWELL-QUAY, ZOË", true},
		{"Rowan Tidewell", "Rowan", false},
		{"Rowan Tidewell", "Rowan and Petra Tidewell", false},
		{"Ann Lee", "Joann Lee", false},
		{"Tidewell", "Rowan Tidewell", true},
	} {
		who, ok := person.Named(c.name)
		if !ok || who.In(c.text) != c.in {
			t.Errorf("%q in %q: %v, %v", c.name, c.text, ok, !c.in)
		}
	}
	for _, short := range []string{"", "  ", "A.", "Bo", "--- ?"} {
		if who, ok := person.Named(short); ok || who.In("") {
			t.Errorf("%q is a name", short)
		}
	}
}

func TestPlaces(t *testing.T) {
	who, _ := person.Named("Rowan Tidewell")
	for name, c := range map[string]struct {
		e      entry.Entry
		places []bool
	}{
		"a roster": {entry.Entry{By: "Rowan Tidewell's phone", Body: entry.RosterSet{Side: entry.Home, Team: entry.Team{
			Players: []entry.Player{{Number: "4", Name: "Idris Calloway"}, {Number: "7", Name: "Rowan Tidewell"}},
			Staff:   []entry.Official{{Name: "Petra Windle"}}}}}, []bool{true, false, true, false}},
		"who signs is gone as a whole": {entry.Entry{By: "Book", Body: entry.Signed{
			Name: "Rowan Tidewell", Code: "RT-1", Drawing: "M0 0"}}, []bool{false, true, true, true}},
		"an amendment": {entry.Entry{Body: entry.Amended{To: entry.Signed{Name: "rowan tidewell", Drawing: "M0 0"}}},
			[]bool{false, true, true, true}},
		"somebody else signs": {entry.Entry{Body: entry.Signed{Name: "Petra Windle", Drawing: "M0 0"}},
			[]bool{false, false, false, false}},
		"a note": {entry.Entry{Body: entry.Note{Text: "Tidewell, Rowan: knee"}}, []bool{false, true}},
	} {
		places, some := who.Places(c.e)
		if !slices.Equal(places, c.places) || some != slices.Contains(c.places, true) {
			t.Errorf("%s: %v, %v", name, places, some)
		}
		clean, found := who.Without(c.e)
		if _, still := who.Places(clean); still || found != some || !some && !reflect.DeepEqual(clean, c.e) {
			t.Errorf("%s without the person: %+v, %v", name, clean, found)
		}
	}
}
