package card_test

import (
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/internal/locale"
)

// lamped is a card whose board has lamps beside its lines.
const lamped = `id = "north"
rink = "North Rink"
[board]
lamps = "left lamp, right lamp, bench lamp"
[words]
home = "left"
visitors = "right"
[[steps]]
when = "before_game"
do = ["Turn it on.", "Wait."]
lit = ["left lamp, right lamp", "bench lamp"]
[[steps]]
when = "goal"
do = ["Score {score}."]
dark = ["{side} lamp"]
[[steps]]
when = "goal_taken_back"
do = ["Score {score}."]
lit = ["{side} lamp"]
`

func lampCard(t *testing.T) card.Card {
	t.Helper()
	c, err := card.Parse([]byte(lamped), "north.toml")
	if err != nil {
		t.Fatal(locale.English().Error(err))
	}
	return c
}

// lampWords are lamps in one line: "left lamp lit, right lamp dark".
func lampWords(lamps []card.Lamp) string {
	var list []string
	for _, l := range lamps {
		list = append(list, l.Name+map[bool]string{true: " lit", false: " dark"}[l.Lit])
	}
	return strings.Join(list, ", ")
}

// TestLampsOfTheBoard: what the board should show of its lamps follows the steps, whether they
// were ticked yet or not, and what was taken back.
func TestLampsOfTheBoard(t *testing.T) {
	g := newGame(t, nil)
	g.use(lampCard(t))
	reads := func(want string) {
		t.Helper()
		if got := lampWords(g.look().Board.Lamps); got != want {
			t.Errorf("the board should show %q, not %q", want, got)
		}
	}
	all := "left lamp lit, right lamp lit, bench lamp lit"
	reads(all)
	g.tickAll()
	reads(all)
	g.period(1)
	g.play(1, 0)
	goal := g.post(entry.Goal{Side: entry.Visitors, Scorer: "9"})
	if steps := g.look().Steps; len(steps) != 1 || lampWords(steps[0].Lamps) != "right lamp dark" {
		t.Errorf("%+v", steps)
	}
	reads("left lamp lit, right lamp dark, bench lamp lit")
	g.tickAll()
	reads("left lamp lit, right lamp dark, bench lamp lit")
	g.of(goal, entry.Struck{})
	reads(all)
	g.tickAll()
	reads(all)
}

// TestLampsThatNobodySpokeOf: a card that comes into use during a game says nothing of a lamp
// before a step does.
func TestLampsThatNobodySpokeOf(t *testing.T) {
	g := newGame(t, nil)
	g.period(1)
	g.use(lampCard(t))
	if got := g.look().Board.Lamps; len(got) > 0 {
		t.Errorf("the board should show %+v", got)
	}
	g.play(1, 0)
	g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	if got := lampWords(g.look().Board.Lamps); got != "left lamp dark" {
		t.Errorf("the board should show %q", got)
	}
}

