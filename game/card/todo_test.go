package card_test

import (
	"slices"
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
)

func expect(t *testing.T, got []card.Step, want ...string) {
	t.Helper()
	if list := texts(got); !slices.Equal(list, want) {
		t.Errorf("to do:\n%q\nwant\n%q", list, want)
	}
}

// TestPowerPlayGoal: a goal that ends a minor, a call at the same whistle, and
// the referee's correction of the clock: the clock first, then the score, what
// comes down, what goes up.
func TestPowerPlayGoal(t *testing.T) {
	g := newGame(t, nil)
	g.use(saltworks(t))
	g.tickAll()
	g.period(1)
	g.tickAll()
	g.play(3, 0)
	g.post(minor(entry.Home, "7"))
	g.tickAll()
	g.play(3, 40)
	before := g.state()
	g.post(entry.Goal{Side: entry.Visitors, Scorer: "9"})
	g.post(minor(entry.Visitors, "16"))
	g.post(entry.ClockSet{Elapsed: entry.Clock(3, 38), Moves: true})
	want := []string{
		"set_time: Lift the glass lid, turn the tall dial until the clock reads 8:22, close the lid.",
		"goal: Tap the guest bell once. The guest score reads 1.",
		"penalty_taken_down: Pull the home drawer to line 1 (number 07) and press the sponge key.",
		"penalty_posted: Slide the guest drawer open and turn its wheel to 1:30.",
		"penalty_posted: Dial 16 on the number ring, then close the drawer. It stands on guest line 1.",
	}
	expect(t, g.look().Steps, want...)
	expect(t, card.Todo(before, g.state(), saltworks(t), g.wall), want...)
	g.tickAll()
	if v := g.look(); v.Waiting != 0 || len(v.Steps) != 0 {
		t.Errorf("after all ticks %d wait: %v", v.Waiting, texts(v.Steps))
	}
}

// TestStrikeAndAmendment: what was done on the board is put right there too.
func TestStrikeAndAmendment(t *testing.T) {
	g := newGame(t, nil)
	g.use(saltworks(t))
	g.period(1)
	g.play(5, 0)
	goal := g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	call := g.post(minor(entry.Home, "7"))
	g.tickAll()
	g.of(goal, entry.Struck{})
	g.of(call, entry.Amended{To: minor(entry.Home, "17")})
	expect(t, g.look().Steps,
		"goal_taken_back: Press the sponge key, then the home bell. The home score reads 0.",
		"penalty_changed: Pull the home drawer to line 1: turn its wheel to 1:30 and its ring to 17.",
	)
	g.tickAll()
	g.of(call, entry.Amended{To: minor(entry.Visitors, "17")})
	expect(t, g.look().Steps,
		"penalty_taken_down: Pull the home drawer to line 1 (number 17) and press the sponge key.",
		"penalty_posted: Slide the guest drawer open and turn its wheel to 1:30.",
		"penalty_posted: Dial 17 on the number ring, then close the drawer. It stands on guest line 1.",
	)
}

// TestClockPutBack: the board's penalty lines do not follow its clock.
func TestClockPutBack(t *testing.T) {
	g := newGame(t, nil)
	g.use(saltworks(t))
	g.period(1)
	g.play(5, 0)
	g.post(minor(entry.Home, "7"))
	g.tickAll()
	g.play(5, 30)
	g.post(entry.ClockSet{Elapsed: entry.Clock(5, 21)})
	expect(t, g.look().Steps,
		"set_time: Lift the glass lid, turn the tall dial until the clock reads 6:39, close the lid.",
		"penalty_changed: Pull the home drawer to line 1: turn its wheel to 1:09 and its ring to 07.",
	)
	g.tickAll()
	// A penalty that ran out on the board is back when the clock is.
	g.play(6, 32)
	set := g.post(entry.ClockSet{Elapsed: entry.Clock(6, 28)})
	expect(t, g.look().Steps,
		"set_time: Lift the glass lid, turn the tall dial until the clock reads 5:32, close the lid.",
		"penalty_posted: Slide the home drawer open and turn its wheel to 0:02.",
		"penalty_posted: Dial 07 on the number ring, then close the drawer. It stands on home line 1.",
	)
	// The correction was wrong: the clock goes forward again, and nothing else.
	g.of(set, entry.Struck{})
	expect(t, g.look().Steps, "set_time: Lift the glass lid, turn the tall dial until the clock reads 5:28, close the lid.")
}

// TestBoardReadMovesWhatWasJustPosted: our clock runs beside the board's.
func TestBoardReadMovesWhatWasJustPosted(t *testing.T) {
	g := newGame(t, nil)
	g.post(entry.BenchSet{Clock: entry.Beside, WaitForTicks: true})
	g.use(saltworks(t))
	g.period(1)
	g.play(4, 0)
	g.post(minor(entry.Home, "7"))
	g.tickAll()
	g.play(4, 30)
	g.post(minor(entry.Home, "8"))
	g.tickAll()
	g.at.Elapsed = entry.Clock(4, 32)
	g.post(entry.BoardRead{Elapsed: entry.Clock(4, 32)})
	v := g.look()
	expect(t, v.Steps)
	if lines := v.Board.Sides[0].Lines; len(lines) != 2 || lines[0].Text != "0:58" || lines[1].Text != "1:30" {
		t.Errorf("the board should read %+v", lines)
	}
}

