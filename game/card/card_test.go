package card_test

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// saltworks is the card of the invented game.
func saltworks(tb testing.TB) card.Card {
	tb.Helper()
	text, err := os.ReadFile("../../internal/demo/cards/saltworks.toml")
	if err != nil {
		tb.Fatal(err)
	}
	c, err := card.Parse(text, "saltworks.toml")
	if err != nil {
		tb.Fatal(err)
	}
	return c
}

// game is the ledger of an invented game: Kelp Bay against Lanternside, periods
// of twelve minutes, minors of a minute and a half.
type game struct {
	tb     failer
	ledger []entry.Entry
	wall   entry.Millis
	at     entry.At
}

type failer interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

func newGame(tb failer, change func(*rulebook.Division)) *game {
	tb.Helper()
	g := &game{tb: tb, wall: 1_790_000_000_000}
	for _, d := range rulebook.Divisions() {
		if d.ID != "harbour-u14" {
			continue
		}
		if change != nil {
			change(&d)
		}
		raw, err := json.Marshal(d)
		if err != nil {
			tb.Fatal(err)
		}
		g.post(entry.GameOpened{Division: raw, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Lanternside"}})
	}
	return g
}

// post posts an entry at the moment where the game stands, and returns its id.
func (g *game) post(body entry.Body) string { return g.of("", body) }

func (g *game) of(id string, body entry.Body) string {
	g.wall += 1000
	e := entry.Entry{
		ID: fmt.Sprintf("01JCARD%019d", len(g.ledger)+1), Game: "01JGAME0000000000000000000",
		Seq: len(g.ledger) + 1, At: g.at, Wall: g.wall, Seat: entry.Solo, Of: id, Body: body,
	}
	g.ledger = append(g.ledger, e)
	return e.ID
}

func (g *game) stage(kind entry.StageKind, number int, length entry.Millis) {
	if kind == entry.Period || kind == entry.Overtime {
		g.at = entry.At{Period: number}
		if kind == entry.Overtime {
			g.at.Period += 3
		}
	}
	g.post(entry.StageBegun{Stage: entry.Stage{Kind: kind, Number: number}, Length: length, Running: kind == entry.Intermission})
}

// period begins a period of twelve minutes.
func (g *game) period(number int) { g.stage(entry.Period, number, entry.Clock(12, 0)) }

// play plays on to a stoppage.
func (g *game) play(minutes, seconds int) {
	g.post(entry.ClockStarted{Elapsed: g.at.Elapsed})
	g.wall += entry.Clock(minutes, seconds) - g.at.Elapsed
	g.at.Elapsed = entry.Clock(minutes, seconds)
	g.post(entry.ClockStopped{Elapsed: g.at.Elapsed})
}

func (g *game) use(c card.Card) {
	raw, err := json.Marshal(c)
	if err != nil {
		g.tb.Fatal(err)
	}
	g.post(entry.CardSet{Card: raw})
}

func minor(side entry.Side, player entry.Jersey) entry.Penalty {
	return entry.Penalty{Side: side, Player: player, Call: "tripping", Parts: []entry.Part{entry.Minor}}
}

func (g *game) state() rules.State {
	g.tb.Helper()
	s, err := rules.Fold(g.ledger)
	if err != nil {
		g.tb.Fatal(err)
	}
	return s
}

func (g *game) look() *card.View {
	g.tb.Helper()
	v, err := card.Look(g.ledger, g.state(), g.wall)
	if err != nil {
		g.tb.Fatal(err)
	}
	if v == nil {
		g.tb.Fatal("no card is in use")
	}
	return v
}

// texts are the steps that are not ticked.
func texts(steps []card.Step) (list []string) {
	for _, s := range steps {
		if !s.Ticked {
			list = append(list, string(s.When)+": "+s.Text)
		}
	}
	return list
}

// tickAll ticks the steps in their order until none is left.
func (g *game) tickAll() {
	for range 3 {
		left := g.look().Steps
		if len(left) == 0 {
			return
		}
		for _, s := range left {
			if !s.Ticked {
				g.post(entry.Ticked{Step: s.ID})
			}
		}
	}
	g.tb.Fatalf("the steps do not end: %v", texts(g.look().Steps))
}
