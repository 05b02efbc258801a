package rules_test

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// TestSentencesAgainstTheState plays random games as a bench does, whistle by
// whistle, and reads every sentence that is said about each entry against the
// state at that moment: names, numbers, times, strengths and gates. Ten thousand
// games, and a few hundred with -short or the race detector.
func TestSentencesAgainstTheState(t *testing.T) {
	games := 10_000
	if testing.Short() || raced {
		games = 200
	}
	gen := rapid.Custom(drawStory)
	read := map[string]int{}
	for i := range games {
		readStory(t, gen.Example(i), read)
		if t.Failed() {
			t.Fatalf("game %d", i)
		}
	}
	for _, key := range []string{
		"follows.starts", "follows.starts_major", "follows.starts_first", "follows.starts_for", "follows.starts_who",
		"follows.then", "follows.after_major", "follows.waits", "follows.matched", "follows.ends_minor", "follows.ends_half",
		"follows.goal_equal", "follows.goal_short", "follows.wiped", "follows.not_wiped", "follows.misconduct", "says.strength", "says.score",
	} {
		if read[key] == 0 {
			t.Errorf("%s was never said", key)
		}
	}
}

// readStory posts a story and reads what is said.
func readStory(t *testing.T, s story, read map[string]int) {
	g := openGame(t, s.division())
	var folded *rules.Folded // as on a bench: each preview goes on from the game so far
	for period := 1; period <= 4; period++ {
		g.begin(period)
		for _, w := range s.whistles {
			if w.period != period {
				continue
			}
			g.post(w.at(), entry.ClockStopped{Elapsed: w.at().Elapsed})
			var bodies []entry.Body
			for _, call := range w.calls {
				bodies = append(bodies, call)
			}
			for _, goal := range w.goals {
				bodies = append(bodies, goal)
			}
			for _, body := range bodies {
				draft := entry.Entry{ID: id26(len(g.ledger) + 1), Game: gameID, At: w.at(), Seat: entry.Solo, Body: body}
				var err error
				if folded, err = rules.FoldAfter(folded, chained(g.ledger)); err != nil {
					t.Fatal(err)
				}
				p := rules.ConsiderAfter(folded, g.ledger, []entry.Entry{draft}, g.wall)
				if len(p.Refused) > 0 {
					t.Fatalf("%+v", p.Refused)
				}
				g.post(w.at(), body)
				r := reader{state: p.State, id: draft.ID}
				for _, say := range p.Says {
					read[say.Key]++
					r.general(say)
					r.said(say)
				}
				for _, l := range p.State.Lines {
					if l.Entry != draft.ID {
						continue
					}
					for _, reason := range l.Follows {
						r.follows(reason.Say)
					}
				}
				for _, list := range [][]rules.Item{p.State.Hold, p.State.Notices, p.State.Owed} {
					for _, item := range list {
						read[item.Say.Key]++
						r.general(item.Say)
					}
				}
				if len(r.wrong) > 0 {
					t.Errorf("%s, %s of %d: %s\n%+v", s.code, w.at().Elapsed, period, strings.Join(r.wrong, "\n"), body)
					for _, term := range p.State.Terms {
						t.Logf("%s %s %s %s sits %q %s-%s %s %s out %v", term.ID[20:], term.Side, term.Player, term.Part, term.Sits, term.Start.Abs, term.End.Abs, term.Ended, term.Door, term.Out)
					}
					return
				}
			}
		}
	}
}

// reader reads sentences about one entry against the state with it.
type reader struct {
	state rules.State
	id    string
	wrong []string
}

func (r *reader) say(ok bool, s rules.Say, format string, args ...any) {
	if !ok {
		r.wrong = append(r.wrong, fmt.Sprintf("%s %v: ", s.Key, s.Args)+fmt.Sprintf(format, args...))
	}
}

// side is the side of the team that a sentence names.
func (r *reader) side(s rules.Say) (entry.Side, bool) {
	for _, team := range r.state.Teams {
		if team.Name == s.Args.Get("team") {
			return team.Side, true
		}
	}
	return "", false
}

// general holds for every sentence: teams are those of the game, a gate is that
// of the team, a number belongs to somebody whom that side's entries name.
func (r *reader) general(s rules.Say) {
	side, known := r.side(s)
	r.say(known || s.Args.Get("team") == "", s, "no such team")
	if gate := s.Args.Get("gate"); gate != "" && known {
		r.say(gate == "@gate."+string(side), s, "not the gate of %s", side)
	}
	for _, name := range []string{"player", "sits", "for"} {
		j := s.Args.Get(name)
		if _, err := strconv.Atoi(j); err != nil || !known {
			continue
		}
		found := slices.ContainsFunc(r.state.Lines, func(l rules.Line) bool {
			p, is := l.Body.(entry.Penalty)
			g, goal := l.Body.(entry.Goal)
			return is && p.Side == side && (string(p.Player) == j || string(p.ServedBy) == j) ||
				goal && g.Side == side && string(g.Scorer) == j
		})
		r.say(found, s, "no %s of %s", j, side)
	}
}

