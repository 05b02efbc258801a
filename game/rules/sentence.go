package rules

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
)

// sentences says what drafts do, in the order in which a person would say it:
// what is entered, what follows, who plays with how many, and the score. For an
// amendment or a strike it says what changes now.
func sentences(before, after State, drafts []entry.Entry, now entry.Millis) []Say {
	says := []Say{}
	var last *Moment
	goals, looksBack := false, false
	for _, d := range drafts {
		l := after.line(d.ID)
		switch d.Body.(type) {
		case entry.Goal, entry.Penalty:
			goals = goals || d.Kind() == entry.KindGoal
			last = &l.Moment
		case entry.Amended:
			says = append(says, Say{Key: "says.amended"})
			l, looksBack = after.line(l.About()), true
		case entry.Struck:
			l, looksBack = after.line(d.Of), true
			if l.Kind == entry.KindStruck { // a strike of a strike brings the entry back
				says = append(says, Say{Key: "says.back"})
				if l = after.line(l.Of); l.Kind == entry.KindAmended {
					l = after.line(l.About())
				}
				break
			}
			if l.Kind == entry.KindAmended { // what the entry said before comes back
				l = after.line(l.About())
				says = append(says, Say{Key: "says.unchanged"})
				if l.Struck {
					says = append(says, Say{Key: "says.still_out"})
				}
				break
			}
			says = append(says, Say{Key: "says.struck"})
			l.Follows = nil
		default: // the other entries say nothing here
		}
		says = append(says, l.Say)
		for _, r := range l.Follows {
			says = append(says, r.Say)
		}
	}
	says = append(says, others(before, after, drafts)...)
	if before.Opened && (looksBack || last != nil && playedOn(after, *last, now)) {
		says = append(says, changes(before, after, now)...)
	}
	if last != nil {
		says = append(says, strengthSay(skatersAt(after, last.Abs)))
	}
	if goals || before.Opened && scoreOf(before) != scoreOf(after) {
		says = append(says, scoreSay(after))
	}
	return slices.CompactFunc(says, sameSay)
}

// others says what follows newly from entries that stood before: a minor that
// becomes coincidental by the other side's, a goal that changes its class.
func others(before, after State, drafts []entry.Entry) []Say {
	about := map[string]bool{}
	for _, d := range drafts {
		about[d.ID], about[after.About(d.ID)] = true, true
	}
	says := []Say{}
	for i := range before.Lines { // the lines after them are the drafts'
		old, l := &before.Lines[i], &after.Lines[i]
		if l.Struck || len(l.Follows) == 0 && l.Kind != entry.KindGoal || about[l.Entry] {
			continue
		}
		if l.Kind == entry.KindGoal && l.Say.Args.Get("class") != old.Say.Args.Get("class") {
			says = append(says, l.Say)
		}
		for _, r := range l.Follows {
			if !slices.ContainsFunc(old.Follows, func(o Reason) bool { return sameSay(o.Say, r.Say) }) {
				says = append(says, r.Say)
			}
		}
	}
	// A consequence that a draft says as well is said once.
	said := map[string]bool{}
	for i := range after.Lines {
		if l := &after.Lines[i]; len(l.Follows) > 0 && about[l.Entry] {
			for _, r := range l.Follows {
				said[r.Say.Key+r.Say.Args.Get("player")] = true
			}
		}
	}
	return slices.DeleteFunc(says, func(s Say) bool { return said[s.Key+s.Args.Get("player")] })
}

// line returns the line of an entry, looked for from the newest on.
func (s State) line(id string) Line {
	for i := len(s.Lines) - 1; i >= 0; i-- {
		if s.Lines[i].Entry == id {
			return s.Lines[i]
		}
	}
	return Line{}
}

func sameSay(a, b Say) bool { return a.Key == b.Key && slices.Equal(a.Args, b.Args) }

func scoreOf(s State) [2]int { return [2]int{s.Teams[0].Score, s.Teams[1].Score} }

func scoreSay(s State) Say {
	return Say{Key: "says.score", Args: Pairs(
		"home", strconv.Itoa(s.Teams[0].Score), "visitors", strconv.Itoa(s.Teams[1].Score),
	)}
}

func strengthSay(n [2]int) Say {
	return Say{Key: "says.strength", Args: Pairs(
		"home", "@skaters."+strconv.Itoa(n[0]), "visitors", "@against."+strconv.Itoa(n[1]),
	)}
}

// skatersAt returns the skaters on the ice at a moment of play.
func skatersAt(s State, abs entry.Millis) [2]int {
	var n [2]int
	for _, step := range s.Strength {
		if step.From.Abs > abs {
			break
		}
		n = step.Skaters
	}
	return n
}

// playedOn reports whether play has gone on since a moment.
func playedOn(s State, m Moment, now entry.Millis) bool { return absNow(s, now) > m.Abs }

