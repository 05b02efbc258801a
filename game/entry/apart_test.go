package entry

import (
	"crypto/sha256"
	"reflect"
	"strings"
	"testing"
)

// planted are the samples with a text of its own in every place of a text about
// a person.
func planted() ([]Entry, []string) {
	var all []string
	list := whole()
	for i, e := range list {
		if b, is := e.Body.(GameOpened); is {
			b.Visitors = Team{Name: "Lanternside", Players: []Player{{Number: "4"}}, Staff: []Official{{Role: HeadCoach}}}
			e.Body = b
		}
		if b, is := e.Body.(CrewSet); is {
			b.Crew = []Official{{Role: Scorer}}
			e.Body = b
		}
		list[i] = MapTexts(e, func(what Text, _ string) string {
			text := "M" + strings.Repeat("7", len(all)+1) + " 0" // also a drawing may be it
			all = append(all, text)
			return text
		})
	}
	return list, all
}

func random(seed string) func(string) []byte {
	return func(text string) []byte {
		sum := sha256.Sum256([]byte(seed + text))
		return sum[:]
	}
}

// A line of version 2 has no text about a person, reads back as it was, and
// gives its texts only to whoever has what lies beside it.
func TestTextsLieBesideTheLine(t *testing.T) {
	list, texts := planted()
	if len(texts) < len(list)+12 {
		t.Fatalf("only %d texts", len(texts))
	}
	for _, e := range list {
		kept := KeepApart(e, random("x"))
		line, err := kept.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range texts {
			if strings.Contains(string(line), `"`+text+`"`) {
				t.Errorf("%s has %q inside", line, text)
			}
		}
		if !strings.Contains(string(line), `.v2"`) {
			t.Errorf("not of version 2: %s", line)
		}
		back, err := ReadLine(line)
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if again, err := back.MarshalJSON(); err != nil || string(again) != string(line) {
			t.Errorf("%s came back as %s (%v)", line, again, err)
		}
		if len(back.Names()) != 0 {
			t.Errorf("a line alone knows %v", back.Names())
		}
		both := []Entry{back}
		KnowAll(both, kept.Names())
		if !reflect.DeepEqual(both[0], kept) {
			t.Errorf("with its texts it is %+v, was %+v", both[0], kept)
		}
		if plain := kept.Plain(); !reflect.DeepEqual(plain, e) {
			t.Errorf("plain it is %+v, was %+v", plain, e)
		}
		one, _ := kept.Hash()
		other, _ := back.Hash()
		if one != other || one == "" {
			t.Error("the hash depends on what lies beside")
		}
		for _, name := range kept.Names() {
			line, err := name.MarshalJSON()
			if err != nil || !IsName(line) {
				t.Fatalf("%s is no text beside a ledger (%v)", line, err)
			}
			if read, err := ReadName(line); err != nil || read != name {
				t.Errorf("%s came back as %+v (%v)", line, read, err)
			}
			if _, err := ReadLine(line); err == nil {
				t.Error("a text was read as an entry")
			}
			for what, lie := range map[string]string{
				"another text":     strings.Replace(string(line), `"text":"M`, `"text":"N`, 1),
				"another game":     strings.Replace(string(line), "01JGAME", "../GAME", 1),
				"spaces":           strings.Replace(string(line), `,"data"`, `, "data"`, 1),
				"another key case": strings.Replace(string(line), `"text"`, `"Text"`, 1),
			} {
				if _, err := ReadName([]byte(lie)); err == nil {
					t.Errorf("%s: %s was read", what, lie)
				}
			}
		}
	}
}

// Version 2 is one form only: no text inside, and something that lies beside.
func TestVersionTwoHasNoTextInside(t *testing.T) {
	note := KeepApart(Entry{ID: strings.Repeat("0", 26), Game: strings.Repeat("1", 26), Seq: 1, Body: Note{Text: "x"}}, random(""))
	line, err := note.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	for what, lie := range map[string]string{
		"a text inside":           strings.Replace(string(line), note.Apart[1].Commitment, "x", 1),
		"a short commitment":      strings.Replace(string(line), note.Apart[1].Commitment, note.Apart[1].Commitment[:20], 1),
		"nothing beside":          strings.Replace(strings.Replace(string(line), "note", "delay_over", 1), `{"text":"`+note.Apart[1].Commitment+`"}`, `{}`, 1),
		"version 3":               strings.Replace(string(line), ".v2", ".v3", 1),
		"both versions":           strings.Replace(string(line), ".v2", ".v1.v2", 1),
		"in place of, with texts": strings.Replace(strings.Replace(string(line), ".v2", ".v1", 1), `"data"`, `"was":"`+strings.Repeat("a", 64)+`","data"`, 1),
		"in place of nothing":     strings.Replace(string(line), `"data"`, `"was":"aa","data"`, 1),
	} {
		if lie == string(line) {
			t.Fatalf("%s: nothing was changed", what)
		}
		if _, err := ReadLine([]byte(lie)); err == nil {
			t.Errorf("%s: %s was read", what, lie)
		}
	}
	if e := KeepApart(Entry{Body: Goal{Side: Home}}, random("")); e.Apart != nil {
		t.Error("an entry without texts is of version 2")
	}
}

// The texts of a line of version 1 are taken out with the chain going around it,
// and what was taken out does not come back with an older copy.
func TestWithdraw(t *testing.T) {
	list, _ := planted()
	for _, e := range list {
		before, err := e.Hash()
		if err != nil {
			t.Fatal(err)
		}
		after, err := Withdraw(e, random("w"))
		if err != nil {
			t.Fatal(err)
		}
		if hash, err := after.Hash(); err != nil || hash != before || after.Was != before {
			t.Errorf("%s: the chain has %s, had %s (%v)", e.Kind(), hash, before, err)
		}
		if twice, err := Withdraw(after, random("z")); err != nil || !reflect.DeepEqual(twice, after) {
			t.Errorf("taken out twice: %+v (%v)", twice, err)
		}
		line, err := after.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		if back, err := ReadLine(line); err != nil || back.Was != before {
			t.Errorf("%s: %+v, %v", line, back, err)
		}
	}
	e := KeepApart(list[0], random("x"))
	names := e.Names()
	ledger := []Entry{e, {Game: e.Game, Body: Withdrawn{Texts: []string{names[0].Commitment}}}}
	KnowAll(ledger, names)
	if got := ledger[0].Names(); len(got) != len(names)-1 {
		t.Errorf("%d texts of %d are known, one was taken out", len(got), len(names))
	}
}
