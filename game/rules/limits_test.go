package rules_test

import (
	"errors"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

func (g *game) call(at entry.At, side entry.Side, player entry.Jersey, call string, parts ...entry.Part) string {
	return g.post(at, entry.Penalty{Side: side, Player: player, Call: call, Parts: parts})
}

// followed are the keys of what followed from an entry.
func followed(s rules.State, id string) (out []string) {
	for _, l := range s.Lines {
		if l.Entry == id {
			for _, r := range l.Follows {
				out = append(out, r.Say.Key)
			}
		}
	}
	return out
}

// TestPenaltiesThatSendOff: USA Hockey 401(b), rule page of 2021-25: the fourth
// penalty of a youth player, the fifth of an adult. A league that plays the book
// before says so in its division.
func TestPenaltiesThatSendOff(t *testing.T) {
	for name, c := range map[string]struct {
		code  string
		limit int
		at    int
	}{
		"youth": {"usah-youth", 0, 4}, "adults": {"usah-adult", 0, 5}, "youth by the older book": {"usah-youth", 5, 5},
	} {
		t.Run(name, func(t *testing.T) {
			g := newGame(t, c.code)
			d := g.division
			d.Limits.Penalties = c.limit
			g = openGame(t, d)
			g.begin(1)
			for n := 1; n <= c.at; n++ {
				id := g.call(at(1, 2*n, 0), entry.Home, "6", "tripping", entry.Minor)
				said := slices.Contains(followed(mustFold(t, g.ledger), id), "follows.limit_penalties")
				if said != (n == c.at) {
					t.Errorf("penalty %d: said %v", n, said)
				}
			}
			if got := keys(mustFold(t, g.ledger).Owed); !slices.Contains(got, "owed.ejected") {
				t.Errorf("the game misconduct is not owed: %v", got)
			}
		})
	}
}

// TestTeamPenalties: USA Hockey 401(b): with twelve penalties of a youth team its
// head coach misses the next game; fifteen by the book before 2021, never adults.
func TestTeamPenalties(t *testing.T) {
	for name, c := range map[string]struct {
		code  string
		limit int
		at    int
	}{
		"youth": {"usah-youth", 0, 12}, "adults": {"usah-adult", 0, 0}, "by the older book": {"usah-youth", 15, 15},
	} {
		t.Run(name, func(t *testing.T) {
			g := newGame(t, c.code)
			d := g.division
			d.Limits.TeamPenalties = c.limit
			g = openGame(t, d)
			g.begin(1)
			for n := 1; n <= 16; n++ {
				id := g.call(at(1, n, 0), entry.Visitors, jersey(2+n%9), "tripping", entry.Minor)
				g.call(at(1, n, 30), entry.Home, jersey(2+n%9), "tripping", entry.GameMisconduct) // counts for no team
				s := mustFold(t, g.ledger)
				if said := slices.Contains(followed(s, id), "follows.limit_team"); said != (n == c.at) {
					t.Errorf("penalty %d: said %v", n, said)
				}
				if asked := slices.Contains(keys(s.Notices), "notice.coach"); asked != (c.at > 0 && n >= c.at) {
					t.Errorf("penalty %d: asked %v", n, asked)
				}
			}
		})
	}
}

// TestSecondMisconduct: USA Hockey 404(a): a game misconduct in its place, with
// nothing more to post; IIHF 22.1: one on top, which is owed; an IIHF handbook
// before 2021, section 8 (1): 2 + 10 + 2 + 20 minutes; NHL 22.1: no such rule.
func TestSecondMisconduct(t *testing.T) {
	for code, want := range map[string]struct {
		key     string
		part    entry.Part
		minutes int
		owed    bool
		ended   rules.Ended
	}{
		"usah-youth": {"follows.misconduct_instead", entry.GameMisconduct, 2 + 10 + 2 + 10, false, rules.NotServed},
		"usah-adult": {"follows.misconduct_instead", entry.GameMisconduct, 2 + 10 + 2 + 10, false, rules.NotServed},
		"iihf":       {"follows.misconduct_count", entry.Misconduct, 2 + 10 + 2 + 10, true, rules.NotServed},
		"iihf-2017":  {"follows.misconduct_instead", entry.GameMisconduct, 2 + 10 + 2 + 20, false, rules.NotServed},
		"nhl":        {"", entry.Misconduct, 2 + 10 + 2 + 10, false, rules.ByTime},
	} {
		t.Run(code, func(t *testing.T) {
			g := newGame(t, code)
			g.begin(1)
			g.call(at(1, 1, 0), entry.Home, "6", "roughing", entry.Minor, entry.Misconduct)
			id := g.call(at(1, 14, 0), entry.Home, "6", "roughing", entry.Minor, entry.Misconduct)
			s := mustFold(t, g.ledger)
			if said := followed(s, id); want.key != "" && !slices.Contains(said, want.key) {
				t.Errorf("said %v", said)
			}
			if got := s.Calls[1].Parts[1]; got != want.part {
				t.Errorf("the record has a %s", got)
			}
			if got := s.Calls[0].Charged + s.Calls[1].Charged; got != entry.Clock(want.minutes, 0) {
				t.Errorf("%s in the record, not %d minutes", got, want.minutes)
			}
			if got := slices.Contains(keys(s.Owed), "owed.ejected"); got != want.owed {
				t.Errorf("owed %v", keys(s.Owed))
			}
			if last := s.Terms[len(s.Terms)-1]; last.Ended != want.ended {
				t.Errorf("the misconduct ends %s", last.Ended)
			}
		})
	}
}

// TestStickFouls: Hockey Canada 4.8(b): the third butt-ending, cross-checking,
// slashing, spearing or high-sticking of a player, whatever else was called
// between; one that a goal wiped out was not assessed and does not count.
func TestStickFouls(t *testing.T) {
	g := newGame(t, "hockey-canada")
	g.begin(1)
	g.call(at(1, 1, 0), entry.Home, "6", "slashing", entry.Minor)
	g.call(at(1, 4, 0), entry.Home, "6", "tripping", entry.Minor)
	g.call(at(1, 7, 0), entry.Home, "6", "high_sticking", entry.Minor, entry.Minor)
	g.post(at(1, 13, 0), entry.Penalty{Side: entry.Home, Player: "6", Call: "slashing", Parts: []entry.Part{entry.Minor}, Signalled: true})
	g.post(at(1, 13, 0), entry.Goal{Side: entry.Visitors, Scorer: "9"})
	if got := keys(mustFold(t, g.ledger).Owed); slices.Contains(got, "owed.ejected") {
		t.Errorf("sent off for two: %v", got)
	}
	id := g.call(at(1, 16, 0), entry.Home, "6", "cross_checking", entry.Minor)
	s := mustFold(t, g.ledger)
	if said := followed(s, id); !slices.Contains(said, "follows.limit_stick") || !slices.Contains(keys(s.Owed), "owed.ejected") {
		t.Errorf("the third says %v", said)
	}
}

// TestServers: a goalkeeper or a player with a penalty who is named to serve is
// questioned before it is posted (USA Hockey 402(b); IIHF 17.1, 27.1), and one
// sweater sits for one penalty at a time.
func TestServers(t *testing.T) {
	serve := func(who entry.Jersey) entry.Penalty {
		return entry.Penalty{Side: entry.Home, Bench: true, Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor}, ServedBy: who}
	}
	warned := func(g *game, body entry.Body, at entry.At) (out []string) {
		p := rules.Consider(g.ledger, []entry.Entry{{ID: id26(9999), Game: gameID, Seat: entry.Solo, At: at, Body: body}}, 0)
		for _, w := range p.Warnings {
			out = append(out, w.Key)
		}
		return out
	}
	g := newGame(t, "iihf")
	keeper := entry.Jersey("")
	for _, p := range mustFold(t, g.ledger).Teams[0].Players {
		if p.Goalkeeper {
			keeper = p.Number
		}
	}
	g.begin(1)
	if got := warned(g, serve("7"), at(1, 3, 0)); len(got) > 0 {
		t.Errorf("warned of a player who may serve: %v", got)
	}
	if got := warned(g, serve(keeper), at(1, 3, 0)); !slices.Contains(got, "owed.server_keeps") {
		t.Errorf("a goalkeeper serves: %v", got)
	}
	g.call(at(1, 3, 0), entry.Home, "7", "tripping", entry.Minor)
	if got := warned(g, serve("7"), at(1, 4, 0)); !slices.Contains(got, "owed.server_penalised") {
		t.Errorf("a player in the box serves: %v", got)
	}
	if got := warned(g, serve("7"), at(1, 5, 0)); len(got) > 0 {
		t.Errorf("warned of a player who is out again: %v", got)
	}
	// Who serves and offends: one release each, and somebody else is asked for.
	g = newGame(t, "iihf")
	g.begin(1)
	g.post(at(1, 3, 0), serve("7"))
	id := g.call(at(1, 4, 0), entry.Home, "7", "tripping", entry.Minor)
	s := mustFold(t, g.ledger)
	if said := followed(s, id); !slices.Contains(said, "follows.server_offends") || !slices.Contains(keys(s.Hold), "hold.serves_again") {
		t.Errorf("said %v, held by %v", said, keys(s.Hold))
	}
	var out []string
	for _, r := range s.Releases {
		out = append(out, r.Moment.Abs.String()+" "+string(r.Sits))
	}
	if want := []string{"5:00 ", "6:00 7"}; !slices.Equal(out, want) {
		t.Errorf("released %q, not %q", out, want)
	}
}

