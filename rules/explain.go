package rules

import (
	"whistlestop/entry"
	"whistlestop/rulebook"
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
	say := func(topic rulebook.Topic, key string, p *calledPart, args map[string]string) {
		r := b.reason(topic, key, args)
		c.notes = append(c.notes, r)
		if p != nil {
			p.term.Reasons = append(p.term.Reasons, r)
		}
	}
	minors := 0
	for _, p := range c.parts {
		args := c.partArgs(p)
		t := p.term
		switch {
		case p.wiped, p.matched:
			// said where it was decided
		case t.Part == entry.GameMisconduct:
			say(rulebook.TopicEjected, "follows.ejected", p, args)
		case t.Part == entry.PenaltyShot:
			say(rulebook.TopicShot, "follows.penalty_shot", p, args)
		case t.Part == entry.Misconduct && t.Ended == NotServed:
			// the ejection says all
		case t.Part == entry.Misconduct:
			key, topic := "follows.misconduct", rulebook.TopicMisconduct
			if c.row.slots > 0 {
				key, topic = "follows.misconduct_after", rulebook.TopicMinorAndMore
			}
			args["length"] = t.Length.Left()
			say(topic, key, p, args)
		case t.Waits:
			say(rulebook.TopicWaits, "follows.waits", p, args)
		case t.ends > 0:
			key, topic := startTopic(t.Part)
			args["out"] = b.axis.clockOf(t.ends)
			args["length"] = t.Length.Left()
			if b.axis.moment(t.ends).Period != c.play.at.Period && b.axis.clockOf(t.ends)[0] != '@' {
				key = "follows.carries"
				args["period"] = periodArg(b.axis.moment(t.ends), b.axis)
			}
			say(topic, key, p, args)
		default:
			key, topic := "follows.then", rulebook.TopicDoubleMinor
			switch {
			case t.Part.IsMinor() && minors == 0:
				key, topic = "follows.after_major", rulebook.TopicMajorFirst
			case t.Part.IsMajor():
				key, topic = "follows.then", rulebook.TopicMajor
			}
			args["length"] = t.Length.Left()
			say(topic, key, p, args)
		}
		if t.Part.IsMinor() {
			minors++
		}
	}
}

func startTopic(p entry.Part) (key string, topic rulebook.Topic) {
	switch p {
	case entry.BenchMinor:
		return "follows.starts_bench", rulebook.TopicBenchMinor
	case entry.Match:
		return "follows.starts_match", rulebook.TopicMatch
	case entry.Major:
		return "follows.starts_major", rulebook.TopicMajor
	case entry.Minor, entry.Misconduct, entry.GameMisconduct, entry.PenaltyShot:
		return "follows.starts", rulebook.TopicMinor
	default:
		return "follows.starts", rulebook.TopicMinor
	}
}

// periodArg names the period of a moment.
func periodArg(m Moment, a axis) string {
	s := a.span(m.Period).Stage
	return stageArg(s)
}
