package grade

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/practice/maker"
	"whistlestop/practice/script"
)

// bar is the score that the bar asks for where a coordinator sets none.
const bar = 85

// learners are sixteen robots that do one thing wrong and all else right, by the name
// of their fault in the list of planted ones or with one of their own.
var learners = []struct {
	name  string
	spoil spoil // nil: the planted fault of that name
}{
	{name: "makes no slip", spoil: func(*robot) {}},
	{name: "misses goals"},
	{name: "misses one goal", spoil: once(forget, is[entry.Goal])},
	{name: "swaps sides of goals"},
	{name: "enters goals twice"},
	{name: "leaves a goal that was taken back"},
	{name: "misses calls"},
	{name: "swaps sides of calls"},
	{name: "enters calls twice"},
	{name: "forgets releases"},
	{name: "lets players out early"},
	{name: "stops each clock 8 s late", spoil: lateStops(8_000)},
	{name: "stops late"},
	{name: "hears wrong scorers"},
	{name: "forgets assists"},
	{name: "is slow to be ready"},
}

// TestTheCheckGameHasThemAll: every critical error can be made in the check game.
func TestTheCheckGameHasThemAll(t *testing.T) {
	found := map[Critical]bool{}
	for _, p := range robots {
		r := perfect(maker.Check()).apart()
		p.spoil(r)
		for _, c := range r.grade(t).Critical {
			found[c.Kind] = true
		}
	}
	english := locale.English()
	for _, kind := range Criticals {
		if !found[kind] {
			t.Errorf("nobody can make %s in the check game", kind)
		}
		if key := "drill.critical." + string(kind); english.Text(key, nil) == key {
			t.Errorf("nothing is said for %s", kind)
		}
	}
}

// once keeps a fault to the first entry that it fits.
func once(how func(func(script.Script, entry.Entry) bool) spoil, which func(script.Script, entry.Entry) bool) spoil {
	done := ""
	return how(func(s script.Script, e entry.Entry) bool {
		if !which(s, e) || done != "" && done != s.ID {
			return false
		}
		fits := done == ""
		done = s.ID
		return fits
	})
}

func (r *robot) apart() *robot {
	return &robot{script: r.script, ledger: slices.Clone(r.ledger), acts: slices.Clone(r.acts)}
}

// TestNobodyWithCriticalErrorsReachesTheBar: sixteen learners, each with one fault. Who
// makes critical errors stays below the bar on the check game and on the standard game;
// the table of them is published.
func TestNobodyWithCriticalErrorsReachesTheBar(t *testing.T) {
	if len(learners) != 16 {
		t.Fatalf("%d learners", len(learners))
	}
	english := locale.English()
	var b strings.Builder
	b.WriteString("| Who | Check game | Standard game | What spoils the game |\n|---|---|---|---|\n")
	for _, l := range learners {
		how := l.spoil
		if at := slices.IndexFunc(robots, func(p plant) bool { return p.name == l.name }); how == nil {
			how = robots[at].spoil
		}
		fmt.Fprintf(&b, "| %s |", l.name)
		var said []string
		for _, s := range []script.Script{maker.Check(), maker.Standard()} {
			r := perfect(s).apart()
			if l.name == "misses one goal" {
				how = once(forget, is[entry.Goal])
			}
			how(r)
			g := r.grade(t)
			fmt.Fprintf(&b, " %d |", g.Score)
			if len(g.Critical) > 0 && g.Score >= bar {
				t.Errorf("%s has %d points on the game %s, with %v", l.name, g.Score, s.ID, Kinds(g.Critical))
			}
			for _, c := range g.Critical {
				if s.ID == maker.Check().ID {
					said = append(said, fmt.Sprintf("%s (%d)", english.Say(c.Say), c.Count))
				}
			}
		}
		fmt.Fprintf(&b, " %s |\n", strings.Join(said, "; "))
	}
	const page = "../../docs/practice.md"
	const begin, end = "<!-- learners: made by a test of practice/grade -->\n", "<!-- end of learners -->\n"
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, begun := strings.Cut(string(text), begin)
	was, after, ended := strings.Cut(rest, end)
	if !begun || !ended {
		t.Fatalf("%s has no place for the table", page)
	}
	if was == b.String() {
		return
	}
	if os.Getenv("UPDATE") == "" {
		t.Errorf("%s has another table: UPDATE=1 go test -tags no_ui -run %s ./practice/grade", page, t.Name())
		return
	}
	if err := os.WriteFile(page, []byte(before+begin+b.String()+end+after), 0o644); err != nil {
		t.Fatal(err)
	}
}
