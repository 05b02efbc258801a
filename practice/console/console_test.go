package console_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/demo"
	"whistlestop/practice/console"
)

func division(tb interface{ Fatal(...any) }) rulebook.Division {
	for _, d := range rulebook.Divisions() {
		if d.ID == "harbour-u14" {
			return d
		}
	}
	tb.Fatal("no division")
	return rulebook.Division{}
}

// perfect presses what the card has next until the drill is over.
func perfect(p *console.Play) {
	for at := entry.Millis(0); !p.Seen().Over; at += 500 {
		right(p, at)
	}
}

func right(p *console.Play, at entry.Millis) {
	s := p.Seen()
	switch {
	case s.Next != "":
		p.Act(console.Act{Key: s.Next, AtMS: at})
	case s.Back:
		p.Act(console.Act{Do: console.Again, AtMS: at})
	default:
		if s.Pressed == 0 && !slices.ContainsFunc(s.Steps, func(one card.Step) bool { return !one.Ticked }) {
			p.Act(rest(p, s, at))
			return
		}
		p.Act(console.Act{Do: console.Done, AtMS: at})
	}
}

// rest is what is left when every step is done: a duty, or that the bench is ready.
func rest(p *console.Play, s console.Seen, at entry.Millis) console.Act {
	if s.Bench != nil && s.Bench.Entered == 0 {
		return console.Act{Do: console.Enter, Posted: posted(p, said(s), ""), AtMS: at}
	}
	for _, d := range s.Duties {
		if !d.Done && d.ID != "other" {
			return console.Act{Do: console.DidDuty, Key: d.ID, AtMS: at}
		}
	}
	return console.Act{Do: console.Ready, AtMS: at}
}

// said is what the referee says, as whoever hears it enters it at the bench.
func said(s console.Seen) entry.Body {
	parts := strings.Split(s.Say.Key, ".") // console.say.goal.home
	side, number := entry.Side(parts[len(parts)-1]), entry.Jersey("")
	for _, arg := range s.Say.Args {
		if arg.Name == "number" {
			number = entry.Jersey(arg.Text)
		}
	}
	if parts[2] == "goal" {
		return entry.Goal{Side: side, Scorer: number}
	}
	return entry.Penalty{Side: side, Player: number, Call: "tripping", Parts: []entry.Part{entry.Minor}}
}

// posted is what the bench has posted at this whistle, with one entry more.
func posted(p *console.Play, body entry.Body, of string) (lines []json.RawMessage) {
	ledger, given := p.Ledger()
	last := ledger[len(ledger)-1]
	all := append(slices.Clone(ledger[given:]), entry.Entry{
		ID: fmt.Sprintf("01C0NS0000000000000009%04d", last.Seq), Game: last.Game, Seq: last.Seq + 1, At: last.At,
		Wall: last.Wall + 1, Seat: entry.BookSeat, Of: of, Body: body,
	})
	for _, e := range all {
		line, err := json.Marshal(e)
		if err != nil {
			panic(err) // what was made here can be written
		}
		lines = append(lines, line)
	}
	return lines
}