// TestTheCaptainIsHeardAmongThirteen: thirteen minors against twelve; the captain
// names who serves, and exactly that one is served (IIHF 19.4, 35.5).
func TestTheCaptainIsHeardAmongThirteen(t *testing.T) {
	g := newGame(t, "iihf")
	g.begin(1)
	for n := range 13 {
		g.call(at(1, 3, 0), entry.Home, jersey(2+n), "roughing", entry.Minor)
		if n < 12 {
			g.call(at(1, 3, 0), entry.Visitors, jersey(2+n), "roughing", entry.Minor)
		}
	}
	q := mustFold(t, g.ledger).Asked[0]
	g.post(at(1, 3, 0), entry.Choice{Question: q.ID, Picks: []entry.Jersey{"5"}})
	s := mustFold(t, g.ledger)
	var served []entry.Jersey
	for _, term := range s.Terms {
		if term.Costs {
			served = append(served, term.Player)
		}
	}
	if !slices.Equal(served, []entry.Jersey{"5"}) || s.Strength[len(s.Strength)-2].Skaters != [2]int{4, 5} {
		t.Errorf("%v serve, strength %v", served, s.Strength)
	}
}

// TestTwoGoalsAtOneReading: beside a board goals have the second that it shows.
// The puck was dropped between the two, so the second is judged by who was on
// the ice then.
func TestTwoGoalsAtOneReading(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.call(at(1, 3, 0), entry.Visitors, "6", "tripping", entry.Minor)
	g.post(at(1, 4, 0), entry.Goal{Side: entry.Home, Scorer: "9"})
	g.post(at(1, 4, 0), entry.Goal{Side: entry.Visitors, Scorer: "9"})
	s := mustFold(t, g.ledger)
	if s.Goals[0].Class != rules.PowerPlay || s.Goals[1].Class != rules.EvenStrength || s.Goals[1].Skaters != [2]int{5, 5} {
		t.Errorf("%s, then %s with %v", s.Goals[0].Class, s.Goals[1].Class, s.Goals[1].Skaters)
	}
}

