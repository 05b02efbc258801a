package league_test

import (
	"testing"

	"whistlestop/season/league"
)

// Each age, with the switch of the association off and on.
func TestShown(t *testing.T) {
	for _, test := range []struct {
		division league.Division
		off, on  league.Shown
	}{
		{league.Division{}, league.ByNumber, league.ByNumber},
		{league.Division{Age: "youth"}, league.ByNumber, league.ByNumber},
		{league.Division{Age: "youth", Youngest: 8}, league.ByNumber, league.ByNumber},
		{league.Division{Age: "youth", Youngest: 13}, league.ByNumber, league.ByNumber},
		{league.Division{Age: "youth", Youngest: 14}, league.ByNumber, league.ByInitial},
		{league.Division{Age: "youth", Youngest: 17}, league.ByNumber, league.ByInitial},
		{league.Division{Age: "youth", Youngest: 18}, league.ByName, league.ByName},
		{league.Division{Age: "adult"}, league.ByName, league.ByName},
		{league.Division{Age: "adult", Youngest: 16}, league.ByNumber, league.ByInitial}, // a junior who is called up
		{league.Division{Age: "adult", Youngest: 12}, league.ByNumber, league.ByNumber},
		{league.Division{Age: "adult", Youngest: 20}, league.ByName, league.ByName},
	} {
		for initials, want := range map[bool]league.Shown{false: test.off, true: test.on} {
			if got := test.division.Shown(initials); got != want {
				t.Errorf("%+v, initials %v: %q, want %q", test.division, initials, got, want)
			}
		}
	}
}

func TestShorten(t *testing.T) {
	for name, want := range map[string][3]string{
		"Robin Ashdown":         {"", "Robin A.", "Robin Ashdown"},
		"Åsa  Östergren Blom":   {"", "Åsa B.", "Åsa Östergren Blom"},
		"Ashdown, Robin":        {"", "Robin A.", "Ashdown, Robin"},
		"Ashdown":               {"", "A.", "Ashdown"},
		"Éa":                    {"", "É.", "Éa"},
		"":                      {"", "", ""},
		"  ":                    {"", "", ""},
		"Robin van der Ashdown": {"", "Robin A.", "Robin van der Ashdown"},
	} {
		for i, naming := range []league.Shown{league.ByNumber, league.ByInitial, league.ByName} {
			if got := naming.Shorten(name); got != want[i] {
				t.Errorf("%q %q: %q, want %q", name, naming, got, want[i])
			}
		}
	}
}