// said reads the closing sentences.
func (r *reader) said(s rules.Say) {
	switch s.Key {
	case "says.score":
		r.say(s.Args.Get("home") == fmt.Sprint(r.state.Teams[0].Score) && s.Args.Get("visitors") == fmt.Sprint(r.state.Teams[1].Score), s, "another score")
	case "says.strength":
		n := skatersAt(r.state, r.moment().Abs)
		r.say(s.Args.Get("home") == fmt.Sprintf("@skaters.%d", n[0]) && s.Args.Get("visitors") == fmt.Sprintf("@against.%d", n[1]), s, "strength is %v", n)
	}
}

// moment is when the entry happened.
func (r *reader) moment() rules.Moment {
	for _, l := range r.state.Lines {
		if l.Entry == r.id {
			return l.Moment
		}
	}
	return rules.Moment{}
}

// clock is what the sentences call a moment of play.
func (r *reader) clock(m rules.Moment) string {
	last := r.state.Periods[len(r.state.Periods)-1]
	if m.Abs > last.Abs+last.Length {
		return "@time.after_game"
	}
	return m.Left.Left()
}

// term is a term of a side that fits.
func (r *reader) term(side entry.Side, fits func(rules.Term) bool) bool {
	return slices.ContainsFunc(r.state.Terms, func(t rules.Term) bool { return t.Side == side && fits(t) })
}

// leaves reports whether somebody of a side comes out at a moment without waiting.
func (r *reader) leaves(side entry.Side, sits string, abs entry.Millis) bool {
	return slices.ContainsFunc(r.state.Releases, func(x rules.Release) bool {
		return x.Side == side && string(x.Sits) == sits && x.Moment.Abs == abs && x.Door == rules.AtEnd
	})
}

// running counts the penalties of a side that cost a skater at a moment.
func (r *reader) running(side entry.Side, abs entry.Millis) (n int) {
	for _, t := range r.state.Terms {
		if t.Side == side && t.Costs && t.Start.Abs <= abs && abs < t.End.Abs {
			n++
		}
	}
	return n
}

// waits reports whether a penalty of a side waits at a moment.
func (r *reader) waits(side entry.Side, abs entry.Millis) bool {
	return r.term(side, func(t rules.Term) bool { return t.Waits && t.Start.Abs > abs })
}