func TestIntermissionAndAfter(t *testing.T) {
	g := newGame(t, nil)
	g.post(entry.BenchSet{Clock: entry.Lead, WaitForTicks: true})
	g.use(saltworks(t))
	expect(t, g.look().Steps,
		"before_game: Wake the console: lift the blue cover and wait for the green lamp.",
		"before_game: Turn the tall dial to Warm-up and set the clock to 5:00.",
	)
	g.period(1)
	expect(t, g.look().Steps, "change_period: Move the peg to period 1. The clock reads 12:00.")
	g.play(11, 30)
	g.post(minor(entry.Home, "7"))
	g.tickAll()
	g.play(12, 0)
	if v := g.look(); !v.Holds || v.Waiting != 1 {
		t.Errorf("the horn does not hold: %+v", v)
	}
	expect(t, g.look().Steps, "horn: Check that the horn sounded; if not, pull the brass chain.")
	g.stage(entry.Intermission, 1, entry.Clock(1, 0))
	expect(t, g.look().Steps,
		"hold_penalties: Push both drawers in until the white flags drop: the penalties stand still.",
		"hold_penalties: Look: home line 1, number 07, stands at 1:00.",
		"intermission: Turn the tall dial to Rest and set the clock to 1:00.",
	)
	if v := g.look(); v.Holds || !v.Board.Hold {
		t.Errorf("holds %v while a clock runs; hold the penalties: %v", v.Holds, v.Board.Hold)
	}
	g.period(2)
	expect(t, g.look().Steps,
		"change_period: Move the peg to period 2. The clock reads 12:00.",
		"after_intermission: Raise the white flags: the penalties may run again.",
		"after_intermission: Look: home line 1, number 07, reads 1:00 before the puck drops.",
	)
	g.tickAll()
	g.post(entry.TimeOut{Side: entry.Visitors, Length: entry.Clock(0, 30)})
	g.post(entry.RunningTime{On: true})
	expect(t, g.look().Steps,
		"time_out: Turn the sand glass beside the console (guest, 0:30).",
		"running_time: Hang the round tag on the clock switch: it stays on at the whistle.",
	)
	g.play(0, 30)
	g.post(entry.RunningTime{})
	expect(t, g.look().Steps)
	g.stage(entry.Over, 0, 0)
	expect(t, g.look().Steps, "after_game: Close the blue cover and hang the key back.")
}

// TestCardInTheMiddle: a card taken into use during a game finds a board that
// reads as it should.
func TestCardInTheMiddle(t *testing.T) {
	g := newGame(t, nil)
	g.period(1)
	g.play(5, 0)
	g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	g.post(minor(entry.Home, "7"))
	g.use(saltworks(t))
	expect(t, g.look().Steps)
	g.play(6, 0)
	g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	expect(t, g.look().Steps, "goal: Tap the home bell once. The home score reads 2.")
	set := len(g.ledger)
	g.post(entry.CardSet{Card: []byte("null")})
	if v, err := card.Look(g.ledger, g.state(), g.wall); v != nil || err != nil {
		t.Errorf("the card is still in use: %v, %v", v, err)
	}
	g.of(g.ledger[set].ID, entry.Struck{})
	expect(t, g.look().Steps, "goal: Tap the home bell once. The home score reads 2.")
}

// TestTicks: a tick that came twice, out of order, or for nothing, and one that
// was struck.
func TestTicks(t *testing.T) {
	g := newGame(t, nil)
	g.use(saltworks(t))
	g.period(1)
	g.tickAll()
	g.post(entry.Goal{Side: entry.Home, Scorer: "9"})
	first := g.look().Steps[0].ID
	tick := g.post(entry.Ticked{Step: first})
	again := g.post(entry.Ticked{Step: first})
	for _, id := range []string{"goal|nobody|7@0#0", "penalty_posted|home@0#1", "@#", "x", "goal@0#0"} {
		g.post(entry.Ticked{Step: id})
	}
	expect(t, g.look().Steps)
	g.of(tick, entry.Struck{})
	expect(t, g.look().Steps) // the second one still says that it was done
	g.of(again, entry.Struck{})
	expect(t, g.look().Steps, "goal: Tap the home bell once. The home score reads 1.")
	g.post(minor(entry.Home, "7"))
	posted := g.look().Steps[1:]
	g.post(entry.Ticked{Step: posted[1].ID})
	if v := g.look(); v.Waiting != 2 || len(v.Steps) != 3 || !v.Steps[2].Ticked {
		t.Errorf("%d wait: %+v", v.Waiting, v.Steps)
	}
}

// TestNumberPutRightOnALineThatWasUsedBefore: the same player's earlier penalty
// has run out, and must not be taken for the one that is on the board.
func TestNumberPutRightOnALineThatWasUsedBefore(t *testing.T) {
	g := newGame(t, nil)
	g.use(saltworks(t))
	g.period(1)
	g.play(1, 0)
	g.post(minor(entry.Visitors, "3"))
	g.post(minor(entry.Visitors, "2"))
	g.tickAll()
	g.play(5, 0)
	call := g.post(minor(entry.Visitors, "3"))
	g.tickAll()
	g.of(call, entry.Amended{To: minor(entry.Visitors, "2")})
	expect(t, g.look().Steps, "penalty_changed: Pull the guest drawer to line 1: turn its wheel to 1:30 and its ring to 02.")
	g.tickAll()
	g.of(call, entry.Struck{})
	expect(t, g.look().Steps, "penalty_taken_down: Pull the guest drawer to line 1 (number 02) and press the sponge key.")
	g.tickAll()
	expect(t, g.look().Steps)
}
