package rules

import (
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// lead is by how many goals one side leads.
func (h holding) lead() int {
	lead := h.state.Teams[0].Score - h.state.Teams[1].Score
	return max(lead, -lead)
}

// talkBefore is how many goals before running time the referee is spoken to. The
// limit is the largest lead with stop time; one and two goals before it are in
// time (common practice, no source: over six goals, spoken to at four and five).
const talkBefore = 3

// runningTime: one side leads by so much that the clock no longer stops, or no
// longer by so much. The referee orders it; the bench asks.
func (h holding) runningTime() {
	s := &h.state
	rule := s.Division.Running
	if rule.Lead == 0 || !s.Stage.Play() {
		return
	}
	lead := h.lead()
	early := periodOf(&s.Division, s.Stage) < rule.FromPeriod
	args := Pairs("lead", number(lead), "limit", number(rule.Lead))
	key := "running/" + number(s.Teams[0].Score) + "-" + number(s.Teams[1].Score)
	ask := func(on bool, say string) {
		h.add(Item{
			Key: key, Settle: entry.RunningTime{On: on}, SettleKind: entry.KindRunningTime,
			Say: Say{Key: say, Args: args},
		})
	}
	back := rule.Returns == rulebook.ReturnsBelow && lead < rule.Lead ||
		rule.Returns == rulebook.ReturnsClosed && lead == 0
	switch {
	case s.Bench.RunningTime && h.runs(periodOf(&s.Division, s.Stage)):
		// it is on whatever the lead is
	case early && !s.Bench.RunningTime:
	case !s.Bench.RunningTime && lead >= rule.Lead && rule.EndsGame:
		h.add(Item{Key: key, Say: Say{Key: "hold.lead_ends", Args: args}})
	case !s.Bench.RunningTime && lead >= rule.Lead:
		ask(true, "hold.running_on")
	case !s.Bench.RunningTime && lead >= rule.Lead-talkBefore && lead > 0:
		h.notice(Item{Key: key, Say: Say{Key: "notice.running", Args: args}})
	case s.Bench.RunningTime && back:
		ask(false, "hold.running_off")
	case s.Bench.RunningTime && lead < rule.Lead && rule.Returns == rulebook.ReturnsUnsaid:
		h.notice(Item{Key: key, Say: Say{Key: "notice.running_unsaid", Args: args}})
	}
}

// runs reports whether the division plays a period with a running clock whatever
// the score is.
func (h holding) runs(period int) bool {
	d := &h.state.Division
	if o, known := overtimePeriod(d, period); known {
		return o.Running
	}
	rule := d.Clock
	return rule.Running && period >= 1 && period <= len(d.Periods) &&
		(len(rule.RunningPeriods) == 0 || slices.Contains(rule.RunningPeriods, period))
}

// runningPeriod: the division plays this period with running time, or the last
// part of the game with stop time, as some leagues publish it. It is asked before
// the period's first face-off, and from where the last part begins.
func (h holding) runningPeriod() {
	s := &h.state
	if !s.Stage.Play() {
		return
	}
	period := periodOf(&s.Division, s.Stage)
	stage := stageArg(s.Stage)
	ask := func(key, say string, on bool, args Args) Item {
		return Item{
			Key: key, Say: Say{Key: say, Args: args},
			Settle: entry.RunningTime{On: on}, SettleKind: entry.KindRunningTime,
		}
	}
	byLead := s.Division.Running.Lead > 0 && h.lead() >= s.Division.Running.Lead
	fresh := !s.Clock.Running && s.Clock.Elapsed == 0
	switch runs := h.runs(period); {
	case runs && !s.Bench.RunningTime && fresh:
		h.add(ask("clock/"+stage, "hold.runs_period", true, Pairs("stage", stage)))
	case !runs && s.Bench.RunningTime && fresh && h.runs(period-1) && !byLead:
		h.add(ask("clock/"+stage, "hold.stops_period", false, Pairs("stage", stage)))
	case runs && s.Bench.RunningTime && s.Stage.Kind == entry.Period && period == len(s.Division.Periods):
		h.stopLast(ask("clock/last", "hold.stops_last", false, Pairs("time", s.Division.Clock.StopLast.Left())))
	}
}

// stopLast: the last part of the game is played with stop time, in some leagues
// only while the game is close.
func (h holding) stopLast(item Item) {
	rule := h.state.Division.Clock
	if rule.StopLast == 0 || rule.StopWithin > 0 && h.lead() > rule.StopWithin {
		return
	}
	span := h.folding.box.axis.span(periodOf(&h.state.Division, h.state.Stage))
	from := max(span.Abs, span.Abs+span.Length-rule.StopLast)
	if h.now >= from {
		h.add(item)
		return
	}
	// The clock runs through: nobody may post anything until then.
	at := h.folding.box.axis.moment(from)
	item.From = &at
	h.notice(item)
}

// leadRules: what else a league changes with the lead.
func (h holding) leadRules() {
	s := &h.state
	rule := s.Division.Running
	byLead := s.Bench.RunningTime && rule.Lead > 0 && h.lead() >= rule.Lead
	if byLead && rule.ChangesLengths {
		h.notice(done("running_lengths", Say{Key: "notice.running_lengths"}))
	}
	if byLead && rule.KeepsBoxGoing {
		h.notice(done("running_box", Say{Key: "notice.running_box"}))
	}
	over := s.Stage.Kind == entry.Period && !s.Clock.Running && s.Clock.Length > 0 && s.Clock.Elapsed >= s.Clock.Length
	if over && rule.SkipsBreakAt > 0 && h.lead() >= rule.SkipsBreakAt && h.longBreak() {
		h.notice(done("break/"+stageArg(s.Stage), Say{
			Key: "notice.skips_break", Args: Pairs("lead", strconv.Itoa(h.lead())),
		}))
	}
}

// longBreak reports whether the intermission after the period that is played is
// as long as the longest of the game.
func (h holding) longBreak() bool {
	breaks := h.state.Division.Intermissions
	i := h.state.Stage.Number - 1
	return i >= 0 && i < len(breaks) && breaks[i] == slices.Max(breaks)
}
