package drill

import (
	"encoding/json"
	"os"
	"slices"
	"testing"

	"whistlestop/entry"
	"whistlestop/rulebook"
)

func harbour(tb testing.TB, id string) rulebook.Division {
	tb.Helper()
	for _, d := range rulebook.Divisions() {
		if d.ID == id {
			return d
		}
	}
	tb.Fatalf("no division %q", id)
	return rulebook.Division{}
}

// rinkCard is the invented card of the demonstration.
func rinkCard(tb testing.TB) json.RawMessage {
	tb.Helper()
	text, err := os.ReadFile("../internal/demo/cards/saltworks.toml")
	if err != nil {
		tb.Fatal(err)
	}
	return cardJSON(tb, text)
}

// TestEverySkillHasAGame: the coverage table. A game that was made for a skill
// has it, by what the fold says of its ledger.
func TestEverySkillHasAGame(t *testing.T) {
	for _, skill := range Skills {
		order := Order{Seed: 11, Level: 3, Skills: []Skill{skill}, Division: harbour(t, "harbour-u14"), Card: rinkCard(t)}
		s, err := order.Script()
		if err != nil {
			t.Errorf("%s: %v", skill, err)
			continue
		}
		if !slices.Contains(s.Skills, skill) {
			t.Errorf("the game for %s has only %v", skill, s.Skills)
		}
		if s.Clock == entry.Follow && skill != FollowBoard {
			t.Errorf("the game for %s follows the board", skill)
		}
	}
}

// TestOneGameHasThemAll: a game can have every skill at once, but for the board.
func TestOneGameHasThemAll(t *testing.T) {
	all := Skills[:len(Skills)-1]
	s, err := Generate(3, 5, all, harbour(t, "harbour-u14"))
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(s.Skills, all) {
		t.Errorf("the game has %v", s.Skills)
	}
}

// TestDrillsAreShort: a drill is about its skill, and takes one to two minutes.
func TestDrillsAreShort(t *testing.T) {
	drills, err := Drills(rinkCard(t))
	if err != nil {
		t.Fatal(err)
	}
	if len(drills) != len(Skills) {
		t.Errorf("%d drills for %d skills", len(drills), len(Skills))
	}
	for i, d := range drills {
		played, err := Direct(d.Plot)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains(played.Skills, Skills[i]) || d.Skills[0] != Skills[i] || d.ID != drillID(Skills[i]) {
			t.Errorf("the drill for %s is %s with %v", Skills[i], d.ID, played.Skills)
		}
		if d.Length < entry.Clock(1, 0) || d.Length > entry.Clock(2, 0) {
			t.Errorf("the drill for %s takes %s", Skills[i], d.Length)
		}
	}
}

func TestStandardGame(t *testing.T) {
	s := Standard()
	want := slices.DeleteFunc(slices.Clone(Skills), func(k Skill) bool { return k == RunningTime || k == FollowBoard })
	if s.ID != "standard" || !slices.Equal(s.Skills, want) {
		t.Errorf("%s has %v", s.ID, s.Skills)
	}
}