// TestTheBenchBesideTheConsole: in a whole game every goal and penalty is entered at the
// bench too. What is entered otherwise than the referee said is found before the puck
// drops, whatever it is, and taking it back and entering it again puts it right.
func TestTheBenchBesideTheConsole(t *testing.T) {
	minor := []entry.Part{entry.Minor}
	bad := map[string]func(side entry.Side, number entry.Jersey, goal bool) entry.Body{
		"nothing": func(entry.Side, entry.Jersey, bool) entry.Body { return nil },
		"the other side": func(side entry.Side, number entry.Jersey, goal bool) entry.Body {
			if goal {
				return entry.Goal{Side: side.Other(), Scorer: number}
			}
			return entry.Penalty{Side: side.Other(), Player: number, Call: "tripping", Parts: minor}
		},
		"another number": func(side entry.Side, _ entry.Jersey, goal bool) entry.Body {
			if goal {
				return entry.Goal{Side: side, Scorer: "99"}
			}
			return entry.Penalty{Side: side, Player: "99", Call: "tripping", Parts: minor}
		},
		"the other kind": func(side entry.Side, number entry.Jersey, goal bool) entry.Body {
			if goal {
				return entry.Penalty{Side: side, Player: number, Call: "tripping", Parts: minor}
			}
			return entry.Goal{Side: side, Scorer: number}
		},
		"another length, or a goal of the other side": func(side entry.Side, number entry.Jersey, goal bool) entry.Body {
			if goal {
				return entry.Goal{Side: side.Other(), Scorer: number}
			}
			return entry.Penalty{Side: side, Player: number, Call: "tripping", Parts: []entry.Part{entry.Minor, entry.Minor}}
		},
	}
	for what, change := range bad {
		d, err := console.Make(console.WholeGame, demo.Card().Card, division(t), 3)
		if err != nil {
			t.Fatal(err)
		}
		p := console.Begin(d)
		entered := 0
		for !p.Seen().Over {
			s := p.Seen()
			keys := s.Next != "" || s.Back || slices.ContainsFunc(s.Steps, func(one card.Step) bool { return !one.Ticked })
			if keys || s.Bench == nil {
				right(p, 0)
				continue
			}
			entered++
			want := console.NotYet
			side, number, goal := entry.Side(""), entry.Jersey(""), false
			switch b := said(s).(type) {
			case entry.Goal:
				side, number, goal = b.Side, b.Scorer, true
			case entry.Penalty:
				side, number = b.Side, b.Player
			}
			wrong := change(side, number, goal)
			if wrong != nil {
				want = console.NotAgreed
				p.Act(console.Act{Do: console.Enter, Posted: posted(p, wrong, "")})
			}
			p.Act(console.Act{Do: console.Ready})
			if told := p.Seen().Told; told == nil || told.Kind != want || p.Seen().Moment != s.Moment {
				t.Fatalf("%s entered for %+v: %+v", what, said(s), told)
			}
			if wrong != nil {
				ledger, _ := p.Ledger()
				p.Act(console.Act{Do: console.Enter, Posted: posted(p, entry.Struck{}, ledger[len(ledger)-1].ID)})
			}
			p.Act(console.Act{Do: console.Enter, Posted: posted(p, said(s), "")})
			if now := p.Seen(); now.Bench == nil || !now.Bench.Agrees {
				t.Fatalf("the bench and the board do not agree: %+v", now.Bench)
			}
			// What is begun on the bench's screen and not posted is HOLD: the referee waits.
			if p.Act(console.Act{Do: console.Ready, Draft: true}); p.Seen().Moment != s.Moment || p.Seen().Told == nil || p.Seen().Told.Kind != console.NotPosted {
				t.Fatalf("with a draft the puck drops: %+v", p.Seen().Told)
			}
			p.Act(console.Act{Do: console.Ready})
			if now := p.Seen(); !now.Over && now.Moment != s.Moment+1 {
				t.Fatalf("%s: it does not go on: %+v", what, now.Told)
			}
		}
		if g := p.Grade(); entered < 6 || len(g.Slips) != 2*entered || g.Score >= 100 {
			t.Errorf("%s: %d entered, %d slips, %d points", what, entered, len(g.Slips), g.Score)
		}
	}
}

func TestAPerfectPresserIsPerfect(t *testing.T) {
	for _, id := range console.IDs {
		for seed := range uint32(20) {
			d, err := console.Make(id, demo.Card().Card, division(t), seed)
			if err != nil || len(d.Moments) == 0 {
				t.Fatalf("%s: %v", id, err)
			}
			p := console.Begin(d)
			perfect(p)
			g := p.Grade()
			if g.Score != 100 || len(g.Slips) > 0 || g.Again != 0 || len(g.Took) != len(d.Moments) {
				t.Errorf("%s, seed %d: %+v", id, seed, g)
			}
		}
	}
}

