package maker

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/demo"
	"whistlestop/internal/locale"
	"whistlestop/internal/proof/whole"
	"whistlestop/practice/plot"
)

// rinkCard is the invented card of the demonstration.
func rinkCard(tb testing.TB) json.RawMessage {
	tb.Helper()
	raw, err := json.Marshal(demo.Card().Card)
	if err != nil {
		tb.Fatal(err)
	}
	return raw
}

// TestEverySkillHasAGame: the coverage table. A game that was made for a skill
// has it, by what the fold says of its ledger.
func TestEverySkillHasAGame(t *testing.T) {
	for _, skill := range plot.Skills {
		order := Order{Seed: 11, Level: 3, Skills: []plot.Skill{skill}, Division: whole.Division(t, "harbour-u14"), Card: rinkCard(t)}
		s, err := order.Script()
		if err != nil {
			t.Errorf("%s: %v", skill, err)
			continue
		}
		if !slices.Contains(s.Skills, skill) {
			t.Errorf("the game for %s has only %v", skill, s.Skills)
		}
		if s.Clock == entry.Follow && skill != plot.FollowBoard {
			t.Errorf("the game for %s follows the board", skill)
		}
	}
}

// TestOneGameHasThemAll: a game can have every skill at once, but for the board.
func TestOneGameHasThemAll(t *testing.T) {
	all := plot.Skills[:len(plot.Skills)-1]
	s, err := Generate(3, 5, all, whole.Division(t, "harbour-u14"))
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
	if len(drills) != len(plot.Skills) {
		t.Errorf("%d drills for %d skills", len(drills), len(plot.Skills))
	}
	for i, d := range drills {
		played, err := Direct(d.Plot)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains(played.Skills, plot.Skills[i]) || d.Skills[0] != plot.Skills[i] || d.ID != plot.DrillID(plot.Skills[i]) {
			t.Errorf("the drill for %s is %s with %v", plot.Skills[i], d.ID, played.Skills)
		}
		if d.Length < entry.Clock(1, 0) || d.Length > entry.Clock(2, 0) {
			t.Errorf("the drill for %s takes %s", plot.Skills[i], d.Length)
		}
	}
}

// TestThePublishedCoverage: the page with what made games ask for is true.
func TestThePublishedCoverage(t *testing.T) {
	const games = 30
	drills, err := Drills(rinkCard(t))
	if err != nil {
		t.Fatal(err)
	}
	var made [plot.Levels + 1]map[plot.Skill]int
	for level := 1; level <= plot.Levels; level++ {
		made[level] = map[plot.Skill]int{}
		for seed := range games {
			s, err := Generate(uint32(seed), level, nil, whole.Division(t, "harbour-u14"))
			if err != nil {
				t.Fatal(err)
			}
			for _, skill := range s.Skills {
				made[level][skill]++
			}
		}
	}
	english := locale.English()
	var b strings.Builder
	fmt.Fprintf(&b, "# What practice games ask for\n\nMade by the program; do not edit. What a game asks for is read from the fold of its full answer, "+
		"not from what it was made for.\n\n## Skills\n\nThe last columns: of %d games for each level, made with no skill named, as many ask for it. "+
		"A game that is made for a skill always has it; where that cannot be, no game is made and the reason is said.\n\n"+
		"| Skill | Its drill | Standard game | Level 1 | 2 | 3 | 4 | 5 |\n|---|---|---|---|---|---|---|---|\n", games)
	for i, skill := range plot.Skills {
		standard := ""
		if slices.Contains(Standard().Skills, skill) {
			standard = "yes"
		}
		fmt.Fprintf(&b, "| %s | `%s`, %s | %s |", english.Text("drill.skill."+string(skill), nil), drills[i].ID, drills[i].Length, standard)
		for level := 1; level <= plot.Levels; level++ {
			fmt.Fprintf(&b, " %d |", made[level][skill])
		}
		b.WriteString("\n")
	}
	b.WriteString("\n## Events in a hundred hours of play\n\nMeasured in the open data (see [practice.md](practice.md)) and counted in made games of level 5; " +
		"a test holds them within an eighth of each other.\n\n| Event | Measured | Made |\n|---|---|---|\n")
	for _, r := range madeRates(t, 400) {
		fmt.Fprintf(&b, "| %s | %d | %d |\n", r.name, r.rate, r.made)
	}
	b.WriteString("\n## Rule books\n\nUnder each of them, games of every level, division and choice of skills are drawn anew in each test run: nothing is refused or " +
		"warned of, the bench is ready at every drop, and the fold and a second implementation of the box have the same skaters at every second.\n\n")
	for _, code := range rulebook.Codes() {
		fmt.Fprintf(&b, "- %s, %s\n", code.Name, code.Edition)
	}
	published(t, "../../docs/practice-coverage.md", b.String())
}

func TestStandardGame(t *testing.T) {
	s := Standard()
	want := slices.DeleteFunc(slices.Clone(plot.Skills), func(k plot.Skill) bool { return k == plot.RunningTime || k == plot.FollowBoard })
	if s.ID != "standard" || !slices.Equal(s.Skills, want) {
		t.Errorf("%s has %v", s.ID, s.Skills)
	}
}
