package rules

import (
	"slices"
	"strconv"

	"whistlestop/game/entry"
)

// What the fold makes of each kind of entry: what follows from it, what speaks
// against it, and what it is in words. A new kind is named in these three.

// step takes one entry in.
func (f *folding) step(e *settled) {
	s := &f.state
	switch b := e.body.(type) {
	case entry.RosterSet:
		t := &s.Teams[b.Side.Index()]
		t.Name, t.Players, t.Staff, t.Colour = b.Team.Name, list(b.Team.Players), list(b.Team.Staff), b.Team.Colour
	case entry.StageBegun:
		s.Stage, s.TimeOut, s.Delay = b.Stage, nil, nil
		f.started, f.length = f.count, b.Length
		s.Clock = Clock{Running: b.Running && b.Length > 0, Wall: e.Wall, Length: b.Length}
		if b.Stage.Play() {
			f.begun[periodOf(&s.Division, b.Stage)] = b
		} else {
			clear(f.later) // a quiet moment: what is owed is asked for again
		}
	case entry.ClockStarted:
		s.Clock.Running, s.Clock.Doubt, s.TimeOut, s.Delay = true, nil, nil, nil
		f.started = f.count
		s.Clock.Elapsed, s.Clock.Wall, s.Clock.Error = b.Elapsed, e.Wall, b.Error
	case entry.ClockStopped:
		f.stopAt(e, b.Elapsed)
		s.Clock.Error = b.Error
	case entry.ClockSet:
		if b.Moves && s.Stage.Play() && !s.Clock.Running {
			f.moveWhistle(s.Clock.Elapsed, b.Elapsed)
		}
		f.forgetStopsAfter(b.Elapsed)
		s.Clock.Elapsed, s.Clock.Wall, s.Clock.Error, s.Clock.Doubt = b.Elapsed, e.Wall, 0, nil
	case entry.ClockDoubted:
		// No whistle: nobody who waits for one may go.
		s.Clock.Running, s.Clock.Elapsed, s.Clock.Wall = false, b.Elapsed, e.Wall
		s.Clock.Doubt = &Doubt{
			Entry: e.ID, From: e.Wall, Asleep: b.Asleep,
			Why: b.Why, Step: b.Step, Kept: b.Kept, Found: b.Found, Readings: b.Readings,
		}
	case entry.BoardRead:
		drift := s.Clock.At(e.Wall) - b.Elapsed
		if s.Bench.Clock == entry.Beside {
			s.Bench.Drift = &drift
			if !s.Clock.Running {
				f.moveWhistle(s.Clock.Elapsed, b.Elapsed)
			}
		}
		f.stopAt(e, b.Elapsed)
		s.Clock.Error = 0
	case entry.TimeOut:
		s.TimeOut = &TimeOutClock{Side: b.Side, Wall: e.Wall, Length: b.Length}
		if b.Side.Valid() {
			s.Teams[b.Side.Index()].TimeOuts++
		}
	case entry.Delay:
		s.Delay = &DelayClock{Why: b.Why, Wall: e.Wall, Length: b.Length}
	case entry.DelayOver:
		s.Delay, s.TimeOut = nil, nil
	case entry.RunningTime:
		s.Bench.RunningTime = b.On
	case entry.BenchSet:
		s.Bench.Clock, s.Bench.ConfirmBox, s.Bench.WaitForTicks = b.Clock, b.ConfirmBox, b.WaitForTicks
		s.Bench.Names, s.Bench.OnIce, s.Bench.FaceOffs = b.Names, b.OnIce, b.FaceOffs
		s.Bench.SlotEnd = b.SlotEnd
	case entry.Goalkeeper:
		t := &s.Teams[b.Side.Index()]
		t.Goalkeeper, t.NetEmpty = b.Number, b.Number == ""
		if b.Number != "" {
			f.kept[b.Side.Index()] = b.Number
		}
	case entry.Seated:
		// The axis is not laid out yet; the moment is worked out from At later.
		f.seen[sideNumber{b.Side, b.Player}] = seated{abs: f.roughly(*e.at), in: b.In}
	case entry.Choice:
		f.answers[b.Question] = b.Picks
	case entry.SetAside:
		f.aside[b.Item], f.later[b.Item] = true, true
	case entry.Goal:
		f.hear(e)
	case entry.Amended:
		if _, goal := b.To.(entry.Goal); goal {
			f.hear(e)
		}
	case entry.CardSet:
		f.card = len(b.Card) > 0 && string(b.Card) != "null"
	case entry.Sealed:
		f.sealed = true
	case entry.GameOpened, entry.Penalty, entry.Note, entry.Struck, entry.Ticked, entry.Shots, entry.FaceOff, entry.Attempt, entry.Announced,
		entry.RosterConfirmed, entry.CrewSet, entry.Signed, entry.Withdrawn:
		// goals and calls are played in the order of the game, the book is kept later;
		// the rest says nothing here
	}
}

