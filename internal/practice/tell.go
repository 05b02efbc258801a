package practice

import (
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/practice/grade"
	"whistlestop/practice/plot"
)

// told lists slips of the learner's own seat: those that wait to be told, or those of the
// stoppage before the newest drop.
func told(c *api.Call) (any, error) {
	p := playOf(c)
	if waits := p.waits; waits != nil {
		p.waits = nil
		return *waits, nil
	}
	upTo := p.run.UpTo()
	if upTo < 0 {
		return nil, api.NotThere("engine.nothing_told")
	}
	ledger, err := p.ledger()
	if err != nil {
		return nil, err
	}
	g, err := p.grader.UpTo(ledger, p.run.Acts(), upTo)
	if err != nil {
		return nil, err
	}
	p.told = upTo
	told := p.tell(g, p.placeOf(upTo), func(grade.Fault) bool { return true })
	p.telling.Fresh(told.Findings)
	return told, nil
}

// tell lists the slips of a stoppage that are of the learner's seat, of some kinds.
func (p *play) tell(g grade.Grade, moment int, kinds func(grade.Fault) bool) Told {
	moment = max(0, moment)
	told := Told{Findings: []grade.Finding{}, Moment: moment, Right: p.script.Moments[moment].Right}
	for _, f := range g.Findings {
		// A door that is opened while play is on may belong to the stoppage to come.
		here := f.Moment == moment || f.Moment > moment && (f.Fault == grade.ReleaseWrong || f.Fault == grade.ReleaseEarly)
		if here && plot.Uses(p.seat, f.Skill) && kinds(f.Fault) {
			told.Findings = append(told.Findings, f)
		}
	}
	return told
}

// placeOf is the stoppage of a cue, or the one before it.
func (p *play) placeOf(cue int) int {
	place := 0
	for i, m := range p.script.Moments {
		if m.From <= cue {
			place = i
		}
	}
	return place
}

// check looks for slips that can be told now: in starting the clock, at the stoppage after
// it; and, where a learner goes step by step, in what was entered since the last look.
func (p *play) check(now entry.Millis, seq int) error {
	if p.watch || p.waits != nil {
		return nil
	}
	if upTo := p.run.Started(); upTo > p.started {
		p.started = upTo
		// The start belongs to the stoppage before the play that is over now.
		if err := p.halt(now, p.placeOf(upTo)-1, grade.Fault.OfStart); err != nil || p.waits != nil {
			return err
		}
	}
	if seq <= p.checked || !p.run.Steps() {
		return nil
	}
	p.checked = seq
	return p.halt(now, p.placeOf(p.run.Newest()), grade.Fault.AtOnce)
}

// halt has slips of some kinds at a stoppage told, those that were not told yet. Where the
// learner goes step by step the practice stands still for them.
func (p *play) halt(now entry.Millis, moment int, kinds func(grade.Fault) bool) error {
	cue := p.run.Newest()
	if cue < 0 || p.over() {
		return nil
	}
	ledger, err := p.ledger()
	if err != nil {
		return err
	}
	g, err := p.grader.Under(ledger, p.run.Acts(), cue, now)
	if err != nil {
		return err
	}
	told := p.tell(g, moment, kinds)
	told.Stops, told.Start = p.run.Steps(), moment < p.placeOf(cue)
	if told.Findings = p.telling.Fresh(told.Findings); len(told.Findings) > 0 {
		p.waits = &told
	}
	return nil
}
