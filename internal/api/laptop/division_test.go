package laptop

import (
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/rulebook"
)

func TestIdOfADivision(t *testing.T) {
	for name, want := range map[string]string{
		"Under 14 A": "under-14-a", "  U14 -- girls ": "u14-girls", "Ä 12": "12", "": "division", "///": "division",
		strings.Repeat("long ", 30): "long-long-long-long-long-long-long-long-long-long-long-long",
	} {
		if got := slug(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// A setting that is as in the division that was copied keeps its source; what differs
// has the source that somebody gave, or says that none was given; what is not set needs none.
func TestSourcesOfACopiedDivision(t *testing.T) {
	from := rulebook.Divisions()[0]
	own := from
	own.Sources = nil
	changed := "penalties_by_code"
	for key := range settings(from) {
		if len(from.Sources[key]) > 0 {
			changed = key
			break
		}
	}
	same := sources(own, from, "Harbour League, rules of play (invented)")
	if len(same) == 0 || same[changed] != from.Sources[changed] {
		t.Fatalf("%s: %q, want %q", changed, same[changed], from.Sources[changed])
	}
	own.Periods = append(own.Periods[:len(own.Periods):len(own.Periods)], own.Periods[0])
	key := ""
	for k, v := range settings(own) {
		if v != settings(from)[k] {
			key = k
		}
	}
	if key == "" {
		t.Fatal("a further period changes no setting")
	}
	if got := sources(own, from, "Harbour League")[key]; got != "Harbour League" {
		t.Errorf("%s: %q", key, got)
	}
	if got := sources(own, from, "")[key]; got != unsaid {
		t.Errorf("%s without a source: %q", key, got)
	}
	for k, v := range settings(rulebook.Division{}) {
		if settings(own)[k] == v && sources(own, from, "x")[k] != "" {
			t.Errorf("%s is not set and has a source", k)
		}
	}
}

// Every operation of the bench says who may ask and what it is about, and none stands
// twice.
func TestOperationsAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, o := range (&Service{}).Operations() {
		at := o.Method + " " + o.Path
		if seen[at] {
			t.Errorf("%s stands twice", at)
		}
		seen[at] = true
		if reflect.ValueOf(o.Handler).IsZero() || o.About == "" || !strings.HasPrefix(o.Path, "/") {
			t.Errorf("%s is not whole", at)
		}
	}
	if !seen["GET /api/health"] || len(seen) < 40 {
		t.Errorf("%d operations", len(seen))
	}
}
