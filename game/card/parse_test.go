package card_test

import (
	"encoding/json"
	"os"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/internal/locale"
)

const small = `id = "north"
rink = "North Rink"
[board]
penalty_lines = 3
[[steps]]
when = "goal"
do = ["Score {score} for {team}."]
`

func TestWhatACardDoesNotSay(t *testing.T) {
	c, err := card.Parse([]byte(small), "north.toml")
	if err != nil {
		t.Fatal(err)
	}
	want := card.Board{PenaltyLines: 3, ShowsNumbers: true, NumberDigits: 1, CountsDown: true, MostMinutes: 10}
	if c.Board != want || c.Words != (card.Words{Home: "home", Visitors: "visitors", Officials: "officials"}) {
		t.Errorf("%+v", c)
	}
}

func TestFaultsOfACard(t *testing.T) {
	for what, test := range map[string]struct{ from, to, want string }{
		"not TOML":             {`[board]`, `[board`, "north.toml, line 4: expected"},
		"a setting misspelt":   {`penalty_lines`, `penalty_line`, `north.toml, line 4: there is no setting "board.penalty_line"; take it out`},
		"five lines":           {`= 3`, `= 5`, "north.toml, line 4: a board has 1 to 4 penalty lines a side, or 0 for none, not 5"},
		"a word for a number":  {`= 3`, `= "3"`, "north.toml, line 4: board.penalty_lines is text in quotes; write a whole number instead"},
		"three digits":         {`= 3`, "= 3\nnumber_digits = 3", "north.toml, line 5: number_digits is 1"},
		"no minutes":           {`= 3`, "= 3\nmost_minutes = 0", "north.toml, line 5: most_minutes is the most"},
		"an id with a path":    {`"north"`, `"../north"`, "north.toml, line 1: a card needs an id of small letters"},
		"no rink":              {`"North Rink"`, `" "`, "north.toml, line 2: write the name of the rink"},
		"notes without end":    {`[board]`, "notes = \"" + strings.Repeat("n", 401) + "\"\n[board]", "north.toml, line 3: the notes have at most"},
		"an empty word":        {`[[steps]]`, "[words]\nhome = \"\"\n[[steps]]", "north.toml, line 6: the word for home is missing"},
		"no steps":             {"[[steps]]\nwhen = \"goal\"\ndo = [\"Score {score} for {team}.\"]\n", "", "line 1: the card has no steps"},
		"a happening unknown":  {`"goal"`, `"goals"`, `north.toml, line 6: there is no happening "goals"; when is one of: set_time`},
		"a happening twice":    {`[[steps]]`, "[[steps]]\nwhen = \"goal\"\ndo = [\"x\"]\n[[steps]]", "line 6: goal has steps twice"},
		"nothing to do":        {`["Score {score} for {team}."]`, `[]`, "line 6: goal has no steps"},
		"a gap of another":     {`{team}`, `{number}`, "line 7: there is no {number} in the steps of goal; they can have {side}, {team}, {score}, {home}, {visitors}"},
		"a gap left open":      {`{team}`, `{team`, "line 7: there is no {"},
		"an empty gap":         {`{team}`, `{}`, "line 7: there is no {}"},
		"a step of two lines":  {`{team}.`, `{team}.\nAnd more.`, "line 7: a step of goal is empty, has more than"},
		"a step without words": {`Score {score} for {team}.`, ` `, "a step of goal is empty"},
		"a word without end":   {`Score`, strings.Repeat("S", 41), "line 7: a step of goal has a word of more than 40"},
		"too many steps":       {`["Score`, `[` + strings.Repeat(`"x",`, 60) + `"Score`, "and 60 fit on one page"},
		"more than a page":     {`[board]`, "# " + strings.Repeat("x", 33<<10) + "\n[board]", "north.toml: the file has more than 32 kB"},
		"not UTF-8":            {`North`, "N\xffrth", "north.toml: the file is not UTF-8"},
	} {
		text := strings.Replace(small, test.from, test.to, 1)
		if text == small {
			t.Fatalf("%s: nothing was changed", what)
		}
		_, err := card.Parse([]byte(text), "north.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), test.want) {
			t.Errorf("%s: %v\nwant %s", what, err, test.want)
		}
	}
}

// FuzzParse: whatever is read comes back from the JSON that a ledger carries as
// it was. Nothing makes it panic.
func FuzzParse(f *testing.F) {
	f.Add([]byte(small))
	text, err := os.ReadFile("../../internal/demo/cards/saltworks.toml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := card.Parse(text, "fuzz.toml")
		if err != nil {
			if !strings.HasPrefix(locale.English().Error(err), "fuzz.toml") {
				t.Errorf("the file is not named: %v", err)
			}
			return
		}
		again, err := card.Parse(card.Write(c), "again.toml")
		if err != nil || !reflect.DeepEqual(c, again) {
			t.Errorf("written, it became\n%+v, %v\nfrom\n%+v", again, err, c)
		}
		raw, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		c.Contacts, c.Picture = nil, nil // a ledger never carries them
		back, err := card.FromJSON(raw)
		if err != nil {
			t.Fatalf("%s does not come back: %v", raw, err)
		}
		if !reflect.DeepEqual(c, back) {
			t.Errorf("became\n%+v\nfrom\n%+v", back, c)
		}
	})
}

func TestCardOfALedgerIsChecked(t *testing.T) {
	for _, raw := range []string{`{`, `{"colour":"red"}`, `{"id":"x"}`} {
		if _, err := card.FromJSON([]byte(raw)); err == nil {
			t.Errorf("%s was taken", raw)
		}
	}
}
