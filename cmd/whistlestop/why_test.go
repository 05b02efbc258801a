package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// tape is the ledger of an invented game, written out as the bench exports it.
type tape struct {
	t       *testing.T
	entries []entry.Entry
}

func newTape(t *testing.T, division string) *tape {
	t.Helper()
	for _, d := range rulebook.Divisions() {
		if d.ID == division {
			return openTape(t, d)
		}
	}
	t.Fatalf("no division %q", division)
	return nil
}

func openTape(t *testing.T, d rulebook.Division) *tape {
	t.Helper()
	raw, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	g := &tape{t: t}
	g.post(entry.At{}, "", entry.GameOpened{
		Division: raw, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Lanternside"},
	})
	return g
}

func (g *tape) post(at entry.At, of string, body entry.Body) string {
	n := len(g.entries) + 1
	e := entry.Entry{
		ID: fmt.Sprintf("01JWHY%020d", n), Game: "01JWHY00000000000000000000", Seq: n, At: at,
		Wall: 1_790_000_000_000 + entry.Millis(n)*1000, Seat: entry.Solo, Of: of, Body: body,
	}
	if n > 1 {
		prev, err := g.entries[n-2].Hash()
		if err != nil {
			g.t.Fatal(err)
		}
		e.Prev = prev
	}
	g.entries = append(g.entries, e)
	return e.ID
}

func (g *tape) begin(period int) {
	g.post(entry.At{Period: period}, "", entry.StageBegun{
		Stage: entry.Stage{Kind: entry.Period, Number: period}, Length: entry.Clock(12, 0),
	})
}

func (g *tape) penalty(period int, at string, p entry.Penalty) string {
	return g.post(g.at(period, at), "", p)
}

func (g *tape) goal(period int, at string, side entry.Side, scorer entry.Jersey) string {
	return g.post(g.at(period, at), "", entry.Goal{Side: side, Scorer: scorer, Unassisted: true})
}

func (g *tape) at(period int, text string) entry.At {
	elapsed, err := entry.ParseClock(text)
	if err != nil {
		g.t.Fatal(err)
	}
	return entry.At{Period: period, Elapsed: elapsed}
}

// file writes the export and returns where it is.
func (g *tape) file() string {
	var out bytes.Buffer
	for _, e := range g.entries {
		line, err := json.Marshal(e)
		if err != nil {
			g.t.Fatal(err)
		}
		out.Write(append(line, '\n'))
	}
	name := filepath.Join(g.t.TempDir(), "game.jsonl")
	if err := os.WriteFile(name, out.Bytes(), 0o600); err != nil {
		g.t.Fatal(err)
	}
	return name
}

// command runs the program as from a shell and returns what it printed and said.
func command(t *testing.T, arguments ...string) (printed, failed string) {
	t.Helper()
	var out, log bytes.Buffer
	p := &Program{Out: &out, Log: &log}
	if err := p.Run(t.Context(), arguments); err != nil {
		failed = p.explain(err)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	return out.String(), failed
}

func minor(side entry.Side, player entry.Jersey, call string) entry.Penalty {
	return entry.Penalty{Side: side, Player: player, Call: call, Parts: []entry.Part{entry.Minor}}
}

// powerPlays is a game with most of what a box can hold.
func powerPlays(t *testing.T) *tape {
	g := newTape(t, "harbour-u14")
	g.begin(1)
	wrong := g.penalty(1, "2:00", minor(entry.Visitors, "17", "tripping"))
	g.goal(1, "2:40", entry.Visitors, "12")
	g.post(g.at(1, "2:00"), wrong, entry.Amended{To: minor(entry.Home, "17", "tripping")})
	taken := g.goal(1, "3:00", entry.Visitors, "12")
	g.post(entry.At{}, taken, entry.Struck{})
	g.penalty(1, "11:00", minor(entry.Home, "4", "hooking"))
	g.begin(2)
	g.penalty(2, "4:00", minor(entry.Home, "10", "tripping"))
	g.penalty(2, "4:10", minor(entry.Home, "15", "hooking"))
	g.penalty(2, "4:20", minor(entry.Home, "5", "slashing"))
	g.penalty(2, "4:25", entry.Penalty{
		Side: entry.Visitors, Player: "7", Call: "unsportsmanlike", ServedBy: "12",
		Parts: []entry.Part{entry.Minor, entry.Misconduct},
	})
	g.goal(2, "5:00", entry.Visitors, "9")
	return g
}

const deference = "The referee's word and your league's own rules stand above all of this. " +
	"These are rule numbers and plain words, not the books.\n"

const book = "The book is USA Hockey, youth, girls and high school: " +
	"USA Hockey web rule book, wording of the 2017-21 or 2021-25 book.\n"

func TestWhyExplainsAMoment(t *testing.T) {
	file := powerPlays(t).file()
	for _, test := range []struct {
		name      string
		arguments []string
		want      string
	}{
		{"a moment before the goal: it would be out at 8:30", []string{"1", "2:30"},
			"Kelp Bay against Lanternside, 1st period, 2:30 played, 9:30 left.\n" + book +
				"Score: Kelp Bay 0–0 Lanternside.\n" +
				"Skaters of Kelp Bay and Lanternside: Four against five.\n" +
				"Kelp Bay plays 1 short, for 17.\n" +
				"Kelp Bay 17 sits for tripping, minor: out at 8:30, in 1:00.\n" +
				"  402(a): Kelp Bay 17 sits 1:30, out at 8:30.\n" +
				"Nobody sits for Lanternside.\n" + deference},
		{"the same by what the clock shows, after the goal", []string{"1", "9:20", "--left"},
			"Kelp Bay against Lanternside, 1st period, 2:40 played, 9:20 left.\n" + book +
				"Score: Kelp Bay 0–1 Lanternside.\n" +
				"Last goal, 1st period at 9:20: Goal, Lanternside 12, power play.\n" +
				"  402(c): Ends Kelp Bay 17's minor with 0:50 left: let 17 out of the home gate.\n" +
				"Skaters of Kelp Bay and Lanternside: Five against five.\n" +
				"Nobody sits for Kelp Bay.\n" +
				"Nobody sits for Lanternside.\n" + deference},
		{"over the end of a period", []string{"1", "12:00"},
			"Kelp Bay against Lanternside, 1st period, 12:00 played, 0:00 left.\n" + book +
				"Score: Kelp Bay 0–1 Lanternside.\n" +
				"Last goal, 1st period at 9:20: Goal, Lanternside 12, power play.\n" +
				"  402(c): Ends Kelp Bay 17's minor with 0:50 left: let 17 out of the home gate.\n" +
				"Skaters of Kelp Bay and Lanternside: Four against five.\n" +
				"Kelp Bay plays 1 short, for 4.\n" +
				"Kelp Bay 4 sits for hooking, minor: out at 11:30 of the 2nd period, in 0:30.\n" +
				"  402(a): Kelp Bay 4 sits 1:30, out at 11:30.\n" +
				"  638(b): That is in the 2nd period: it carries over.\n" +
				"Nobody sits for Lanternside.\n" + deference},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, failed := command(t, append([]string{"why", file}, test.arguments...)...)
			if failed != "" || got != test.want {
				t.Errorf("%s\ngot\n%s\nwant\n%s", failed, got, test.want)
			}
		})
	}
}