// TestSecondMinorInACallOfItsOwn comes after the first, not after a major that
// was never called (USA Hockey 402(e) is about a major and a minor).
func TestSecondMinorInACallOfItsOwn(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	g.call(at(1, 3, 0), entry.Home, "6", "tripping", entry.Minor)
	id := g.call(at(1, 4, 0), entry.Home, "6", "roughing", entry.Minor)
	if said := followed(mustFold(t, g.ledger), id); !slices.Equal(said, []string{"follows.then"}) {
		t.Errorf("said %v", said)
	}
	g = newGame(t, "usah-youth")
	g.begin(1)
	g.call(at(1, 3, 0), entry.Home, "6", "spearing", entry.Major)
	id = g.call(at(1, 4, 0), entry.Home, "6", "roughing", entry.Minor)
	if said := followed(mustFold(t, g.ledger), id); !slices.Equal(said, []string{"follows.after_major"}) {
		t.Errorf("said %v", said)
	}
}

// TestFourSkatersServeTwoPenaltiesAtOnce: where four are full strength two penalties
// still run at once, and the third waits: three skaters stay on the ice (common
// practice, no source).
func TestFourSkatersServeTwoPenaltiesAtOnce(t *testing.T) {
	g := newGame(t, "iihf")
	g.division.Skaters = 4
	g = openGame(t, g.division)
	g.begin(1)
	g.call(at(1, 1, 0), entry.Home, "6", "tripping", entry.Minor)
	g.call(at(1, 1, 30), entry.Home, "7", "tripping", entry.Minor)
	g.call(at(1, 1, 40), entry.Home, "8", "tripping", entry.Minor)
	s := mustFold(t, g.ledger)
	var served []string
	for _, term := range s.Terms {
		served = append(served, string(term.Player)+" "+term.Start.Abs.String()+"-"+term.End.Abs.String())
	}
	if want := []string{"6 1:00-3:00", "7 1:30-3:30", "8 3:00-5:00"}; !slices.Equal(served, want) {
		t.Errorf("served %q, want %q", served, want)
	}
	for _, strength := range s.Strength {
		if min(strength.Skaters[0], strength.Skaters[1]) < 3 {
			t.Errorf("from %s on %v skate", strength.From.Abs, strength.Skaters)
		}
	}
}

