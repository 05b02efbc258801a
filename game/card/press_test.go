package card_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/internal/locale"
)

// keys writes what is pressed in a row, with what the display reads then.
func keys(steps []card.Step) string {
	var list []string
	for _, s := range steps {
		for _, k := range s.Keys {
			one := k.Key
			if k.Shows != "" {
				one += " (" + k.Shows + ")"
			}
			list = append(list, one)
		}
	}
	return strings.Join(list, ", ")
}

func TestKeysAreFilledIn(t *testing.T) {
	g := newGame(t, nil)
	g.use(saltworks(t))
	g.period(1)
	g.tickAll()
	g.play(2, 10)
	g.post(minor(entry.Visitors, "5"))
	want := "guest drawer (Time), 1, 3, 0, latch (Number), 0, 5, guest drawer (Line 1)"
	if got := keys(g.look().Steps); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	g.tickAll()
	g.play(2, 40)
	g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	want = "home bell (home 1), guest drawer, 1, sponge key (Line free)"
	if got := keys(g.look().Steps); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}

// A penalty whose number is to follow has words and no keys: half a number is not typed.
func TestAnUnknownNumberIsNotTyped(t *testing.T) {
	g := newGame(t, nil)
	g.use(saltworks(t))
	g.period(1)
	g.tickAll()
	g.play(2, 10)
	g.post(minor(entry.Visitors, ""))
	steps := g.look().Steps
	if len(steps) != 2 || len(steps[0].Keys) != 5 || steps[1].Keys != nil {
		t.Errorf("%+v", steps)
	}
}

const keyed = `id = "north"
rink = "North Rink"
[console]
rows = ["bell, door", "1, 2, 3, 4, 5, 6, 7, 8, 9, 0"]
[[steps]]
when = "goal"
do = ["Score {score}."]
press = ['bell, {score}, door, "IN"']
`

func TestFaultsOfKeys(t *testing.T) {
	for what, test := range map[string]struct{ from, to, want string }{
		"a key that is not there":  {`'bell`, `'bel`, `line 8: there is no key "bel" on this console; its keys are: bell, door, 1`},
		"no console":               {"[console]\nrows = [\"bell, door\", \"1, 2, 3, 4, 5, 6, 7, 8, 9, 0\"]\n", "", "line 6: a step says keys, and the console has none"},
		"a key twice":              {`, door"`, `, bell"`, `line 4: two keys are named "bell"`},
		"a digit that is missing":  {`9, 0`, `9`, `line 8: {score} is typed digit by digit, and the console has no key 0`},
		"a quote left open":        {`"IN"'`, `"IN'`, "line 8: what the display reads begins with a quote"},
		"a reading before any key": {`'bell`, `'"X", bell`, "line 8: write in quotes what the display reads after a key"},
		"two commas":               {`'bell,`, `'bell,,`, "line 8: there are two commas"},
		"a comma forgotten":        {`door, "IN"`, `door "IN"`, `line 8: write a comma before and after`},
		"a value without an end":   {`, door, "IN"`, ``, "line 8: {score} can have one digit or more"},
		"a value of another":       {`{score}, door`, `{line}, door`, "line 8: there is no {line} in the steps of goal"},
		"a team as a key":          {`'bell`, `'{team}`, "line 8: {team} is no key"},
		"a side that is not told":  {`'bell, {score}`, `'bell, {score}`, "line 8: the keys of goal do not say {side} or {home} or {visitors}"},
		"more keys than steps":     {`IN"'`, `IN"', "bell"`, "line 6: goal has keys for 2 steps"},
		"a clear that is no key":   {`[[steps]]`, "clear = \"mop\"\n[[steps]]", `line 5: there is no key "mop"`},
		"a trouble by half":        {`'bell, {score}, door, "IN"']`, "\"\"]\n[[trouble]]\nshows = \"E\"", "line 9: write both, what it shows"},
	} {
		text := strings.Replace(keyed, test.from, test.to, 1)
		_, err := card.Parse([]byte(text), "north.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), test.want) {
			t.Errorf("%s: %v\nwant %s", what, locale.English().Error(err), test.want)
		}
	}
	good := strings.Replace(keyed, "'bell,", "'{side} bell,", 1)
	good = strings.Replace(good, `"bell, door"`, `"home bell, visitors bell, door"`, 1)
	if _, err := card.Parse([]byte(good), "north.toml"); err != nil {
		t.Error(locale.English().Error(err))
	}
}

// TestAllFaultsOfAForm: somebody who fills in a form is told every fault at once,
// each beside its field.
func TestAllFaultsOfAForm(t *testing.T) {
	form := card.FormOf(saltworks(t))
	form.Card.Rink, form.Card.Words.Home = " ", ""
	form.Card.Steps[1].Press = []string{"cow bell"}
	_, faults := form.Whole()
	var fields []string
	for _, f := range faults {
		fields = append(fields, f.Field)
	}
	if got := strings.Join(fields, " "); got != "rink home before_game.0.press" && got != "rink home goal.0.press" {
		t.Errorf("faults at %s", got)
	}
	if _, err := form.File(); err == nil {
		t.Error("a form with faults became a file")
	}
}

// TestContactsStayAtHome: what a ledger carries has no name and number in it.
func TestContactsStayAtHome(t *testing.T) {
	c := saltworks(t)
	if len(c.Contacts) == 0 {
		t.Fatal("the card of the demo has nobody to call")
	}
	raw, err := json.Marshal(c)
	if err != nil || strings.Contains(string(raw), c.Contacts[0].Call) {
		t.Errorf("%s, %v", raw, err)
	}
	text, err := card.FormOf(c).File()
	if err != nil || !strings.Contains(string(text), c.Contacts[0].Call) {
		t.Errorf("%s, %v", text, err)
	}
}

// TestAnOldCardIsWhatItWas: a card without keys is carried by a ledger byte for byte
// as before cards had any.
func TestAnOldCardIsWhatItWas(t *testing.T) {
	text, err := os.ReadFile("../../testdata/kept/2026-11-25/folder/cards/saltworks.toml")
	if err != nil {
		t.Fatal(err)
	}
	c, err := card.Parse(text, "saltworks.toml")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"console", "press", "plugged", "trouble", "contacts"} {
		if strings.Contains(string(raw), `"`+name+`"`) {
			t.Errorf("%s is in %s", name, raw)
		}
	}
}

func TestPreviewSaysWhatIsSeen(t *testing.T) {
	seen := card.Preview(saltworks(t))
	if len(seen) != 15 || seen[0].When != card.SetTime || seen[6].Steps[0].Text != "Tap the home bell once. The home score reads 2." {
		t.Errorf("%+v", seen)
	}
	for rink, id := range map[string]string{"Saltworks Arena": "saltworks-arena", " Été, 2 ": "t-2", "氷": "rink"} {
		if got := card.IDOf(rink); got != id {
			t.Errorf("%q is %s, want %s", rink, got, id)
		}
	}
}
