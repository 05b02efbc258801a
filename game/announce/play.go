package announce

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// fullStrength: when a penalty is over, the side, or both, at full strength
// (IIHF Rule Book 2010, Annex 3).
func (b *builder) fullStrength() {
	wasShort := [2]bool{}
	for _, step := range b.state.Strength {
		span, begun := b.span(step.From)
		short := [2]bool{}
		for i, n := range step.Skaters {
			short[i] = n < span.Skaters || n < step.Skaters[1-i]
		}
		var again []entry.Side
		for i, side := range entry.Sides {
			if wasShort[i] && !short[i] {
				again = append(again, side)
			}
		}
		wasShort = short
		if len(again) == 0 || !begun {
			continue
		}
		a := Announcement{Kind: FullStrength, At: step.From, Due: step.From.Abs}
		about := "full/" + strconv.Itoa(step.From.Period) + "-" + step.From.Elapsed.String()
		if len(again) == 2 {
			a.Says = []rules.Say{say("full_both")}
		} else {
			a.Says = []rules.Say{say("full", "team", b.team(again[0]))}
			about += "-" + string(again[0])
		}
		b.add(a, about)
	}
}

// span returns the period of a moment, and whether it was begun.
func (b *builder) span(m rules.Moment) (rules.PeriodSpan, bool) {
	for _, span := range b.state.Periods {
		if span.Period == m.Period {
			return span, span.Begun
		}
	}
	return rules.PeriodSpan{}, false
}

// lastMinutes: one minute left in each period, two in the last one (IIHF 2025/26
// Rule 34.1 for three periods; for other numbers of periods common practice, no
// source). Nothing is said of overtime.
func (b *builder) lastMinutes() {
	regulation := len(b.state.Division.Periods)
	for _, span := range b.state.Periods {
		if !span.Begun || span.Period > regulation {
			continue
		}
		left, key := entry.Clock(1, 0), "last_minute"
		if span.Period == regulation {
			left, key = entry.Clock(2, 0), "last_two_minutes"
		}
		if span.Length <= 2*left {
			continue
		}
		at := span.Length - left
		b.add(Announcement{
			Kind: LastMinute, Due: span.Abs + at,
			At:   rules.Moment{Abs: span.Abs + at, Period: span.Period, Elapsed: at, Left: left},
			Says: []rules.Say{say(key, "period", "@stage.period."+strconv.Itoa(span.Period))},
		}, "last_minute/"+strconv.Itoa(span.Period))
	}
}