func TestFaultsOfLamps(t *testing.T) {
	for what, test := range map[string]struct{ from, to, want string }{
		"a lamp that is not there": {`"bench lamp"]`, `"bench lam"]`, `line 11: there is no lamp "bench lam" on this board; its lamps are: left lamp, right lamp, bench lamp`},
		"a side without a lamp":    {`"left lamp, right lamp, bench`, `"right lamp, bench`, `there is no lamp "left lamp"`},
		"no lamps at all":          {"lamps = \"left lamp, right lamp, bench lamp\"", "", `there is no lamp "left lamp": this board has no lamps yet`},
		"a lamp twice":             {`right lamp, bench lamp"`, `left lamp, bench lamp"`, `line 4: two lamps are named "left lamp"`},
		"a brace in a name":        {`right lamp, bench lamp"`, `{right} lamp, bench lamp"`, `line 4: the name of the lamp "{right} lamp"`},
		"lit and dark":             {`dark = ["{side} lamp"]`, "dark = [\"{side} lamp\"]\nlit = [\"{side} lamp\"]", `line 15: the same step says "{side} lamp" twice`},
		"more than steps":          {`dark = ["{side} lamp"]`, `dark = ["{side} lamp", "left lamp"]`, "goal has lamps for 2 steps and has 1 steps"},
		"another gap":              {`dark = ["{side} lamp"]`, `dark = ["lamp {score}"]`, "line 15: {score} cannot stand in the name of a lamp"},
		"a side that nobody said":  {`"bench lamp"]`, `"{side} lamp"]`, "line 11: {side} cannot stand in the name of a lamp"},
		"thirteen lamps":           {`bench lamp"`, `c, d, e, f, g, h, i, j, k, l, m"`, "line 4: a board has at most 12 lamps"},
		"keys that say no side": {"[[steps]]\nwhen = \"goal\"\n", "[console]\nrows = [\"a, 1, 2, 3, 4, 5, 6, 7, 8, 9, 0\"]\n[[steps]]\nwhen = \"goal\"\npress = ['{home}, a, {visitors}, a']\n",
			"the keys of goal do not say the side"},
	} {
		text := strings.Replace(lamped, test.from, test.to, 1)
		if text == lamped {
			t.Fatalf("%s: nothing was changed", what)
		}
		_, err := card.Parse([]byte(text), "north.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), test.want) {
			t.Errorf("%s: %v\nwant %s", what, locale.English().Error(err), test.want)
		}
	}
}

// TestLampsInAFile: a card with lamps comes back from its file, and one without has no word of
// them in it.
func TestLampsInAFile(t *testing.T) {
	c := lampCard(t)
	again, err := card.Parse(card.Write(c), "north.toml")
	if err != nil || !reflect.DeepEqual(again, c) {
		t.Errorf("%v\n%s", err, card.Write(c))
	}
	for _, name := range []string{"lamps =", "lit =", "dark ="} {
		if text := string(card.Write(c)); !strings.Contains(text, name) {
			t.Errorf("no %q in\n%s", name, text)
		}
	}
	bare := strings.NewReplacer(`lamps = "left lamp, right lamp, bench lamp"`, "", `lit = ["left lamp, right lamp", "bench lamp"]`, "",
		`dark = ["{side} lamp"]`, "", `lit = ["{side} lamp"]`, `lit = [""]`).Replace(lamped)
	without, err := card.Parse([]byte(bare), "north.toml")
	if err != nil {
		t.Fatal(locale.English().Error(err))
	}
	for _, name := range []string{"lamp", "lit", "dark"} {
		if text := string(card.Write(without)); strings.Contains(text, name) {
			t.Errorf("%q in\n%s", name, text)
		}
	}
}

// TestLampsInAForm: each fault stands beside its field, the others stay as they are, and the
// preview has the lamps as they will be.
func TestLampsInAForm(t *testing.T) {
	form := card.FormOf(lampCard(t))
	form.Card.Steps[0].Lit = []string{"left lam", "bench lamp"}
	form.Card.Steps[1].Dark = []string{"lamp"}
	c, faults := form.Whole()
	var fields []string
	for _, f := range faults {
		fields = append(fields, f.Field)
	}
	if got := strings.Join(fields, " "); got != "before_game.0.lamps goal.0.lamps" {
		t.Errorf("faults at %s", got)
	}
	if c.Steps[0].Lit[0] != "left lam" {
		t.Errorf("what was filled in became %q", c.Steps[0].Lit)
	}
	form.Card.Board.Lamps = strings.Repeat("l", 30)
	if c, faults = form.Whole(); len(faults) != 1 || faults[0].Field != "lamps" || c.Steps[0].Lit[1] != "bench lamp" {
		t.Errorf("%+v, %+v", faults, c.Steps)
	}
	for _, seen := range card.Preview(lampCard(t)) {
		if seen.When == card.Goal && lampWords(seen.Steps[0].Lamps) != "left lamp dark" {
			t.Errorf("%+v", seen)
		}
	}
}
