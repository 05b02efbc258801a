package rules

import (
	"strings"

	"whistlestop/game/entry"
)

// board: beside a rink's own board a rink card says what to do at it. Without one
// the two things that go wrong most are still said: a penalty clock that runs down
// in the intermission, and a board that reads otherwise when the puck drops.
func (h holding) board() {
	s := &h.state
	if s.Bench.Clock == entry.Lead || h.card {
		return
	}
	args := Pairs(
		"stage", stageArg(s.Stage), "home", s.Teams[0].Name, "visitors", s.Teams[1].Name,
		"score", number(s.Teams[0].Shown)+"–"+number(s.Teams[1].Shown), "penalties", h.penaltiesLeft(),
	)
	switch {
	case s.Stage.Kind == entry.Intermission && h.penaltiesLeft() != noPenalties:
		h.notice(done("board/penalties/"+stageArg(s.Stage), Say{Key: "notice.board_penalties", Args: args}))
	case s.Stage.Play() && !s.Clock.Running && s.Clock.Elapsed == 0:
		h.notice(done("board/check/"+stageArg(s.Stage), Say{Key: "notice.board_check", Args: args}))
	}
}

const noPenalties = "@board.no_penalties"

// penaltiesLeft lists what a penalty clock would show: side, number and time.
func (h holding) penaltiesLeft() string {
	var list []string
	for _, t := range h.state.Terms {
		if !t.OnClock || t.Ended == Wiped || t.Ended == NotServed || t.Start.Abs > h.now || t.End.Abs <= h.now {
			continue
		}
		name := string(t.Player)
		if name == "" {
			name = string(t.Sits)
		}
		if name == "" {
			name = "?"
		}
		list = append(list, h.folding.box.names[t.Side.Index()]+" "+name+" "+(t.End.Abs-h.now).Left())
	}
	if len(list) == 0 {
		return noPenalties
	}
	return strings.Join(list, ", ")
}
