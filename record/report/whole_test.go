package report_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

var update = flag.Bool("update", false, "write the files under testdata again")

// bench plays a game as a bench would: what is refused, or accepted with a
// warning, fails the test.
type bench struct {
	t      testing.TB
	ledger []entry.Entry
	wall   entry.Millis
	at     entry.At
}

func openBench(t testing.TB, division string, home, visitors entry.Team) *bench {
	t.Helper()
	b := &bench{t: t, wall: 1_790_000_000_000}
	for _, d := range rulebook.Divisions() {
		if d.ID != division {
			continue
		}
		raw, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		b.post(entry.GameOpened{
			Number: "OPEN-007", Venue: "Saltworks Arena", Date: "2026-09-21", Division: raw, Home: home, Visitors: visitors,
		})
		return b
	}
	t.Fatal("there is no division", division)
	return nil
}

// post posts a body at where play stands.
func (b *bench) post(body entry.Body) string { return b.of("", body) }

func (b *bench) of(of string, body entry.Body) string {
	b.t.Helper()
	b.wall += 4_000
	e := entry.Entry{
		ID: fmt.Sprintf("01WHOLE%019d", len(b.ledger)+1), Game: "01WHOLEGAME000000000000000", At: b.at,
		Wall: b.wall, Seat: entry.Solo, Of: of, Body: body,
	}
	preview := rules.Consider(b.ledger, []entry.Entry{e}, b.wall)
	if len(preview.Refused)+len(preview.Warnings) > 0 {
		b.t.Fatalf("%+v: refused %+v, warned %+v", body, preview.Refused, preview.Warnings)
	}
	e.Seq = len(b.ledger) + 1
	if n := len(b.ledger); n > 0 {
		prev, err := b.ledger[n-1].Hash()
		if err != nil {
			b.t.Fatal(err)
		}
		e.Prev = prev
	}
	b.ledger = append(b.ledger, e)
	return e.ID
}

func (b *bench) stage(kind entry.StageKind, number int, length entry.Millis) {
	b.t.Helper()
	stage := entry.Stage{Kind: kind, Number: number}
	switch {
	case kind == entry.Overtime:
		b.at = entry.At{Period: 3 + number}
	case kind == entry.Period:
		b.at = entry.At{Period: number}
	}
	b.post(entry.StageBegun{Stage: stage, Length: length, Running: kind == entry.Intermission})
}

// whistle plays on to a stoppage and posts what happened at it.
func (b *bench) whistle(minute, second int, bodies ...entry.Body) {
	b.t.Helper()
	to := entry.Clock(minute, second)
	b.post(entry.ClockStarted{Elapsed: b.at.Elapsed})
	b.wall += to - b.at.Elapsed
	b.at.Elapsed = to
	b.post(entry.ClockStopped{Elapsed: to})
	for _, body := range bodies {
		b.post(body)
	}
}

func call(side entry.Side, player entry.Jersey, what string, parts ...entry.Part) entry.Penalty {
	return entry.Penalty{Side: side, Player: player, Call: what, Parts: parts}
}

func scored(side entry.Side, scorer entry.Jersey, assists ...entry.Jersey) entry.Goal {
	return entry.Goal{Side: side, Scorer: scorer, Assists: assists, Unassisted: len(assists) == 0}
}

func roster(name string, goalkeepers int, numbers ...entry.Jersey) entry.Team {
	t := entry.Team{Name: name, Staff: []entry.Official{{Role: entry.HeadCoach, Name: "Invented Coach"}}}
	for i, number := range numbers {
		t.Players = append(t.Players, entry.Player{
			Number: number, Name: "Player " + string(number), Goalkeeper: i < goalkeepers,
			Captain: i == goalkeepers, Alternate: i == goalkeepers+1,
		})
	}
	return t
}

