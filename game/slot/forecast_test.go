package slot_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/game/slot"
)

const start = entry.Millis(1_790_000_000_000)

// game is an invented game with stoppages of a length each.
type game struct {
	t      interface{ Fatal(...any) }
	ledger []entry.Entry
	wall   entry.Millis
	at     entry.At
}

func newGame(t interface{ Fatal(...any) }, change func(*rulebook.Division)) *game {
	g := &game{t: t, wall: start}
	for _, d := range rulebook.Divisions() {
		if d.ID == "harbour-u14" {
			if change != nil {
				change(&d)
			}
			raw, err := json.Marshal(d)
			if err != nil {
				t.Fatal(err)
			}
			g.post(entry.GameOpened{Division: raw, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Millrace"}})
		}
	}
	return g
}

func (g *game) post(body entry.Body) {
	g.ledger = append(g.ledger, entry.Entry{
		ID: fmt.Sprintf("01JSLOT%019d", len(g.ledger)+1), Game: "01JGAME0000000000000000000", Seq: len(g.ledger) + 1,
		At: g.at, Wall: g.wall, Seat: entry.Solo, Body: body,
	})
}

func (g *game) stage(kind entry.StageKind, number int, length entry.Millis) {
	g.at = entry.At{Period: number}
	g.post(entry.StageBegun{Stage: entry.Stage{Kind: kind, Number: number}, Length: length})
}

// period plays a period of twelve minutes with a stoppage of a length after each
// minute and the last minute played out.
func (g *game) period(number int, stoppage entry.Millis) {
	g.stage(entry.Period, number, entry.Clock(12, 0))
	for minute := 1; minute <= 12; minute++ {
		g.minute(minute)
		if minute < 12 {
			g.wall += stoppage
		}
	}
}

func (g *game) minute(minute int) {
	g.post(entry.ClockStarted{Elapsed: g.at.Elapsed})
	g.wall += 60_000
	g.at.Elapsed = entry.Clock(minute, 0)
	g.post(entry.ClockStopped{Elapsed: g.at.Elapsed})
}

func (g *game) state() rules.State {
	s, err := rules.Fold(g.ledger)
	if err != nil {
		g.t.Fatal(err)
	}
	return s
}

func TestWholeGame(t *testing.T) {
	g := newGame(t, nil)
	g.stage(entry.WarmUp, 0, entry.Clock(5, 0))
	f := slot.Forecast(g.state(), g.wall, slot.Settings{Seed: 7})
	// 43 minutes of clocks, about 30 stoppages of about 32 s on average: 16
	// minutes; the turns, the time-outs and an overtime in three games of ten.
	took := f.Likely - g.wall
	if took < entry.Clock(57, 0) || took > entry.Clock(70, 0) {
		t.Errorf("a whole game takes %s", took)
	}
	if !(f.Early < f.Likely && f.Likely < f.Late) || f.Late-f.Early > entry.Clock(25, 0) {
		t.Errorf("between %s and %s", f.Early-g.wall, f.Late-g.wall)
	}
	if f.SlotEnd != 0 || f.Over || f.Notice != nil || f.SlotStart != g.wall {
		t.Errorf("a slot that nobody gave: %+v", f)
	}
}

func TestSameSeed(t *testing.T) {
	g := newGame(t, nil)
	g.period(1, 20_000)
	one, err := json.Marshal(slot.Forecast(g.state(), g.wall, slot.Settings{Seed: 3}))
	if err != nil {
		t.Fatal(err)
	}
	two, err := json.Marshal(slot.Forecast(g.state(), g.wall, slot.Settings{Seed: 3}))
	if err != nil {
		t.Fatal(err)
	}
	other, err := json.Marshal(slot.Forecast(g.state(), g.wall, slot.Settings{Seed: 4}))
	if err != nil {
		t.Fatal(err)
	}
	if string(one) != string(two) || string(one) == string(other) {
		t.Errorf("%s\n%s\n%s", one, two, other)
	}
}

// TestSlowGame: a game that has stopped for long is taken to go on so.
func TestSlowGame(t *testing.T) {
	likely := func(stoppage entry.Millis) entry.Millis {
		g := newGame(t, nil)
		g.period(1, stoppage)
		return slot.Forecast(g.state(), g.wall, slot.Settings{Seed: 1}).Likely - g.wall
	}
	if quick, slow := likely(10_000), likely(90_000); slow < quick+entry.Clock(5, 0) {
		t.Errorf("quick %s, slow %s", quick, slow)
	}
}

func TestRunningTimeHasNoStoppages(t *testing.T) {
	g := newGame(t, func(d *rulebook.Division) { d.TimeOut.Each = 0 })
	for range 5 {
		g.at = entry.At{Period: 1}
		g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	}
	g.stage(entry.Period, 3, entry.Clock(12, 0))
	stop := slot.Forecast(g.state(), g.wall, slot.Settings{})
	g.post(entry.RunningTime{On: true})
	run := slot.Forecast(g.state(), g.wall, slot.Settings{})
	if run.Likely != g.wall+entry.Clock(12, 0) || run.Early != run.Late || stop.Likely <= run.Likely {
		t.Errorf("running %s, stop %s", run.Likely-g.wall, stop.Likely-g.wall)
	}
}

func TestOver(t *testing.T) {
	g := newGame(t, func(d *rulebook.Division) { d.Slot.Length = entry.Clock(1, 0) })
	g.period(3, 20_000)
	g.stage(entry.Over, 0, 0)
	f := slot.Forecast(g.state(), g.wall+entry.Clock(90, 0), slot.Settings{})
	if now := g.wall + entry.Clock(90, 0); f.Early != now || f.Likely != now || f.Late != now || f.Over {
		t.Errorf("%+v", f)
	}
}

func TestPassesTheSlot(t *testing.T) {
	change := func(d *rulebook.Division) {
		d.Slot = rulebook.Slot{Length: entry.Clock(60, 0), Action: rulebook.SlotSetAndRun, LastHalf: true, LastAtMost: true}
		d.Running = rulebook.Running{Lead: 6}
		d.Overtime.IfSlotAllows = true
	}
	g := newGame(t, change)
	g.stage(entry.WarmUp, 0, entry.Clock(5, 0))
	g.wall += entry.Clock(6, 0)
	g.period(1, 40_000)
	g.period(2, 40_000)
	g.stage(entry.Intermission, 2, entry.Clock(1, 0))
	f := slot.Forecast(g.state(), g.wall, slot.Settings{})
	if f.SlotEnd != start+entry.Clock(60, 0) || !f.Over || f.By != f.Likely-f.SlotEnd || f.Notice == nil {
		t.Fatalf("%+v", f)
	}
	var keys []string
	for _, say := range f.Choices {
		keys = append(keys, say.Key)
	}
	want := []string{"slot.last_half", "slot.last_half_now", "slot.set_and_run", "slot.running", "slot.no_overtime", "slot.shorter", "slot.referee"}
	if !slices.Equal(keys, want) {
		t.Errorf("choices %v", keys)
	}
	// 60:00 less 6:00 and twice 19:20 leave 15:20: half of it, rounded down.
	if got := f.Choices[1].Args.Get("minutes"); got != "7" {
		t.Errorf("the last period is %s minutes", got)
	}
	if f = slot.Forecast(g.state(), g.wall, slot.Settings{SlotStart: g.wall, SlotLength: entry.Clock(60, 0)}); f.Over || f.Notice != nil || len(f.Choices) > 0 {
		t.Errorf("there is time to spare: %+v", f)
	}
	// What somebody at the bench said goes before the division.
	g.post(entry.BenchSet{Clock: entry.Lead, SlotEnd: start + entry.Clock(45, 0)})
	if f = slot.Forecast(g.state(), g.wall, slot.Settings{}); f.SlotEnd != start+entry.Clock(45, 0) || !f.Over {
		t.Errorf("the slot ends at %d: %+v", f.SlotEnd-start, f)
	}
	g.post(entry.BenchSet{Clock: entry.Lead})
	if f = slot.Forecast(g.state(), g.wall, slot.Settings{}); f.SlotEnd != start+entry.Clock(60, 0) {
		t.Errorf("and again at %d", f.SlotEnd-start)
	}
	g.stage(entry.Period, 3, entry.Clock(12, 0))
	for _, action := range []rulebook.SlotAction{rulebook.SlotRun, rulebook.SlotEnd, rulebook.SlotUnsaid} {
		s := g.state()
		s.Division.Slot = rulebook.Slot{Length: entry.Clock(45, 0), Action: action}
		s.Division.Running.Lead, s.Division.Overtime.IfSlotAllows = 0, false
		want := map[rulebook.SlotAction]int{rulebook.SlotRun: 2, rulebook.SlotEnd: 2, rulebook.SlotUnsaid: 1}[action]
		if f := slot.Forecast(s, g.wall, slot.Settings{}); len(f.Choices) != want {
			t.Errorf("%q: %v", action, f.Choices)
		}
	}
}

// TestMorePlayLeftIsNeverEarlier also in an overtime and in any state of the
// clock: every run of the less is a part of the run of the more.
func TestMorePlayLeftIsNeverEarlier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := newGame(t, nil)
		if rapid.Bool().Draw(t, "first") {
			g.period(1, 30_000)
		}
		kind := rapid.SampledFrom([]entry.StageKind{entry.Period, entry.Overtime, entry.Intermission}).Draw(t, "stage")
		number := rapid.IntRange(1, 3).Draw(t, "number")
		if kind == entry.Overtime {
			number = 1
		}
		g.stage(kind, number, entry.Clock(12, 0))
		s := g.state()
		more := entry.Millis(rapid.IntRange(0, 720).Draw(t, "more")) * 1000
		less := entry.Millis(rapid.IntRange(0, 720).Draw(t, "less")) * 1000
		more, less = max(more, less), min(more, less)
		s.Clock.Running = rapid.Bool().Draw(t, "running")
		set := slot.Settings{Seed: rapid.Uint64().Draw(t, "seed"), Runs: 50}
		s.Clock.Elapsed = entry.Clock(12, 0) - more
		a := slot.Forecast(s, s.Clock.Wall, set)
		s.Clock.Elapsed = entry.Clock(12, 0) - less
		b := slot.Forecast(s, s.Clock.Wall, set)
		if less == 0 {
			return // the horn: no stoppage is under way
		}
		if a.Early < b.Early || a.Likely < b.Likely || a.Late < b.Late {
			t.Fatalf("%s left: %+v\n%s left: %+v", more, a, less, b)
		}
	})
}