// follows reads a consequence of the entry.
func (r *reader) follows(s rules.Say) {
	side, _ := r.side(s)
	now := r.moment()
	get := s.Args.Get
	player := func(t rules.Term) bool {
		return string(t.Player) == get("player") || t.Bench && strings.HasPrefix(get("player"), "@player.")
	}
	mine := func(t rules.Term) bool { return t.Entry == r.id && player(t) }
	fresh := func(t rules.Term) bool {
		return mine(t) && t.Costs && t.Start.Abs == now.Abs && t.Length.Left() == get("length") && r.clock(t.End) == get("out")
	}
	ended := func(t rules.Term) bool {
		return player(t) && t.Ended == rules.ByGoal && t.End.Abs == now.Abs && t.Cut.Left() == get("left")
	}
	var goal rules.Goal
	for _, g := range r.state.Goals {
		if g.Entry == r.id {
			goal = g
		}
	}
	nobody := !slices.ContainsFunc(r.state.Terms, func(t rules.Term) bool { return t.Ended == rules.ByGoal && t.End.Abs == now.Abs })
	// The end of a period and the start of the next are one moment of play: what
	// another goal ended there is not this one's.
	for _, g := range r.state.Goals {
		nobody = nobody || g.Entry != r.id && g.Moment.Abs == now.Abs
	}
	switch s.Key {
	case "follows.ends_minor":
		r.say(r.term(side, ended) && r.leaves(side, get("player"), now.Abs), s, "no such minor ends")
	case "follows.ends_minor_for", "follows.ends_minor_misconduct":
		r.say(r.term(side, ended) && r.leaves(side, get("sits"), now.Abs), s, "no such minor ends")
	case "follows.ends_minor_server":
		r.say(r.term(side, ended) && r.leaves(side, "", now.Abs), s, "no such minor ends")
	case "follows.ends_half", "follows.ends_minor_stays":
		next := func(t rules.Term) bool { return player(t) && t.Start.Abs == now.Abs && t.End.Abs == now.Abs+t.Length }
		r.say(r.term(side, ended) && r.term(side, next) && !r.leaves(side, get("player"), now.Abs), s, "the next does not start")
	case "follows.waiting_starts":
		r.say(r.term(side, func(t rules.Term) bool {
			return player(t) && t.Waits && t.Start.Abs == now.Abs && r.clock(t.End) == get("out")
		}), s, "nothing starts")
	case "follows.goal_equal":
		r.say(nobody && goal.Skaters[0] == goal.Skaters[1], s, "skaters were %v", goal.Skaters)
	case "follows.goal_short":
		i := goal.Side.Index()
		r.say(side == goal.Side && goal.Skaters[i] < goal.Skaters[1-i] && nobody, s, "skaters were %v", goal.Skaters)
	case "follows.goal_major", "follows.goal_matched":
		i := goal.Side.Index()
		r.say(side != goal.Side && goal.Skaters[i] > goal.Skaters[1-i] && nobody, s, "skaters were %v", goal.Skaters)
	case "follows.wiped", "follows.wiped_half":
		r.say(r.term(side, func(t rules.Term) bool { return player(t) && t.Ended == rules.Wiped && t.Start.Abs == now.Abs }), s, "nothing is wiped out")
	case "follows.not_wiped", "follows.not_wiped_equal", "follows.not_wiped_short":
		r.say(!r.term(side, func(t rules.Term) bool { return player(t) && t.Ended == rules.Wiped && t.Start.Abs == now.Abs }), s, "it is wiped out")
		r.say(s.Key != "follows.not_wiped_short" || nobody, s, "a minor ended")
	case "follows.matched", "follows.late_minor":
		r.say(r.term(side, func(t rules.Term) bool {
			return mine(t) && t.Matched && !t.Costs && get("part") == "@part."+string(t.Part)
		}), s, "nothing is matched")
	case "follows.matched_four":
		r.say(r.term(side, func(t rules.Term) bool { return mine(t) && t.Matched && t.Costs && !t.GoalEnds }), s, "nothing is matched")
	case "follows.late_major":
		r.say(r.term(side, func(t rules.Term) bool { return mine(t) && t.Costs && !t.GoalEnds && t.Length.Left() == get("length") }), s, "another length")
	case "follows.starts", "follows.starts_major":
		r.say(r.term(side, func(t rules.Term) bool {
			return fresh(t) && string(t.Sits) == get("player") && r.leaves(side, get("player"), t.End.Abs)
		}), s, "nobody starts so")
	case "follows.starts_for":
		r.say(r.term(side, func(t rules.Term) bool {
			return fresh(t) && string(t.Sits) == get("sits") && r.leaves(side, get("sits"), t.End.Abs)
		}), s, "nobody starts so")
	case "follows.starts_until", "follows.starts_major_until":
		r.say(r.term(side, func(t rules.Term) bool { return fresh(t) && string(t.Sits) == get("player") }) && r.waits(side, now.Abs), s, "nobody starts so")
	case "follows.starts_for_until":
		r.say(r.term(side, func(t rules.Term) bool { return fresh(t) && string(t.Sits) == get("sits") }) && r.waits(side, now.Abs), s, "nobody starts so")
	case "follows.starts_first":
		r.say(r.term(side, fresh), s, "nobody starts so")
	case "follows.starts_who", "follows.starts_empty":
		r.say(r.term(side, func(t rules.Term) bool { return fresh(t) && t.Sits == "" }), s, "somebody sits")
	case "follows.then", "follows.after_major":
		r.say(r.term(side, func(t rules.Term) bool {
			return mine(t) && t.Start.Abs > now.Abs && t.Length.Left() == get("length") && r.clock(t.End) == get("out")
		}), s, "nothing follows so")
		if s.Key == "follows.after_major" {
			r.say(r.term(side, func(t rules.Term) bool { return player(t) && t.Part.IsMajor() && t.End.Abs > now.Abs }), s, "no major before it")
		}
	case "follows.waits", "follows.waits_one":
		want := map[string]int{"follows.waits": 2, "follows.waits_one": 1}[s.Key]
		r.say(r.term(side, func(t rules.Term) bool { return mine(t) && t.Waits && t.Start.Abs > now.Abs }) && r.running(side, now.Abs) == want, s, "%d run", r.running(side, now.Abs))
	case "follows.misconduct":
		r.say(r.term(side, func(t rules.Term) bool {
			return mine(t) && t.Part == entry.Misconduct && t.Start.Abs == now.Abs && t.End.Abs == now.Abs+t.Length
		}), s, "it does not start")
	case "follows.misconduct_after", "follows.misconduct_then":
		r.say(r.term(side, func(t rules.Term) bool { return mine(t) && t.Part == entry.Misconduct && t.Start.Abs > now.Abs }), s, "it starts now")
	case "follows.carries":
		r.say(r.term(side, func(t rules.Term) bool { return t.Entry == r.id }) || side == "", s, "nothing is carried")
	}
}
