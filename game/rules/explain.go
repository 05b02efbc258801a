package rules

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// clockOf returns what the game clock will show at a moment, as people read it.
// A moment beyond the game is given as the catalogue's words for that.
func (a axis) clockOf(abs entry.Millis) string {
	last := a[len(a)-1]
	if abs > last.Abs+last.Length {
		return "@time.after_game"
	}
	return a.moment(abs).Left.Left()
}

// explain writes what follows from a call for the player who was called.
func (b *box) explain(c *called) {
	say := func(topic rulebook.Topic, key string, p *calledPart, args Args) {
		c.because(p, b.reason(topic, key, args))
	}
	if c.WarmUp { // common practice, no source
		c.Reasons = append(c.Reasons, Reason{Code: b.code.ID, Say: Say{Key: "follows.warm_up"}})
	}
	minors := 0
	for i := range c.parts {
		p := &c.parts[i]
		args := b.partArgs(c, p)
		t := p.term
		switch {
		case p.wiped, p.matched:
			// said where it was decided
		case p.untimed && b.division.Lengths.Form == rulebook.MinorShot:
			say(rulebook.TopicShot, "follows.form_shot", p, args)
		case p.untimed:
			say(rulebook.TopicMinor, "follows.form_shift", p, args)
		case t.Part == entry.GameMisconduct:
			say(rulebook.TopicEjected, "follows.ejected", p, args)
		case t.Part == entry.PenaltyShot:
			say(rulebook.TopicShot, "follows.penalty_shot", p, args)
		case t.Part == entry.Misconduct && t.Ended == NotServed:
			// the ejection says all
		case t.Part == entry.Misconduct:
			key, topic := "follows.misconduct", rulebook.TopicMisconduct
			switch {
			case c.row.slots > 0:
				key, topic = "follows.misconduct_after", rulebook.TopicMinorAndMore
			case len(c.row.off) > 0 && c.row.off[0] != t:
				key = "follows.misconduct_then"
			}
			args = args.With("length", t.Length.Left())
			say(topic, key, p, args)
		case t.Waits:
			key := "follows.waits"
			if b.most() == 1 {
				key = "follows.waits_one"
			}
			say(rulebook.TopicWaits, key, p, args)
		case t.ends > 0:
			b.explainStart(c, p, args)
		default:
			key, topic := "follows.then", rulebook.TopicMinor
			switch {
			case t.Part.IsMajor():
				topic = rulebook.TopicMajor
			case b.afterMajor(t):
				key, topic = "follows.after_major", rulebook.TopicMajorFirst
			case minors > 0:
				topic = rulebook.TopicDoubleMinor
			}
			args = args.With("length", t.Length.Left())
			if end, running := b.latestEnd(t); running {
				args = args.With("out", b.axis.clockOf(end))
			} else {
				key = "follows.then_open"
			}
			say(topic, key, p, args)
		}
		if t.Part.IsMinor() {
			minors++
		}
	}
}

// explainStart says who sits for a term that starts now, and until when.
func (b *box) explainStart(c *called, p *calledPart, args Args) {
	t := p.term
	topic := startTopic(t.Part)
	args = args.With("out", b.axis.clockOf(t.ends))
	args = args.With("length", t.Length.Left())
	key := "follows.starts"
	if t.Part.IsMajor() {
		key = "follows.starts_major"
	}
	if s := b.slotOf(t); s != nil {
		args = args.With("sits", playerArg(s.sits(), false))
		more := s.now+1 < len(s.terms)
		switch {
		case more && s.sits() == c.Player:
			key = "follows.starts_first"
		case s.nobody:
			key = "follows.starts_empty"
		case s.sits() == "" && c.Player != "" || s.sits() == "" && c.Bench:
			key = "follows.starts_who"
		case s.sits() != c.Player:
			key = "follows.starts_for"
			args = args.With("for", servedFor(c.Player, c.Bench))
		}
		if c.row.goalkeeper && s.sits() != c.Player {
			topic = rulebook.TopicGoalkeeper
		}
		// Where another penalty waits for the place, the end of this one lets nobody out.
		if len(b.side(c.Side).waiting) > 0 {
			switch key {
			case "follows.starts":
				key = "follows.starts_until"
			case "follows.starts_for":
				key = "follows.starts_for_until"
			case "follows.starts_major":
				key = "follows.starts_major_until"
			}
		}
	}
	c.because(p, b.reason(topic, key, args))
	if end := b.axis.moment(t.ends); end.Period != c.at.Period && args.Get("out")[0] != '@' {
		c.because(p, b.reason(rulebook.TopicCarried, "follows.carries", Pairs(
			"period", stageArg(b.axis.span(end.Period).Stage),
		)))
	}
}

// afterMajor reports whether a term follows a major of the player at once.
func (b *box) afterMajor(t *term) bool {
	bx := b.side(t.Side)
	for _, list := range [][]*slot{bx.running, bx.waiting} {
		for _, s := range list {
			if i := slices.Index(s.terms, t); i > s.now {
				return s.terms[i-1].Part.IsMajor()
			}
		}
	}
	return false
}

// latestEnd returns when a term that follows another in its slot is over if no
// goal ends one of them before. For a slot that still waits nobody can say.
func (b *box) latestEnd(t *term) (end entry.Millis, running bool) {
	for _, s := range b.side(t.Side).running {
		at := s.term().ends
		for _, later := range s.terms[s.now+1:] {
			at += later.Length
			if later == t {
				return at, true
			}
		}
	}
	return 0, false
}

// slotOf returns the slot in which a term runs.
func (b *box) slotOf(t *term) *slot {
	for _, s := range b.side(t.Side).running {
		if s.term() == t {
			return s
		}
	}
	return nil
}

func startTopic(p entry.Part) rulebook.Topic {
	switch p {
	case entry.BenchMinor:
		return rulebook.TopicBenchMinor
	case entry.Match:
		return rulebook.TopicMatch
	case entry.Major:
		return rulebook.TopicMajor
	case entry.Minor, entry.Misconduct, entry.GameMisconduct, entry.PenaltyShot:
		return rulebook.TopicMinor
	default:
		return rulebook.TopicMinor
	}
}
