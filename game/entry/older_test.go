package entry_test

import (
	"bytes"
	"strings"
	"testing"

	"whistlestop/game/entry"
)

// older is a line of version 1 with texts about people inside.
func older() entry.Entry {
	return entry.Entry{
		ID: "01JD000000000000000000000A", Game: "01JD0000000000000000GAME01", Seq: 1, Wall: 1_700_000_000_000, By: "Dana's phone",
		Body: entry.RosterSet{Side: entry.Home, Team: entry.Team{
			Name: "Kelp Bay", Players: []entry.Player{{Number: "7", Name: "Robin Ashdown"}, {Number: "12"}, {Number: "17", Name: "Robin Ashdown"}},
			Staff: []entry.Official{{Role: entry.HeadCoach, Name: "Kim Saltmarsh"}},
		}},
	}
}

func TestWithoutTexts(t *testing.T) {
	e := older()
	hash, err := e.Hash()
	if err != nil || !e.Inside() {
		t.Fatal(err)
	}
	out, err := entry.WithoutTexts(e)
	if err != nil {
		t.Fatal(err)
	}
	line, err := out.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"Dana", "Robin", "Ashdown", "Saltmarsh"} {
		if bytes.Contains(line, []byte(text)) {
			t.Errorf("%s stands in %s", text, line)
		}
	}
	read, err := entry.ReadLine(line)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := read.Hash(); err != nil || got != hash || read.Inside() {
		t.Errorf("the chain goes around by %s, %v, want %s", got, err, hash)
	}
	again, err := entry.WithoutTexts(older())
	if err != nil {
		t.Fatal(err)
	}
	if other, err := again.MarshalJSON(); err != nil || !bytes.Equal(other, line) {
		t.Errorf("the same line became another one: %s, %v", other, err)
	}
	if same, err := entry.WithoutTexts(read); err != nil || same.Was != read.Was || len(same.Apart) != len(read.Apart) {
		t.Error("what has no text inside is changed", err)
	}
	texts, err := entry.Opened(e, read, entry.TextPlayer)
	if err != nil || len(texts) != 2 {
		t.Fatal(texts, err)
	}
	for mark, text := range texts {
		if text != "Robin Ashdown" || !strings.Contains(string(line), mark) {
			t.Error(mark, text)
		}
	}
}

// What stands in the place of a line is held against it whole.
func TestALineThatIsNotTheOneThatStoodThere(t *testing.T) {
	e := older()
	instead, err := entry.WithoutTexts(e)
	if err != nil {
		t.Fatal(err)
	}
	number, name, place := older(), older(), instead
	body := number.Body.(entry.RosterSet)
	body.Team.Players = append([]entry.Player(nil), body.Team.Players...)
	body.Team.Players[0].Number = "8"
	number.Body = body
	name.By = "Robin's phone"
	place.Seq = 2
	for what, test := range map[string][2]entry.Entry{
		"another number": {number, instead}, "another name": {name, instead}, "another place": {e, place}, "two without": {instead, instead},
	} {
		if texts, err := entry.Opened(test[0], test[1], entry.TextPlayer); err == nil {
			t.Errorf("%s: %v", what, texts)
		}
	}
}