// bodyRefusal checks what an entry says against where the game stands.
func bodyRefusal(state State, at entry.At, body entry.Body, no noFunc) (Refusal, bool) {
	switch b := body.(type) {
	case entry.Goal:
		return goalRefusal(state, at, b, no)
	case entry.Penalty:
		if at.Period == 0 {
			return Refusal{}, true // called in warm-up, served from the first face-off
		}
		return placeRefusal(state, at, no)
	case entry.ClockStarted:
		return startRefusal(state, b, no)
	case entry.ClockStopped:
		if !state.Clock.Running {
			return no("kind", "refused.not_running", nil)
		}
		return clockRefusal(state, b.Elapsed, no)
	case entry.ClockSet:
		return clockRefusal(state, b.Elapsed, no)
	case entry.TimeOut:
		if state.Clock.Running && state.Stage.Play() {
			return no("kind", "refused.time_out_running", nil)
		}
	case entry.StageBegun:
		return stageRefusal(state, b, no)
	case entry.Choice:
		if !slices.ContainsFunc(state.Asked, func(q Question) bool { return q.ID == b.Question }) {
			return no("question", "refused.no_question", nil)
		}
	case entry.BoardRead:
		if !state.Stage.Play() {
			return no("kind", "refused.no_board", Pairs("stage", stageArg(state.Stage)))
		}
		return clockRefusal(state, b.Elapsed, no)
	case entry.RunningTime:
		if b.On == state.Bench.RunningTime {
			return no("on", "refused.running_same", nil)
		}
	case entry.Delay:
		if state.Clock.Running && state.Stage.Play() && !state.Bench.RunningTime {
			return no("kind", "refused.delay_running", nil)
		}
	case entry.DelayOver:
		if state.Delay == nil && state.TimeOut == nil {
			return no("kind", "refused.no_delay", nil)
		}
	case entry.GameOpened, entry.RosterSet, entry.SetAside, entry.Note, entry.Amended, entry.Struck,
		entry.BenchSet, entry.Goalkeeper, entry.Seated, entry.CardSet, entry.Ticked, entry.FaceOff,
		entry.Announced, entry.RosterConfirmed, entry.CrewSet, entry.Signed, entry.Withdrawn:
		// nothing in the game speaks against it
	case entry.Shots:
		return placeRefusal(state, at, no)
	case entry.Attempt:
		if b.On == entry.PenaltyShotAttempt {
			return placeRefusal(state, at, no)
		}
		if state.Book.ShootOut == nil {
			return no("on", "refused.no_shoot_out", nil)
		}
	case entry.Sealed:
		return sealRefusal(state, b, no)
	case entry.ClockDoubted:
		if !state.Clock.Running {
			return no("kind", "refused.not_running", nil)
		}
	}
	return Refusal{}, true
}

