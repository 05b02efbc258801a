package whole

import (
	"encoding/json"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Bench plays a game as a bench would: what is refused, or accepted with a
// warning, fails the test.
type Bench struct {
	t      testing.TB
	Ledger []entry.Entry
	Wall   entry.Millis
	At     entry.At
}

// Open opens a game under a division.
func Open(t testing.TB, division string, home, visitors entry.Team) *Bench {
	t.Helper()
	b := &Bench{t: t, Wall: 1_790_000_000_000}
	raw, err := json.Marshal(Division(t, division))
	if err != nil {
		t.Fatal(err)
	}
	b.Post(entry.GameOpened{
		Number: "OPEN-007", Venue: "Saltworks Arena", Date: "2026-09-21", Division: raw, Home: home, Visitors: visitors,
	})
	return b
}

// Division is one of those that come with the program.
func Division(tb testing.TB, id string) rulebook.Division {
	tb.Helper()
	for _, d := range rulebook.Divisions() {
		if d.ID == id {
			return d
		}
	}
	tb.Fatalf("no division %q", id)
	return rulebook.Division{}
}

// Post posts a body at where play stands.
func (b *Bench) Post(body entry.Body) string { return b.Of("", body) }

// Of posts a body about an earlier entry.
func (b *Bench) Of(of string, body entry.Body) string {
	b.t.Helper()
	b.Wall += 4_000
	e := entry.Entry{
		ID: fmt.Sprintf("01WHOLE%019d", len(b.Ledger)+1), Game: "01WHOLEGAME000000000000000", At: b.At,
		Wall: b.Wall, Seat: entry.Solo, Of: of, Body: body,
	}
	preview := rules.Consider(b.Ledger, []entry.Entry{e}, b.Wall)
	if len(preview.Refused)+len(preview.Warnings) > 0 {
		b.t.Fatalf("%+v: refused %+v, warned %+v", body, preview.Refused, preview.Warnings)
	}
	e.Seq = len(b.Ledger) + 1
	if n := len(b.Ledger); n > 0 {
		prev, err := b.Ledger[n-1].Hash()
		if err != nil {
			b.t.Fatal(err)
		}
		e.Prev = prev
	}
	b.Ledger = append(b.Ledger, e)
	return e.ID
}

// Stage begins a stage.
func (b *Bench) Stage(kind entry.StageKind, number int, length entry.Millis) {
	b.t.Helper()
	stage := entry.Stage{Kind: kind, Number: number}
	switch {
	case kind == entry.Overtime:
		b.At = entry.At{Period: 3 + number}
	case kind == entry.Period:
		b.At = entry.At{Period: number}
	}
	b.Post(entry.StageBegun{Stage: stage, Length: length, Running: kind == entry.Intermission})
}

// Whistle plays on to a stoppage and posts what happened at it.
func (b *Bench) Whistle(minute, second int, bodies ...entry.Body) {
	b.t.Helper()
	to := entry.Clock(minute, second)
	b.Post(entry.ClockStarted{Elapsed: b.At.Elapsed})
	b.Wall += to - b.At.Elapsed
	b.At.Elapsed = to
	b.Post(entry.ClockStopped{Elapsed: to})
	for _, body := range bodies {
		b.Post(body)
	}
}

func call(side entry.Side, player entry.Jersey, what string, parts ...entry.Part) entry.Penalty {
	return entry.Penalty{Side: side, Player: player, Call: what, Parts: parts}
}

func scored(side entry.Side, scorer entry.Jersey, assists ...entry.Jersey) entry.Goal {
	return entry.Goal{Side: side, Scorer: scorer, Assists: assists, Unassisted: len(assists) == 0}
}

// Roster makes a team: the first numbers are goalkeepers, the next two wear letters.
func Roster(name string, goalkeepers int, numbers ...entry.Jersey) entry.Team {
	t := entry.Team{Name: name, Staff: []entry.Official{{Role: entry.HeadCoach, Name: "Invented Coach"}}}
	for i, number := range numbers {
		t.Players = append(t.Players, entry.Player{
			Number: number, Name: "Player " + string(number), Goalkeeper: i < goalkeepers,
			Captain: i == goalkeepers, Alternate: i == goalkeepers+1,
		})
	}
	return t
}

// Game is an invented game with everything that a report may have.
func Game(t testing.TB) []entry.Entry {
	home := Roster("Kelp Bay", 2, "1", "31", "7", "9", "8", "11", "12", "14", "17", "22", "24")
	visitors := Roster("Lanternside", 2, "30", "33", "10", "9", "2", "3", "6", "13", "16", "19", "20", "23", "25")
	home.Players = append(home.Players, entry.Player{Number: "27", Name: "Player 27", Status: entry.Suspended})
	b := Open(t, "harbour-open", home, visitors)
	shots := func(home, visitors int) {
		b.Post(entry.Shots{Side: entry.Home, Count: home})
		b.Post(entry.Shots{Side: entry.Visitors, Count: visitors})
	}
	b.Post(entry.CrewSet{
		Officials: []entry.Official{{Role: entry.Referee, Name: "Invented Referee"}},
		Crew:      []entry.Official{{Role: entry.Scorer, Name: "Invented Scorer"}},
	})
	b.Post(entry.RosterConfirmed{Side: entry.Home, By: "Invented Coach"})
	b.Post(entry.Goalkeeper{Side: entry.Home, Number: "1"})
	b.Post(entry.Goalkeeper{Side: entry.Visitors, Number: "30"})
	length := entry.Clock(15, 0)

	b.Stage(entry.Period, 1, length)
	b.Whistle(2, 10, scored(entry.Visitors, "9", "10"))
	b.Whistle(4, 0, call(entry.Home, "7", "tripping", entry.Minor))
	b.Whistle(5, 20, scored(entry.Visitors, "13", "19", "9")) // power play; 7 is out
	b.Whistle(8, 0, call(entry.Visitors, "6", "hooking", entry.Minor))
	b.Whistle(8, 30, call(entry.Visitors, "25", "slashing", entry.Minor))
	b.Whistle(9, 0, call(entry.Visitors, "10", "high_sticking", entry.Minor, entry.Minor)) // waits
	b.Whistle(9, 40, entry.Goal{
		Side: entry.Home, Scorer: "12", Assists: []entry.Jersey{"7"},
		OnIce: entry.OnIce{Home: []entry.Jersey{"1", "12", "7", "9", "8", "11"}, Visitors: []entry.Jersey{"30", "2", "3", "9"}},
	}) // five against three; 6 is out, 10 starts
	wrong := b.Ledger[len(b.Ledger)-1]
	b.Whistle(15, 0)
	shots(11, 8)
	right := wrong.Body.(entry.Goal)
	right.Assists = []entry.Jersey{"7", "9"}
	b.At = wrong.At
	b.Of(wrong.ID, entry.Amended{To: right})

	b.Stage(entry.Intermission, 1, entry.Clock(2, 0))
	b.Stage(entry.Period, 2, length)
	b.Whistle(1, 0, call(entry.Home, "8", "roughing", entry.Minor), call(entry.Visitors, "2", "roughing", entry.Minor)) // four on four
	both := call(entry.Home, "17", "boarding", entry.Minor, entry.Misconduct)
	both.ServedBy = "11"
	b.Whistle(5, 0, both)
	b.Whistle(6, 0, scored(entry.Home, "9")) // short-handed
	b.Whistle(8, 0)
	wiped := call(entry.Home, "24", "hooking", entry.Minor)
	wiped.Signalled = true
	b.Whistle(9, 0, scored(entry.Visitors, "16", "23"), wiped)
	b.Whistle(11, 0, entry.Penalty{Side: entry.Home, Bench: true, Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor}, ServedBy: "14"})
	b.Whistle(12, 0, entry.TimeOut{Side: entry.Visitors, Length: entry.Clock(0, 30)})
	b.Whistle(14, 0)
	shots(9, 10)
	b.Post(entry.Goalkeeper{Side: entry.Visitors, Number: "33"})
	b.Whistle(15, 0)
	b.Post(entry.Shots{Side: entry.Home, Count: 1})

	b.Stage(entry.Intermission, 2, entry.Clock(2, 0))
	b.Stage(entry.Period, 3, length)
	off := call(entry.Visitors, "3", "checking_from_behind", entry.Major, entry.GameMisconduct)
	off.ServedBy = "20"
	b.Whistle(3, 0, off)
	b.Whistle(4, 0, scored(entry.Home, "12", "8")) // power play; a major goes on
	b.Whistle(9, 0, call(entry.Visitors, "19", "tripped_on_breakaway", entry.PenaltyShot),
		entry.Attempt{Side: entry.Home, Player: "7", Goalkeeper: "33", On: entry.PenaltyShotAttempt},
		entry.Note{Text: "Net moved off its pegs before the penalty shot.", About: entry.Incident})
	b.Whistle(12, 0, scored(entry.Visitors, "9", "10"))
	b.Whistle(13, 30, entry.Goalkeeper{Side: entry.Home})
	b.Whistle(14, 10, scored(entry.Home, "9", "12", "7"), entry.Goalkeeper{Side: entry.Home, Number: "1"})
	b.Whistle(15, 0)
	shots(12, 7)
	slip := b.Post(entry.Shots{Side: entry.Home, Count: 5})
	b.Of(slip, entry.Struck{Reason: "counted twice"})

	b.Stage(entry.Intermission, 3, entry.Clock(1, 0))
	b.Stage(entry.Overtime, 1, entry.Clock(5, 0))
	b.Whistle(2, 0, call(entry.Visitors, "6", "tripping", entry.Minor))
	b.Whistle(5, 0)
	shots(3, 1)
	b.Stage(entry.ShootOut, 0, 0)
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
		b.Post(entry.Attempt{Side: try.side, Player: try.player, Goalkeeper: keeper, Scored: try.scored, On: entry.ShootOutAttempt})
	}
	b.Stage(entry.Over, 0, 0)
	b.Post(entry.Signed{Role: entry.Referee, Name: "Invented Referee", Code: "R-12", Drawing: "M1 1L9 9"})
	b.Post(entry.Signed{Role: entry.Scorer, Name: "Invented Scorer"})
	return b.Ledger
}