// absNow returns the moment of play at an instant.
func absNow(s State, now entry.Millis) entry.Millis {
	abs := entry.Millis(0)
	for _, p := range s.Periods {
		if !p.Begun {
			continue
		}
		abs = p.Abs + p.Length
		if s.Stage.Play() && s.Stage == p.Stage {
			return p.Abs + min(s.Clock.At(now), p.Length)
		}
	}
	return abs
}

// sitting is somebody in the box at a moment.
type sitting struct {
	side entry.Side
	who  entry.Jersey
	term string       // the newest that is served
	out  entry.Millis // on the axis of play; forever: at a whistle
	at   string       // the same on the game clock; empty: at a whistle
}

// boxAt lists who sits in the box at a moment, by row.
func boxAt(s State, abs entry.Millis) (rows []string, in map[string]sitting) {
	in = map[string]sitting{}
	for _, t := range s.Terms {
		if t.Ended == Wiped || t.Ended == NotServed || t.Sits == "" || t.Start.Abs > abs {
			continue
		}
		gone := t.End.Abs
		if t.Out != nil {
			gone = t.Out.Abs
		} else if t.Door == NextWhistle {
			gone = forever
		}
		if gone <= abs {
			continue
		}
		p := sitting{side: t.Side, who: t.Sits, term: t.ID, out: forever}
		if t.Door == AtEnd && t.Out != nil {
			p.out, p.at = t.Out.Abs, t.Out.Left.Left()
		}
		id := string(t.Side) + "/" + string(t.Sits)
		if _, known := in[id]; !known {
			rows = append(rows, id)
		}
		in[id] = p
	}
	return rows, in
}

// changes says what is different now for the people in the box and on the ice.
func changes(before, after State, now entry.Millis) []Say {
	says := []Say{}
	nowBefore, nowAfter := absNow(before, now), absNow(after, now)
	was, inBefore := boxAt(before, nowBefore)
	is, inAfter := boxAt(after, nowAfter)
	args := func(p sitting) Args {
		return Pairs(
			"team", after.Teams[p.side.Index()].Name, "player", string(p.who),
			"gate", gateArg(p.side), "out", p.at,
		)
	}
	for _, id := range was {
		if _, still := inAfter[id]; still {
			continue
		}
		p := inBefore[id]
		if ago := nowAfter - leftAt(after, p, nowAfter); ago > 0 && ago <= nowAfter {
			says = append(says, Say{Key: "changes.out_ago", Args: args(p).With("ago", ago.Left())})
		} else {
			says = append(says, Say{Key: "changes.out", Args: args(p)})
		}
	}
	for _, id := range is {
		p := inAfter[id]
		old, wasIn := inBefore[id]
		switch {
		case !wasIn && p.at == "":
			says = append(says, Say{Key: "changes.in_whistle", Args: args(p)})
		case !wasIn && served(before, p.term, nowBefore):
			says = append(says, Say{Key: "changes.back", Args: args(p).With("left", (p.out - nowAfter).Left())})
		case !wasIn:
			says = append(says, Say{Key: "changes.in", Args: args(p).With("left", (p.out - nowAfter).Left())})
		case old.at != p.at && p.at == "":
			says = append(says, Say{Key: "changes.whistle", Args: args(p)})
		case old.at != p.at:
			says = append(says, Say{Key: "changes.until", Args: args(p)})
		}
	}
	iceBefore, iceAfter := skatersAt(before, nowBefore), skatersAt(after, nowAfter)
	if iceBefore != iceAfter {
		says = append(says, strengthSay(iceAfter))
	}
	if len(says) == 0 {
		says = append(says, Say{Key: "changes.nothing"})
	}
	return says
}

// leftAt returns when somebody who sat for a call left the box before a moment,
// or -1 for a call that now puts nobody there.
func leftAt(s State, p sitting, before entry.Millis) entry.Millis {
	call, _, _ := strings.Cut(p.term, "/")
	at := entry.Millis(-1)
	for _, r := range s.Releases {
		same := r.Side == p.side && r.Sits == p.who && strings.HasPrefix(r.Term, call)
		if same && r.Door != NextWhistle && r.Moment.Abs <= before {
			at = r.Moment.Abs
		}
	}
	return at
}

// served reports whether a term was over at a moment.
func served(s State, term string, at entry.Millis) bool {
	for _, t := range s.Terms {
		if t.ID == term {
			return t.End.Abs <= at && t.Ended != Wiped && t.Ended != NotServed
		}
	}
	return false
}

// warnings are the things newly owed that look like a slip: they are accepted,
// but worth another look before posting.
func warnings(before, after State) []Say {
	says := []Say{}
	known := map[string]bool{}
	for _, item := range before.Owed {
		known[item.Key] = true
	}
	for _, item := range after.Owed {
		if known[item.Key] {
			continue
		}
		switch item.Say.Key {
		case "owed.roster", "owed.in_box", "owed.away", "owed.out", "owed.server_keeps", "owed.server_penalised":
			says = append(says, item.Say)
		}
	}
	return says
}