// wholeGame is an invented game with everything that a report may have.
func wholeGame(t testing.TB) []entry.Entry {
	home := roster("Kelp Bay", 2, "1", "31", "7", "9", "8", "11", "12", "14", "17", "22", "24")
	visitors := roster("Lanternside", 2, "30", "33", "10", "9", "2", "3", "6", "13", "16", "19", "20", "23", "25")
	home.Players = append(home.Players, entry.Player{Number: "27", Name: "Player 27", Status: entry.Suspended})
	b := openBench(t, "harbour-open", home, visitors)
	shots := func(home, visitors int) {
		b.post(entry.Shots{Side: entry.Home, Count: home})
		b.post(entry.Shots{Side: entry.Visitors, Count: visitors})
	}
	b.post(entry.CrewSet{
		Officials: []entry.Official{{Role: entry.Referee, Name: "Invented Referee"}},
		Crew:      []entry.Official{{Role: entry.Scorer, Name: "Invented Scorer"}},
	})
	b.post(entry.RosterConfirmed{Side: entry.Home, By: "Invented Coach"})
	b.post(entry.Goalkeeper{Side: entry.Home, Number: "1"})
	b.post(entry.Goalkeeper{Side: entry.Visitors, Number: "30"})
	length := entry.Clock(15, 0)

	b.stage(entry.Period, 1, length)
	b.whistle(2, 10, scored(entry.Visitors, "9", "10"))
	b.whistle(4, 0, call(entry.Home, "7", "tripping", entry.Minor))
	b.whistle(5, 20, scored(entry.Visitors, "13", "19", "9")) // power play; 7 is out
	b.whistle(8, 0, call(entry.Visitors, "6", "hooking", entry.Minor))
	b.whistle(8, 30, call(entry.Visitors, "25", "slashing", entry.Minor))
	b.whistle(9, 0, call(entry.Visitors, "10", "high_sticking", entry.Minor, entry.Minor)) // waits
	b.whistle(9, 40, entry.Goal{
		Side: entry.Home, Scorer: "12", Assists: []entry.Jersey{"7"},
		OnIce: entry.OnIce{Home: []entry.Jersey{"1", "12", "7", "9", "8", "11"}, Visitors: []entry.Jersey{"30", "2", "3", "9"}},
	}) // five against three; 6 is out, 10 starts
	wrong := b.ledger[len(b.ledger)-1]
	b.whistle(15, 0)
	shots(11, 8)
	right := wrong.Body.(entry.Goal)
	right.Assists = []entry.Jersey{"7", "9"}
	b.at = wrong.At
	b.of(wrong.ID, entry.Amended{To: right})

	b.stage(entry.Intermission, 1, entry.Clock(2, 0))
	b.stage(entry.Period, 2, length)
	b.whistle(1, 0, call(entry.Home, "8", "roughing", entry.Minor), call(entry.Visitors, "2", "roughing", entry.Minor)) // four on four
	both := call(entry.Home, "17", "boarding", entry.Minor, entry.Misconduct)
	both.ServedBy = "11"
	b.whistle(5, 0, both)
	b.whistle(6, 0, scored(entry.Home, "9")) // short-handed
	b.whistle(8, 0)
	wiped := call(entry.Home, "24", "hooking", entry.Minor)
	wiped.Signalled = true
	b.whistle(9, 0, scored(entry.Visitors, "16", "23"), wiped)
	b.whistle(11, 0, entry.Penalty{Side: entry.Home, Bench: true, Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor}, ServedBy: "14"})
	b.whistle(12, 0, entry.TimeOut{Side: entry.Visitors, Length: entry.Clock(0, 30)})
	b.whistle(14, 0)
	shots(9, 10)
	b.post(entry.Goalkeeper{Side: entry.Visitors, Number: "33"})
	b.whistle(15, 0)
	b.post(entry.Shots{Side: entry.Home, Count: 1})

	b.stage(entry.Intermission, 2, entry.Clock(2, 0))
	b.stage(entry.Period, 3, length)
	off := call(entry.Visitors, "3", "checking_from_behind", entry.Major, entry.GameMisconduct)
	off.ServedBy = "20"
	b.whistle(3, 0, off)
	b.whistle(4, 0, scored(entry.Home, "12", "8")) // power play; a major goes on
	b.whistle(9, 0, call(entry.Visitors, "19", "tripped_on_breakaway", entry.PenaltyShot),
		entry.Attempt{Side: entry.Home, Player: "7", Goalkeeper: "33", On: entry.PenaltyShotAttempt},
		entry.Note{Text: "Net moved off its pegs before the penalty shot.", About: entry.Incident})
	b.whistle(12, 0, scored(entry.Visitors, "9", "10"))
	b.whistle(13, 30, entry.Goalkeeper{Side: entry.Home})
	b.whistle(14, 10, scored(entry.Home, "9", "12", "7"), entry.Goalkeeper{Side: entry.Home, Number: "1"})
	b.whistle(15, 0)
	shots(12, 7)
	slip := b.post(entry.Shots{Side: entry.Home, Count: 5})
	b.of(slip, entry.Struck{Reason: "counted twice"})

	b.stage(entry.Intermission, 3, entry.Clock(1, 0))
	b.stage(entry.Overtime, 1, entry.Clock(5, 0))
	b.whistle(2, 0, call(entry.Visitors, "6", "tripping", entry.Minor))
	b.whistle(5, 0)
	shots(3, 1)
	b.stage(entry.ShootOut, 0, 0)
	for _, try := range []struct {
		side   entry.Side
		player entry.Jersey
		scored bool
	}{
		{entry.Home, "9", true}, {entry.Visitors, "9", false}, {entry.Home, "12", false},
		{entry.Visitors, "10", true}, {entry.Home, "7", true}, {entry.Visitors, "13", false},
	} {
		keeper := entry.Jersey("33")
		if try.side == entry.Visitors {
			keeper = "1"
		}
		b.post(entry.Attempt{Side: try.side, Player: try.player, Goalkeeper: keeper, Scored: try.scored, On: entry.ShootOutAttempt})
	}
	b.stage(entry.Over, 0, 0)
	b.post(entry.Signed{Role: entry.Referee, Name: "Invented Referee", Code: "R-12", Drawing: "M1 1L9 9"})
	b.post(entry.Signed{Role: entry.Scorer, Name: "Invented Scorer"})
	return b.ledger
}