// say writes an entry as one sentence.
func (f *folding) say(e *settled, goal *Goal, length entry.Millis) Say {
	room := &f.box.room
	team := func(s entry.Side) string { return f.box.names[s.Index()] }
	left := func(elapsed entry.Millis) string { return max(0, length-elapsed).Left() }
	switch b := e.body.(type) {
	case entry.GameOpened:
		return Say{Key: "line.game_opened", Args: room.pairs("home", team(entry.Home), "visitors", team(entry.Visitors))}
	case entry.RosterSet:
		return Say{Key: "line.roster_set", Args: room.pairs("team", team(b.Side))}
	case entry.StageBegun:
		return Say{Key: "line.stage_begun", Args: room.pairs("stage", stageArg(b.Stage))}
	case entry.ClockStarted:
		return Say{Key: "line.clock_started", Args: room.pairs("time", left(b.Elapsed))}
	case entry.ClockStopped:
		key := "line.clock_stopped"
		if e.Seat == entry.Program {
			key = "line.clock_ran_out"
		}
		return Say{Key: key, Args: room.pairs("time", left(b.Elapsed))}
	case entry.ClockSet:
		return Say{Key: "line.clock_set", Args: room.pairs("time", left(b.Elapsed))}
	case entry.TimeOut:
		if b.Side == "" {
			return Say{Key: "line.time_out_officials", Args: room.pairs("length", b.Length.Left())}
		}
		return Say{Key: "line.time_out", Args: room.pairs("team", team(b.Side), "length", b.Length.Left())}
	case entry.Goal:
		return f.goalSay(b, goal, team(b.Side))
	case entry.Penalty:
		return Say{Key: "line.penalty", Args: room.pairs(
			"team", team(b.Side), "player", playerArg(b.Player, b.Bench), "call", f.callArg(b.Call),
			"parts", PartsArg(b.Parts),
		)}
	case entry.Choice:
		return Say{Key: "line.choice", Args: room.pairs("players", jerseys(b.Picks))}
	case entry.SetAside:
		return f.asideSay(b)
	case entry.Note:
		return Say{Key: "line.note", Args: room.pairs("text", b.Text)}
	case entry.BoardRead:
		return Say{Key: "line.board_read", Args: room.pairs("time", left(b.Elapsed))}
	case entry.BenchSet:
		key := "line.bench_set"
		if b.SlotEnd > 0 {
			key = "line.bench_set_slot"
		}
		return Say{Key: key, Args: room.pairs("mode", "@mode."+string(b.Clock))}
	case entry.RunningTime:
		if b.On {
			return Say{Key: "line.running_on"}
		}
		return Say{Key: "line.running_off"}
	case entry.Goalkeeper:
		if b.Number == "" {
			return Say{Key: "line.net_empty", Args: room.pairs("team", team(b.Side))}
		}
		return Say{Key: "line.goalkeeper", Args: room.pairs("team", team(b.Side), "player", string(b.Number))}
	case entry.Delay:
		return Say{Key: "line.delay", Args: room.pairs("why", "@delay."+string(b.Why))}
	case entry.DelayOver:
		return Say{Key: "line.delay_over"}
	case entry.Seated:
		key := "line.seated_out"
		if b.In {
			key = "line.seated_in"
		}
		return Say{Key: key, Args: room.pairs("team", team(b.Side), "player", string(b.Player))}
	case entry.CardSet:
		if string(b.Card) == "null" || len(b.Card) == 0 {
			return Say{Key: "line.card_away"}
		}
		return Say{Key: "line.card_set"}
	case entry.Ticked:
		return Say{Key: "line.ticked"}
	case entry.ClockDoubted:
		key := "line.clock_doubted"
		if b.Why != entry.Slept {
			key += "." + string(b.Why)
		}
		return Say{Key: key, Args: room.pairs("time", left(b.Elapsed))}
	case entry.Shots:
		key := "line.shots"
		if b.Count == 1 {
			key = "line.shot"
		}
		return Say{Key: key, Args: room.pairs("team", team(b.Side), "count", strconv.Itoa(b.Count))}
	case entry.FaceOff:
		return Say{Key: "line.face_off", Args: room.pairs("team", team(b.Won))}
	case entry.Attempt:
		key := "line." + string(b.On) + "_missed"
		if b.Scored {
			key = "line." + string(b.On) + "_scored"
		}
		return Say{Key: key, Args: room.pairs("team", team(b.Side), "player", playerArg(b.Player, false))}
	case entry.Announced:
		return Say{Key: "line.announced"}
	case entry.RosterConfirmed:
		return Say{Key: "line.roster_confirmed", Args: room.pairs("team", team(b.Side), "by", b.By)}
	case entry.CrewSet:
		return Say{Key: "line.crew_set"}
	case entry.Signed:
		return Say{Key: "line.signed", Args: room.pairs("name", b.Name, "role", "@role."+string(b.Role))}
	case entry.Sealed:
		return Say{Key: "line.sealed", Args: room.pairs("version", strconv.Itoa(b.Version))}
	case entry.Withdrawn:
		return Say{Key: "line.withdrawn", Args: room.pairs("count", strconv.Itoa(len(b.Texts)))}
	case entry.Amended, entry.Struck:
		return f.aboutSay(e, team)
	}
	return Say{Key: "line.note", Args: room.pairs("text", string(e.Kind()))}
}
