package console

import (
	"encoding/json"
	"slices"
	"strconv"

	"whistlestop/game/card"
	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Drill is a short piece of a game beside the console.
type Drill struct {
	ID      string
	Card    card.Card
	Moments []Moment
}

// Moment is something that happens, and what has to be done on the console then.
type Moment struct {
	Say   rules.Say
	Start Board       // what the board shows before
	Steps []card.Step // as the card has them
	Want  Board       // what the board is to show after
}

// The drills that are made of a card.
const (
	SwitchOn     = "switch_on"
	PostPenalty  = "post_penalty"
	PowerPlay    = "power_play"
	OverTheBreak = "over_the_break"
	WholeEvening = "whole_evening"
)

// IDs lists the drills in the order in which they are learnt.
var IDs = []string{SwitchOn, PostPenalty, PowerPlay, OverTheBreak, WholeEvening}

// Make makes a drill from a card: which numbers and sides it has comes from the
// seed. A drill for which the card has nothing to do has no moments.
func Make(id string, c card.Card, d rulebook.Division, seed uint32) (Drill, error) {
	raw, err := json.Marshal(d)
	if err != nil {
		return Drill{}, err
	}
	if len(d.Periods) < 2 || len(d.Intermissions) == 0 {
		return Drill{}, nil
	}
	b := &builder{card: c, division: d, dice: dice.Dice(seed), wall: 1_790_000_000_000, drill: Drill{ID: id, Card: c}}
	b.post(entry.GameOpened{Division: raw, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Lanternside"}})
	switch id {
	case SwitchOn:
		b.switchOn()
	case PostPenalty:
		b.period(1)
		b.penalty(entry.Clock(2, 10))
		b.penalty(entry.Clock(2, 55))
	case PowerPlay:
		b.period(1)
		side := b.penalty(entry.Clock(4, 20))
		b.goal(side.Other(), entry.Clock(4, 47))
	case OverTheBreak:
		b.overTheBreak()
	case WholeEvening:
		b.switchOn()
		b.stage(entry.Period, 1, d.Periods[0])
		side := b.penalty(entry.Clock(3, 5))
		b.goal(side.Other(), entry.Clock(3, 41))
		b.overTheBreak()
		b.goal(side, entry.Clock(1, 30))
	}
	return b.drill, b.err
}

// builder writes the game of a drill.
type builder struct {
	card     card.Card
	division rulebook.Division
	dice     dice.Dice
	ledger   []entry.Entry
	at       entry.At
	wall     entry.Millis
	held     bool
	used     []entry.Jersey
	drill    Drill
	err      error
}

func (b *builder) post(body entry.Body) {
	b.wall += 1000
	n := strconv.Itoa(len(b.ledger) + 1)
	b.ledger = append(b.ledger, entry.Entry{
		ID: "01CONSOLE0000000000000000"[:26-len(n)] + n, Game: "01CONSOLE00000000000000000", Seq: len(b.ledger) + 1,
		At: b.at, Wall: b.wall, Seat: entry.Solo, Body: body,
	})
}

func (b *builder) state() rules.State {
	state, err := rules.Fold(b.ledger)
	if err != nil && b.err == nil {
		b.err = err
	}
	return state
}

// moment posts what happens, and adds what has to be done then.
func (b *builder) moment(key string, pairs []string, bodies ...entry.Body) {
	before := b.state()
	start := BoardOf(card.Should(before, b.card, b.wall))
	for _, body := range bodies {
		if begun, ok := body.(entry.StageBegun); ok && begun.Stage.Play() {
			b.at = entry.At{Period: begun.Stage.Number}
		}
		b.post(body)
	}
	after := b.state()
	if b.err != nil {
		return
	}
	steps := card.Todo(before, after, b.card, b.wall)
	start.On = before.Stage.Kind != entry.Setup
	start.holdAll(b.held)
	if slices.ContainsFunc(steps, func(s card.Step) bool { return s.When == card.HoldPenalties && s.Keys != nil }) {
		b.held = true
	}
	if slices.ContainsFunc(steps, func(s card.Step) bool { return s.When == card.AfterIntermission && s.Keys != nil }) {
		b.held = false
	}
	want := BoardOf(card.Should(after, b.card, b.wall))
	want.holdAll(b.held)
	if len(steps) > 0 {
		b.drill.Moments = append(b.drill.Moments, Moment{Say: rules.Say{Key: key, Args: rules.Pairs(pairs...)}, Start: start, Steps: steps, Want: want})
	}
}

func (b *Board) holdAll(held bool) {
	for i := range b.Sides {
		for j := range b.Sides[i] {
			b.Sides[i][j].Held = held
		}
	}
}

func (b *builder) stage(kind entry.StageKind, number int, length entry.Millis) {
	key := map[entry.StageKind]string{
		entry.WarmUp: "console.say.warm_up", entry.Period: "console.say.period", entry.Intermission: "console.say.intermission",
	}[kind]
	b.moment(key, []string{"period", strconv.Itoa(number), "time", length.Left()},
		entry.StageBegun{Stage: entry.Stage{Kind: kind, Number: number}, Length: length})
}

// period begins a period that nothing has to be done for.
func (b *builder) period(number int) {
	b.at = entry.At{Period: number}
	b.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: number}, Length: b.division.Periods[0]})
}

// play plays on to a whistle.
func (b *builder) play(to entry.Millis) {
	b.post(entry.ClockStarted{Elapsed: b.at.Elapsed})
	b.wall += to - b.at.Elapsed
	b.at.Elapsed = to
	b.post(entry.ClockStopped{Elapsed: to})
}

func (b *builder) switchOn() {
	b.stage(entry.WarmUp, 0, b.division.WarmUp)
}

func (b *builder) side() entry.Side { return entry.Sides[b.dice.Below(2)] }

// jersey is a number that has not been called yet.
func (b *builder) jersey() entry.Jersey {
	for {
		j := entry.Jersey(strconv.Itoa(2 + b.dice.Below(27)))
		if !slices.Contains(b.used, j) {
			b.used = append(b.used, j)
			return j
		}
	}
}

func (b *builder) penalty(at entry.Millis) entry.Side {
	side, player := b.side(), b.jersey()
	b.play(at)
	b.moment("console.say.penalty."+string(side), []string{"number", string(player)},
		entry.Penalty{Side: side, Player: player, Call: "tripping", Parts: []entry.Part{entry.Minor}})
	return side
}

func (b *builder) goal(side entry.Side, at entry.Millis) {
	player := b.jersey()
	b.play(at)
	b.moment("console.say.goal."+string(side), []string{"number", string(player)},
		entry.Goal{Side: side, Scorer: player})
}

// overTheBreak is a penalty that is carried over an intermission.
func (b *builder) overTheBreak() {
	length := b.division.Periods[0]
	if b.at.Period == 0 {
		b.period(1)
	}
	b.penalty(length - entry.Clock(0, 40))
	b.play(length)
	b.stage(entry.Intermission, 1, b.division.Intermissions[0])
	b.stage(entry.Period, 2, b.division.Periods[0])
}
