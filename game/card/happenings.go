package card

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// happenings are the tasks of the stage that the game is in: each is known by the
// entry that began it, and is gone when the stage is.
func happenings(state rules.State, c Card, r Reading) []task {
	h := &happening{state: state, c: c, r: r}
	h.read()
	h.stage()
	if h.clockSet != "" {
		h.add(SetTime, h.clockSet)
	}
	if t := state.TimeOut; t != nil && h.timeOut != "" {
		team := ""
		if t.Side.Valid() {
			team = state.Teams[t.Side.Index()].Name
		}
		h.tasks = append(h.tasks, task{when: TimeOut, key: key(TimeOut, h.timeOut), fields: []string{
			"{side}", c.word(t.Side), "{team}", team, "{minutes}", minutes(t.Length), "{time}", t.Length.String(),
		}})
	}
	if state.Bench.RunningTime && h.running != "" {
		h.add(RunningTime, h.running)
	}
	clock := state.Clock
	if state.Stage.Play() && !clock.Running && clock.Length > 0 && clock.Elapsed >= clock.Length && h.stopped != "" {
		h.add(Horn, h.stopped)
	}
	return h.tasks
}

// happening looks for the entries that began what goes on now.
type happening struct {
	state rules.State
	c     Card
	r     Reading
	tasks []task

	opened, begun, clockSet, timeOut, running, stopped string // ids of entries
	before                                             entry.Stage
}

// read goes through the ledger in words.
func (h *happening) read() {
	kinds := map[string]entry.Kind{}
	for _, line := range h.state.Lines {
		kinds[line.Entry] = line.Kind
		if line.Kind.Edits() {
			if setsClock(kinds[line.About()]) { // an amendment of a clock entry is one
				h.clockSet = line.Entry
			}
		} else if !line.Struck {
			h.take(line)
		}
	}
}

func (h *happening) take(line rules.Line) {
	switch body := line.Body.(type) {
	case entry.GameOpened:
		h.opened, h.before = line.Entry, entry.Stage{Kind: entry.Setup}
	case entry.StageBegun:
		if body.Stage != h.state.Stage {
			h.before = body.Stage
		}
		h.begun, h.clockSet, h.stopped = line.Entry, "", ""
	case entry.ClockSet:
		h.clockSet = line.Entry
	case entry.BoardRead:
		h.clockSet = "" // the board's own time: nothing to set there
	case entry.ClockStopped:
		h.stopped = line.Entry
	case entry.TimeOut:
		h.timeOut = line.Entry
	case entry.RunningTime:
		h.running = line.Entry
	default: // nothing that a board has to be told by itself
	}
}

// setsClock reports whether an amendment of an entry of the kind sets the clock.
func setsClock(kind entry.Kind) bool {
	return kind.About().Board == entry.SetsItTime
}

// stage adds what the stage asks for.
func (h *happening) stage() {
	switch h.state.Stage.Kind {
	case entry.Setup, entry.WarmUp:
		h.add(BeforeGame, h.opened)
	case entry.Period, entry.Overtime:
		h.add(ChangePeriod, h.begun)
		if h.before.Kind == entry.Intermission {
			h.add(AfterIntermission, h.begun)
		}
	case entry.Intermission:
		if h.r.Hold {
			h.add(HoldPenalties, h.begun)
		}
		h.add(Intermission, h.begun)
	case entry.Over:
		h.add(AfterGame, h.begun)
	case entry.ShootOut:
		// a board has no more to show than the score
	}
}

func (h *happening) add(when When, entryID string) {
	period := ""
	if h.r.Period > 0 {
		period = strconv.Itoa(h.r.Period)
	}
	time := h.r.Text
	if h.state.Stage.Kind == entry.Setup && len(h.state.Next) > 0 {
		time = h.state.Next[0].Length.Left() // what is set first
	}
	t := task{when: when, key: key(when, entryID), fields: []string{"{time}", time, "{period}", period}}
	for _, side := range h.r.Sides {
		for place, l := range side.Lines {
			t.each = append(t.each, append(lineFields(h.state, h.c, l, place), l.row))
		}
	}
	h.tasks = append(h.tasks, t)
}
