package roster_test

import (
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/record/roster"
)

// The marks of captain and alternate are read in every order that people write,
// and none of it is a mistake.
func TestMarksAreReadInEveryOrder(t *testing.T) {
	for _, letter := range []string{"A", "C"} {
		for _, line := range []string{
			"7 Olu Fenn A", "7 Olu Fenn (A)", "7 Olu Fenn [A]", "7 A Olu Fenn", "7 (A) Olu Fenn", "A 7 Olu Fenn", "(A) 7 Olu Fenn", "A #7 Olu Fenn",
			"7A Olu Fenn", "A7 Olu Fenn", "#7 Olu Fenn A", "Olu Fenn A 7", "Olu Fenn (A) 7", "Olu Fenn 7 A", "Olu Fenn 7 (A)", "7, Olu Fenn, A",
			"7 Olu Fenn A D", "7 Olu Fenn D A", "A\t7\tOlu Fenn", "7\tA\tOlu Fenn", "7\tOlu Fenn\tA",
			"No;Name;Pos\n7;Olu Fenn;D/A", "No;Name;Pos\n7;Olu Fenn;D (A)", "No;Name;Letter\n7;Olu Fenn;A", "No;Name\n7 A;Olu Fenn", "No;Name\n7A;Olu Fenn",
			"No;Name\n7;Olu Fenn (A)", "No;Name;Pos;Letter\n7;Olu Fenn;D;(A)",
		} {
			text := swap(line, letter)
			sheet := roster.Paste(text)
			for _, f := range sheet.Check(rulebook.Division{}) {
				if f.Level == roster.Mistake {
					t.Errorf("%q: %s %v", text, f.Say.Key, f.Say.Args)
				}
			}
			if len(sheet.Team.Players) != 1 {
				t.Errorf("%q: %d players", text, len(sheet.Team.Players))
				continue
			}
			p := sheet.Team.Players[0]
			if p.Number != "7" || p.Name != "Olu Fenn" || p.Alternate != (letter == "A") || p.Captain != (letter == "C") {
				t.Errorf("%q is read as %+v", text, p)
			}
		}
	}
	sheet := roster.Paste("No;Name;Pos\n7;Olu Fenn;A\n8;Ida Brask;C")
	if p := sheet.Team.Players; !p[0].Alternate || p[1].Captain || p[1].Position != entry.Forward {
		t.Errorf("a column of positions is read as %+v", p)
	}
}

// swap puts another letter where the mark stands.
func swap(line, letter string) string {
	out := []byte(line)
	for i, c := range out {
		if c == 'A' {
			out[i] = letter[0]
		}
	}
	return string(out)
}

// An initial is no mark.
func TestAnInitialIsPartOfTheName(t *testing.T) {
	for line, name := range map[string]string{"12 A Holt": "A Holt", "12 C Holt D": "C Holt", "12 A. Holt": "A. Holt"} {
		p := roster.Paste(line).Team.Players[0]
		if p.Name != name || p.Captain || p.Alternate {
			t.Errorf("%q is read as %+v", line, p)
		}
	}
}

// 5 and 05 are one number (common practice, no source): a roster with both names
// two players by it.
func TestOneNumberInTwoWaysIsAFinding(t *testing.T) {
	found := 0
	for _, f := range roster.Check(entry.Team{Name: "Kelp Bay", Players: []entry.Player{
		{Number: "5", Name: "Olu Fenn"}, {Number: "05", Name: "Ida Brask"}, {Number: "0", Name: "Ny Ash"}, {Number: "00", Name: "Sam Tor"},
	}}, rulebook.Division{}) {
		if f.Say.Key == "roster.number_two_ways" && f.Level == roster.Mistake {
			found++
		}
	}
	if found != 1 {
		t.Errorf("%d findings", found)
	}
}