func TestPauses(t *testing.T) {
	g := newGame(t, func(d *rulebook.Division) {
		d.TimeOut.Each = 0
		d.Overtime.FinalsOnly = true
		d.ShootOut.FinalsOnly = true
	})
	g.stage(entry.Period, 3, entry.Clock(12, 0))
	g.minute(1)
	likely := func(after entry.Millis) entry.Millis {
		return slot.Forecast(g.state(), g.wall+after, slot.Settings{}).Likely - g.wall
	}
	plain := likely(0)
	if late := likely(entry.Clock(5, 0)); late < plain+entry.Clock(4, 0) {
		t.Errorf("a stoppage of five minutes costs %s", late-plain)
	}
	g.post(entry.Delay{Why: entry.Ice, Length: entry.Clock(10, 0)})
	if repair := likely(0); repair < plain+entry.Clock(9, 0) {
		t.Errorf("a repair of ten minutes costs %s", repair-plain)
	}
	g.post(entry.DelayOver{})
	g.post(entry.Delay{Why: entry.Injury})
	if injury := likely(0); injury <= plain {
		t.Errorf("an injury costs %s", injury-plain)
	}
	g.post(entry.DelayOver{})
	g.post(entry.TimeOut{Length: entry.Clock(1, 0)})
	if timeOut := likely(0); timeOut <= plain || timeOut > plain+entry.Clock(1, 10) {
		t.Errorf("a time-out costs %s", timeOut-plain)
	}
}

// TestShootOut: what is left after regulation is short and known to be.
func TestShootOut(t *testing.T) {
	g := newGame(t, nil)
	g.stage(entry.ShootOut, 0, 0)
	f := slot.Forecast(g.state(), g.wall, slot.Settings{})
	if took := f.Likely - g.wall; took < entry.Clock(2, 0) || took > entry.Clock(7, 0) {
		t.Errorf("a shoot-out takes %s", took)
	}
}