// TestWhyExplainsAFullBox: two run, a third waits, and the other side has a minor
// with a misconduct behind it.
func TestWhyExplainsAFullBox(t *testing.T) {
	file := powerPlays(t).file()
	before, failed := command(t, "why", file, "2", "4:30")
	if failed != "" {
		t.Fatal(failed)
	}
	for _, want := range []string{
		"Skaters of Kelp Bay and Lanternside: Three against four.\n",
		"Kelp Bay plays 2 short, for 10, 15.\n",
		"Kelp Bay 5 waits with slashing, minor: it starts at 6:30 and is over at 5:00.\n  408(a): ",
		"Lanternside, 12 sits for 7, unsportsmanlike conduct, minor: out at 6:05, in 1:25.\n",
		"Then Lanternside 7 has misconduct of 10:00, out at the first whistle after 8:05 of the 3rd period.\n  404: ",
	} {
		if !strings.Contains(before, want) {
			t.Errorf("%q is missing from\n%s", want, before)
		}
	}
	after, failed := command(t, "why", file, "2", "5:00")
	if failed != "" {
		t.Fatal(failed)
	}
	for _, want := range []string{
		"  402(c): Ends Kelp Bay 10's minor with 0:30 left: let 10 out of the home gate.\n",
		"Kelp Bay plays 2 short, for 15, 5.\n",
		"Kelp Bay 5 sits for slashing, minor: out at 5:30, in 1:30.\n",
	} {
		if !strings.Contains(after, want) {
			t.Errorf("%q is missing from\n%s", want, after)
		}
	}
}

func TestWhySaysWhatItCannotDo(t *testing.T) {
	g := powerPlays(t)
	file := g.file()
	broken := filepath.Join(t.TempDir(), "broken.jsonl")
	if err := os.WriteFile(broken, []byte("{\"specversion\":\"1.0\"}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	empty := filepath.Join(t.TempDir(), "empty.jsonl")
	if err := os.WriteFile(empty, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		arguments []string
		want      string
	}{
		{[]string{file, "3", "1:00"}, "There is no period 3 in this game: 2 were begun."},
		{[]string{file, "1", "12:01"}, "12:01 was never played in the 1st period: it lasts 12:00."},
		{[]string{file, "1", "soon"}, "\"soon\" is not a time: write minutes and seconds, such as 5:13."},
		{[]string{broken, "1", "1:00"}, "line 1: source is"},
		{[]string{empty, "1", "1:00"}, "does not begin with the opening of a game"},
		{[]string{file + "x", "1", "1:00"}, "cannot be read"},
	} {
		_, failed := command(t, append([]string{"why"}, test.arguments...)...)
		if !strings.Contains(failed, test.want) {
			t.Errorf("%v: %q, and not %q", test.arguments, failed, test.want)
		}
	}
	g.entries[4].Of, g.entries[4].Body = "", entry.Goal{Side: entry.Home, Scorer: "12", Unassisted: true}
	got, failed := command(t, "why", g.file(), "1", "1:00")
	if failed != "" || !strings.HasPrefix(got, "game.jsonl was changed after it was written, or is not whole: entry 6 ") {
		t.Errorf("a changed ledger is explained as if it were whole: %s\n%s", failed, got)
	}
}