// drawCard draws a console: how its keys are named, whether a side is a key of its
// own, how a time is typed, whether a score is typed or counted, what prompts there are.
func drawCard(t *rapid.T) card.Card {
	pick := func(what string, of ...string) string { return rapid.SampledFrom(of).Draw(t, what) }
	home, visitors := pick("home", "home", "near", "dark"), pick("visitors", "guest", "far", "light")
	side := pick("side", "{side}", "{side} wheel")
	time := pick("time", "{time}, latch", "{mmss}", "{mmss}, latch", `{time}, latch, "MORE", bolt`)
	number := pick("number", "{number}, latch", `{number}, latch, "OK"`)
	goal := pick("goal", side+", bell", side+", bell, {score}, latch", `bell, `+side)
	back := pick("goal taken back", side+", bell, {score}, bolt", "bolt, "+side+", bell")
	posted := pick("posted", "door, "+side+", "+time+", "+number, "door, "+side+", "+number+", "+time, `door, "WHO", `+number+", "+side+", "+time)
	down := pick("down", "hook, "+side+", "+number, "hook, "+number+", "+side)
	changed := "wheel, " + side + ", {line}, " + time + ", " + number
	text := fmt.Sprintf(`id = "drawn"
rink = "Drawn"
[board]
penalty_lines = %d
number_digits = %d
counts_in_intermission = true
lamps = %q
[words]
home = %q
visitors = %q
[console]
rows = [%q, "bell, door, hook, wheel, latch, bolt, peg, flags, dial, cover", "1, 2, 3, 4, 5, 6, 7, 8, 9, 0"]
wrong = "NO"
`, rapid.IntRange(1, 4).Draw(t, "lines"), rapid.IntRange(1, 2).Draw(t, "digits"), "moon, star, "+home+" lamp, "+visitors+" lamp", home, visitors,
		home+", "+visitors+", "+home+" wheel, "+visitors+" wheel")
	for _, s := range [][2]string{
		{"goal", goal}, {"goal_taken_back", back}, {"penalty_posted", posted}, {"penalty_taken_down", down},
		{"penalty_changed", changed}, {"set_time", "dial, " + time}, {"change_period", pick("period", "peg", "peg, {period}, latch")},
		{"before_game", "cover, dial, " + time}, {"hold_penalties", "flags"}, {"after_intermission", pick("free", "flags", "bolt, flags")},
		{"intermission", "cover, " + time},
	} {
		text += fmt.Sprintf("[[steps]]\nwhen = %q\ndo = [\"Do.\"]\npress = ['%s']\n", s[0], s[1])
		lamp := home + " lamp"
		if strings.Contains(s[1], "{side}") {
			lamp = "{side} lamp"
		}
		switch rapid.IntRange(0, 4).Draw(t, "lamps of "+s[0]) {
		case 0: // it says nothing of them
		case 1:
			text += fmt.Sprintf("lit = [%q]\n", lamp)
		case 2:
			text += fmt.Sprintf("dark = [%q]\n", lamp)
		case 3:
			text += fmt.Sprintf("lit = [\"moon, star\"]\ndark = [%q]\n", lamp)
		default:
			text += fmt.Sprintf("lit = [%q]\ndark = [\"star, moon\"]\n", lamp)
		}
	}
	c, err := card.Parse([]byte(text), "drawn.toml")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return c
}

// TestOneWrongPressIsSeen: whatever the card and the drill, a key that is not the
// next one is named at once, the way back leads to the right board, and it costs.
func TestOneWrongPressIsSeen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCard(t)
		d, err := console.Make(rapid.SampledFrom(console.IDs).Draw(t, "drill"), c, division(t), rapid.Uint32().Draw(t, "seed"))
		if err != nil {
			t.Fatal(err)
		}
		p := console.Begin(d)
		var all []string
		for _, row := range c.Console.Keys() {
			all = append(all, row...)
		}
		for range rapid.IntRange(0, 30).Draw(t, "right presses") {
			if !p.Seen().Over {
				right(p, 0)
			}
		}
		s := p.Seen()
		if s.Over {
			return
		}
		key := rapid.SampledFrom(slices.DeleteFunc(slices.Clone(all), func(k string) bool { return k == s.Next })).Draw(t, "wrong")
		p.Act(console.Act{Key: key})
		told := p.Seen().Told
		if told == nil || told.Pressed != key || told.Wanted != s.Next {
			t.Fatalf("%q instead of %q: %+v", key, s.Next, told)
		}
		perfect(p)
		if g := p.Grade(); g.Score >= 100 || len(g.Slips) != 1 {
			t.Fatalf("%+v", g)
		}
		if last := d.Moments[len(d.Moments)-1]; !console.Same(p.Seen().Board, last.Want) {
			t.Fatalf("%+v", p.Seen().Board)
		}
	})
}