func wholeDocument(t testing.TB) report.Document {
	t.Helper()
	d, err := report.Build(wholeGame(t), report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// golden compares with a file under testdata, or writes it.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		at := 0
		for at < min(len(got), len(want)) && got[at] == want[at] {
			at++
		}
		t.Errorf("%s differs from byte %d on: got …%.300s…, want …%.300s…; run with -update if that is meant",
			name, at, got[max(0, at-80):], want[max(0, at-80):])
	}
}

// TestWholeGame holds the document of a whole game to the one that was looked
// at, and the ledger to the one that other tests read.
func TestWholeGame(t *testing.T) {
	var lines bytes.Buffer
	for _, e := range wholeGame(t) {
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		lines.Write(append(line, '\n'))
	}
	golden(t, "whole-game.jsonl", lines.Bytes())
	for times, name := range map[rulebook.ReportTimes]string{
		rulebook.TimesElapsed: "whole-game-elapsed.json", rulebook.TimesRemaining: "whole-game-remaining.json",
	} {
		d, err := report.Build(wholeGame(t), report.Options{Times: times})
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.MarshalIndent(d, "", "\t")
		if err != nil {
			t.Fatal(err)
		}
		golden(t, name, append(text, '\n'))
	}
}

// TestWholeGameAddsUp: a game that was entered right has no finding.
func TestWholeGameAddsUp(t *testing.T) {
	findings, err := report.Audit(report.SheetOf(wholeDocument(t)))
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range words(findings) {
		t.Error(line)
	}
}
