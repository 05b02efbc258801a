package plot

import (
	"fmt"
	"strings"

	"whistlestop/game/entry"
)

// Text writes a plot as a coordinator writes one. Parse reads it again. The
// division and the rink card are named, not copied.
func (p Plot) Text() string {
	var b strings.Builder
	line := func(key, value string) { fmt.Fprintf(&b, "%-8s %s\n", key, value) }
	b.WriteString("practice 1\n")
	line("id", p.ID)
	line("title", p.Title)
	line("level", fmt.Sprint(p.Level))
	line("seed", fmt.Sprint(p.Seed))
	line("division", p.Division.ID)
	if p.Clock == entry.Follow {
		line("clock", string(p.Clock))
	}
	line("box", yes(p.Box))
	if p.Short {
		line("drill", yes(p.Short))
	}
	if p.Begin.Period > 0 {
		line("begin", fmt.Sprintf("%d %s", p.Begin.Period, p.left(p.Begin)))
	}
	if len(p.Skills) > 0 {
		line("skills", strings.ReplaceAll(Join(p.Skills), ",", ""))
	}
	line("home", teamText(p.Home))
	line("visitors", teamText(p.Visitors))
	period := 0
	for _, w := range p.Whistles {
		if w.At.Period != period {
			period = w.At.Period
			fmt.Fprintf(&b, "\nperiod %d\n", period)
		}
		at := fmt.Sprintf("%-5s", p.left(w.At))
		if plain := UsualWhy(w.Happen); plain != w.Why || len(w.Happen) == 0 {
			fmt.Fprintf(&b, "%s %s\n", at, w.Why)
		}
		for _, h := range w.Happen {
			fmt.Fprintf(&b, "%s %s\n", at, p.happening(h, w.At))
		}
	}
	return b.String()
}

// left writes a moment as the clock shows it, counting down.
func (p Plot) left(at entry.At) string { return (p.Length(at.Period) - at.Elapsed).Left() }

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// UsualWhy is what a whistle is for where its line does not say it.
func UsualWhy(happen []Happening) Why {
	for _, h := range happen {
		switch h.What {
		case AGoal:
			return ForGoal
		case APenalty:
			return ForPenalty
		case ANoGoal, AClockBack, ATimeOut, ARunningTime, AChoice:
		}
	}
	return ForPuck
}

func teamText(t entry.Team) string {
	numbers := make([]string, len(t.Players))
	for i, p := range t.Players {
		numbers[i] = string(p.Number)
		if p.Goalkeeper {
			numbers[i] += "g"
		}
	}
	return t.Name + ": " + strings.Join(numbers, " ")
}

func (p Plot) happening(h Happening, at entry.At) string {
	switch h.What {
	case AGoal:
		return goalText(*h.Goal)
	case APenalty:
		return penaltyText(*h.Penalty, h.Mumbled)
	case ANoGoal:
		return "no-goal"
	case AClockBack:
		return "clock-to " + p.left(entry.At{Period: at.Period, Elapsed: h.To})
	case ATimeOut:
		if h.Side == "" {
			return "time-out officials"
		}
		return "time-out " + string(h.Side)
	case ARunningTime:
		if h.On {
			return "running-time on"
		}
		return "running-time off"
	case AChoice:
		return "captain " + strings.ReplaceAll(Join(h.Picks), ",", "")
	}
	return ""
}

func goalText(g entry.Goal) string {
	out := "goal " + string(g.Side)
	if g.Scorer != "" {
		out += " " + string(g.Scorer)
	} else {
		out += " -"
	}
	if len(g.Assists) > 0 {
		out += " from " + strings.ReplaceAll(Join(g.Assists), ",", "")
	}
	switch g.On {
	case entry.OnPenaltyShot:
		out += " penalty-shot"
	case entry.OnAwarded:
		out += " awarded"
	case entry.OnPlay:
	}
	if g.EmptyNet {
		out += " empty-net"
	}
	if g.OwnGoal {
		out += " own-goal"
	}
	return out
}

func penaltyText(p entry.Penalty, mumbled bool) string {
	who := string(p.Player)
	if p.Bench {
		who = "bench"
	}
	parts := make([]string, len(p.Parts))
	for i, part := range p.Parts {
		parts[i] = string(part)
		if len(p.Lengths) > 0 {
			parts[i] += "=" + p.Lengths[i].String()
		}
	}
	out := fmt.Sprintf("penalty %s %s %s %s", p.Side, who, p.Call, strings.Join(parts, "+"))
	if p.ServedBy != "" {
		out += " served-by " + string(p.ServedBy)
	}
	if p.Signalled {
		out += " signalled"
	}
	if mumbled {
		out += " mumbled"
	}
	return out
}