// TestStepsBringTheBoard: on 500 consoles and games, following the steps brings the
// board to what the board check says, moment by moment.
func TestStepsBringTheBoard(t *testing.T) {
	for seed := range uint32(500) {
		c := rapid.Custom(drawCard).Example(int(seed))
		d, err := console.Make(console.IDs[int(seed)%len(console.IDs)], c, division(t), seed)
		if err != nil {
			t.Fatal(err)
		}
		follow(t, d)
	}
	for seed := range uint32(20) {
		for _, id := range []string{console.WholeEvening, console.WholeGame} {
			d, err := console.Make(id, demo.Card().Card, division(t), seed)
			if err != nil {
				t.Fatal(err)
			}
			follow(t, d)
		}
	}
}

func follow(t interface {
	Helper()
	Fatalf(string, ...any)
}, d console.Drill) {
	t.Helper()
	for n, moment := range d.Moments {
		m := console.New(d.Card, moment.Start)
		for _, when := range []card.When{card.BeforeGame, card.ChangePeriod, card.Intermission} {
			m.Sets(when, moment.Want.Clock)
		}
		for _, step := range moment.Steps {
			for _, key := range step.Keys {
				if !m.Press(key.Key).Taken {
					t.Fatalf("%s, %d: %q of %q is not taken, display %q\n%s", d.ID, n, key.Key, step.Keys, m.Display, card.Write(d.Card))
				}
				if key.Shows != "" && m.Display != key.Shows {
					t.Fatalf("%s, %d: after %q the display reads %q, not %q", d.ID, n, key.Key, m.Display, key.Shows)
				}
			}
		}
		if !console.Same(m.Board, moment.Want) {
			t.Fatalf("%s, %d: the board shows %+v, and should %+v, by %+v\n%s", d.ID, n, m.Board, moment.Want, moment.Steps, card.Write(d.Card))
		}
	}
}

// TestRandomGames: whatever is posted, struck or put right between two looks at the
// board, the steps bring the console's board to what the board check says.
func TestRandomGames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCard(t)
		raw, err := json.Marshal(division(t))
		if err != nil {
			t.Fatal(err)
		}
		g := &game{t: t}
		g.post("", entry.GameOpened{Division: raw, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Lanternside"}})
		g.at.Period = 1
		g.post("", entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)})
		var struck []string
		for whistle := range rapid.IntRange(1, 6).Draw(t, "whistles") {
			g.post("", entry.ClockStarted{Elapsed: g.at.Elapsed})
			by := entry.Millis(rapid.IntRange(5, 100).Draw(t, "seconds")) * 1000
			g.wall, g.at.Elapsed = g.wall+by, g.at.Elapsed+by
			g.post("", entry.ClockStopped{Elapsed: g.at.Elapsed})
			before := g.state()
			start := console.BoardOf(card.Should(before, c, g.wall))
			for n := range rapid.IntRange(1, 3).Draw(t, "posts") {
				side := rapid.SampledFrom(entry.Sides[:]).Draw(t, "side")
				switch what := rapid.IntRange(0, 4).Draw(t, "what"); {
				case what == 0:
					struck = append(struck, g.post("", entry.Goal{Side: side, Scorer: "3"}))
				case what == 4 && len(struck) > 0:
					g.post(struck[0], entry.Struck{})
					struck = struck[1:]
				default:
					player := entry.Jersey(strconv.Itoa(10 + whistle*3 + n))
					struck = append(struck, g.post("", entry.Penalty{Side: side, Player: player, Call: "tripping", Parts: []entry.Part{entry.Minor}}))
				}
			}
			after := g.state()
			steps, want := card.Todo(before, after, c, g.wall), console.BoardOf(card.Should(after, c, g.wall))
			for _, step := range steps {
				want.Lamps = c.Board.LampsThen(want.Lamps, step.Lamps)
			}
			follow(t, console.Drill{ID: "drawn", Card: c, Moments: []console.Moment{{Start: start, Steps: steps, Want: want}}})
		}
	})
}