// TestAMisconductThatNeverBeganServesNothing: a player with a misconduct behind a
// minor is sent off while the minor runs. Of the misconduct nothing was served (IIHF
// 22.3, 23.3); one that was under way ends when the player goes.
func TestAMisconductThatNeverBeganServesNothing(t *testing.T) {
	for _, c := range []struct {
		sentOff entry.At
		served  entry.Millis
	}{{at(1, 2, 0), 0}, {at(1, 5, 0), entry.Clock(2, 0)}} {
		g := newGame(t, "iihf")
		g.begin(1)
		g.call(at(1, 1, 0), entry.Home, "6", "tripping", entry.Minor, entry.Misconduct)
		g.call(c.sentOff, entry.Home, "6", "other", entry.GameMisconduct)
		misconduct := mustFold(t, g.ledger).Terms[1]
		if misconduct.Part != entry.Misconduct || misconduct.Ended != rules.NotServed || misconduct.End.Abs-misconduct.Start.Abs != c.served {
			t.Errorf("sent off at %s: %s from %s to %s, %s", c.sentOff.Elapsed, misconduct.Part, misconduct.Start.Abs, misconduct.End.Abs, misconduct.Ended)
		}
	}
}

// TestNoLedgerIsNoGame: nothing, and what does not begin with the opening of a game,
// is said to be no game.
func TestNoLedgerIsNoGame(t *testing.T) {
	g := newGame(t, "iihf")
	g.begin(1)
	for what, ledger := range map[string][]entry.Entry{"nothing": nil, "an empty ledger": {}, "a ledger without its opening": g.ledger[1:]} {
		if _, err := rules.Fold(ledger); !errors.Is(err, rules.ErrNotOpened) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// TestWhoWasSentOffBySecondMisconductPlaysNoMore: by books that send a player off for
// so many misconducts, whoever has them and scores later is looked at; after one less
// nobody is.
func TestWhoWasSentOffBySecondMisconductPlaysNoMore(t *testing.T) {
	tried := 0
	for _, code := range rulebook.Codes() {
		most := code.Policies.MisconductsToEject
		if most == 0 {
			continue
		}
		tried++
		for count := 1; count <= most; count++ {
			g := newGame(t, code.ID)
			g.begin(1)
			for n := range count {
				g.call(at(1, 1+n, 0), entry.Home, "6", "abuse", entry.Misconduct)
			}
			g.begin(2)
			g.post(at(2, 15, 0), entry.Goal{Side: entry.Home, Scorer: "6"})
			if got, want := slices.Contains(keys(mustFold(t, g.ledger).Owed), "owed.out"), count == most; got != want {
				t.Errorf("%s sends off for %d: after %d a goal of the player is looked at: %v", code.ID, most, count, got)
			}
		}
	}
	if tried == 0 {
		t.Error("no book sends off for misconducts: the test shows nothing")
	}
}

// TestAnAmendmentIsHeldToWhatTheEntryMaySay: what would be refused when it is posted is
// refused when an entry is amended to it; the instants of starts and stops may be put
// right.
func TestAnAmendmentIsHeldToWhatTheEntryMaySay(t *testing.T) {
	g := newGame(t, "iihf")
	g.begin(1)
	start := g.post(at(1, 0, 0), entry.ClockStarted{})
	goal := g.post(at(1, 3, 0), entry.Goal{Side: entry.Home, Scorer: "7"})
	stop := g.post(at(1, 3, 0), entry.ClockStopped{Elapsed: entry.Clock(3, 0)})
	amend := func(of string, to entry.Body, at entry.At) (out []string) {
		p := rules.Consider(g.ledger, []entry.Entry{{ID: id26(9999), Game: gameID, Seat: entry.Solo, At: at, Of: of, Body: entry.Amended{To: to}}}, 0)
		for _, r := range p.Refused {
			out = append(out, r.Say.Key)
		}
		return out
	}
	if got := amend(goal, entry.Goal{Side: entry.Home, Scorer: "7", Assists: []entry.Jersey{"07"}}, at(1, 3, 0)); !slices.Equal(got, []string{"refused.own_assist"}) {
		t.Errorf("an assist to oneself: %v", got)
	}
	if got := amend(goal, entry.Goal{Side: entry.Home, Scorer: "7", Assists: []entry.Jersey{"9"}}, at(1, 3, 0)); len(got) > 0 {
		t.Errorf("an assist: %v", got)
	}
	for of, to := range map[string]entry.Body{start: entry.ClockStarted{}, stop: entry.ClockStopped{Elapsed: entry.Clock(2, 58)}} {
		if got := amend(of, to, at(1, 2, 58)); len(got) > 0 {
			t.Errorf("%s put right: %v", to.Kind(), got)
		}
	}
}