// game is a ledger that grows.
type game struct {
	t      *rapid.T
	ledger []entry.Entry
	at     entry.At
	wall   entry.Millis
}

func (g *game) post(of string, body entry.Body) string {
	g.wall += 1000
	id := fmt.Sprintf("01JDRAWN%018d", len(g.ledger)+1)
	g.ledger = append(g.ledger, entry.Entry{
		ID: id, Game: "01JGAME0000000000000000000", Seq: len(g.ledger) + 1, At: g.at, Wall: g.wall, Seat: entry.Solo, Of: of, Body: body,
	})
	return id
}

func (g *game) state() rules.State {
	s, err := rules.Fold(g.ledger)
	if err != nil {
		g.t.Fatal(err)
	}
	return s
}

// TestTenWrongRobots: ten ways to press wrongly are each told first what was wrong.
func TestTenWrongRobots(t *testing.T) {
	key := func(k string) console.Act { return console.Act{Key: k} }
	for name, robot := range map[string]struct {
		drill string
		after int // right presses before
		act   console.Act
		kind  console.SlipKind
	}{
		"leaves the first key out":        {console.PostPenalty, 0, key("1"), console.NotTaken},
		"presses a key twice":             {console.SwitchOn, 1, key("blue cover"), console.NotTaken},
		"forgets the latch":               {console.PostPenalty, 4, key("home drawer"), console.NotTaken},
		"types another digit":             {console.PostPenalty, 1, key("9"), console.Other},
		"types one digit too many":        {console.PostPenalty, 4, key("7"), console.Other},
		"rings for a goal":                {console.PostPenalty, 0, key("home bell"), console.Other},
		"takes back in the middle":        {console.PostPenalty, 5, key("sponge key"), console.Other},
		"begins the period's work first":  {console.PowerPlay, 0, key("peg"), console.Other},
		"says it is done, and it is not":  {console.PostPenalty, 0, console.Act{Do: console.Done}, console.TooSoon},
		"rings the chain for the referee": {console.SwitchOn, 0, key("brass chain"), console.NotTaken},
		"calls the bench ready too soon":  {console.FiveThings, 10, console.Act{Do: console.Ready}, console.NotYet},
		"lets the wrong player out":       {console.FiveThings, 9, console.Act{Do: console.DidDuty, Key: "other"}, console.NoDuty},
	} {
		d, err := console.Make(robot.drill, demo.Card().Card, division(t), 1)
		if err != nil {
			t.Fatal(err)
		}
		p := console.Begin(d)
		for range robot.after {
			right(p, 0)
		}
		p.Act(robot.act)
		told := p.Seen().Told
		if told == nil || told.Kind != robot.kind || told.Pressed != robot.act.Key {
			t.Errorf("%s: %+v", name, told)
			continue
		}
		perfect(p)
		if g := p.Grade(); g.Score >= 100 || g.Slips[0] != *told {
			t.Errorf("%s: %+v", name, g)
		}
	}
}

func ExampleBegin() {
	d, err := console.Make(console.SwitchOn, demo.Card().Card, rulebook.Divisions()[0], 1)
	if err != nil {
		panic(err)
	}
	p := console.Begin(d)
	p.Act(console.Act{Key: "home bell"})
	fmt.Println(p.Seen().Told.Wanted)
	p.Act(console.Act{Key: "blue cover"})
	fmt.Println(p.Seen().Display)
	// Output:
	// blue cover
	// Good evening
}
