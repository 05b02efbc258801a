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
	// Duties are what the bench does besides before the puck drops; with them the moment
	// is over when somebody says that the bench is ready.
	Duties []Duty
	// bench is the bench's own game, where this moment is entered there too; then it is over
	// when somebody says that the bench is ready, and both agree.
	bench *beside
}

// Duty is something that the bench does at a whistle and that no key of the console does.
type Duty struct {
	ID    string    `json:"id"`
	Say   rules.Say `json:"say"`
	Done  bool      `json:"done"`
	Right bool      `json:"-"` // it is to be done; the others are what people do by mistake
}

// The drills that are made of a card.
const (
	SwitchOn     = "switch_on"
	SetClock     = "set_clock"
	PostPenalty  = "post_penalty"
	PowerPlay    = "power_play"
	OverTheBreak = "over_the_break"
	FiveThings   = "five_things"
	WholeEvening = "whole_evening"
	WholeGame    = "whole_game"
)

// IDs lists the drills in the order in which they are learnt.
var IDs = []string{SwitchOn, SetClock, PostPenalty, PowerPlay, OverTheBreak, FiveThings, WholeEvening, WholeGame}

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
	b.post(entry.GameOpened{Division: raw, Home: team("Kelp Bay", "1"), Visitors: team("Lanternside", "30")})
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
	case SetClock:
		b.setClock()
	case FiveThings:
		b.fiveThings()
	case OverTheBreak:
		b.overTheBreak()
	case WholeGame:
		b.wholeGame()
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
	lamps    []string // of the board that are lit
	used     []entry.Jersey
	drill    Drill
	err      error
}

func (b *builder) post(body entry.Body) {
	b.wall += 1000
	b.ledger = append(b.ledger, entryOf(len(b.ledger)+1, b.at, b.wall, body))
}

// gameID is the id of the game of every drill; its entries count on from there.
const gameID = "01C0NS00000000000000000000"

// entryOf is an entry of the game of a drill.
func entryOf(seq int, at entry.At, wall entry.Millis, body entry.Body) entry.Entry {
	n := strconv.Itoa(seq)
	return entry.Entry{
		ID: gameID[:26-len(n)] + n, Game: gameID, Seq: seq,
		At: at, Wall: wall, Seat: entry.Solo, Body: body,
	}
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
	start.Lamps = append(start.Lamps, b.lamps...)
	given := slices.Clone(b.ledger)
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
	if start.On = before.Stage.Kind != entry.Setup; start.On {
		// A console that is on is not switched on again.
		steps = slices.DeleteFunc(steps, func(s card.Step) bool { return s.When == card.BeforeGame })
	}
	start.holdAll(b.held)
	if slices.ContainsFunc(steps, func(s card.Step) bool { return s.When == card.HoldPenalties && s.Keys != nil }) {
		b.held = true
	}
	if slices.ContainsFunc(steps, func(s card.Step) bool { return s.When == card.AfterIntermission && s.Keys != nil }) {
		b.held = false
	}
	want := BoardOf(card.Should(after, b.card, b.wall))
	want.holdAll(b.held)
	want.Lamps = append(want.Lamps, start.Lamps...)
	want.lightAll(b.card, steps)
	want.On = !slices.ContainsFunc(steps, func(s card.Step) bool { return s.When == card.AfterGame && s.Keys != nil })
	if len(steps) > 0 {
		m := Moment{Say: rules.Say{Key: key, Args: rules.Pairs(pairs...)}, Start: start, Steps: steps, Want: want}
		if says := saysOf(bodies); b.drill.ID == WholeGame && len(says) > 0 {
			m.bench = &beside{ledger: given, at: b.at, wall: b.wall, held: b.held, lamps: b.lamps, says: says}
		}
		b.drill.Moments = append(b.drill.Moments, m)
		b.lamps = want.Lamps
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
	if b.state().Stage.Kind == entry.Setup {
		b.passed(card.BeforeGame)
	}
	b.passed(card.ChangePeriod)
	b.at = entry.At{Period: number}
	b.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: number}, Length: b.division.Periods[0]})
}

// passed leaves the lamps as a happening does that nobody has to do anything for.
func (b *builder) passed(when card.When) {
	for _, t := range b.card.Steps {
		for step := range t.Do {
			if t.When == when {
				b.lamps = b.card.Board.LampsThen(b.lamps, t.Lamps(step, ""))
			}
		}
	}
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

// Skaters have the numbers from the first one on.
const (
	firstNumber = 2
	skaters     = 20
)

// team is a team of every drill.
func team(name string, keeper entry.Jersey) entry.Team {
	t := entry.Team{Name: name, Players: []entry.Player{{Number: keeper, Goalkeeper: true}}}
	for n := range skaters {
		t.Players = append(t.Players, entry.Player{Number: entry.Jersey(strconv.Itoa(firstNumber + n))})
	}
	return t
}

// jersey is a skater's number that has not been called yet, as long as there is one.
func (b *builder) jersey() entry.Jersey {
	for {
		j := entry.Jersey(strconv.Itoa(firstNumber + b.dice.Below(skaters)))
		if len(b.used)%skaters == 0 || !slices.Contains(b.used[len(b.used)-len(b.used)%skaters:], j) {
			b.used = append(b.used, j)
			return j
		}
	}
}

func (b *builder) penalty(at entry.Millis) entry.Side {
	side, player := b.side(), b.jersey()
	b.play(at)
	b.called(side, player)
	return side
}

func (b *builder) called(side entry.Side, player entry.Jersey) {
	b.moment("console.say.penalty."+string(side), []string{"number", string(player)},
		entry.Penalty{Side: side, Player: player, Call: "tripping", Parts: []entry.Part{entry.Minor}})
}

func (b *builder) goal(side entry.Side, at entry.Millis) {
	player := b.jersey()
	b.play(at)
	b.scored(side, player)
}

func (b *builder) scored(side entry.Side, player entry.Jersey) {
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
	b.intermission(1)
	b.stage(entry.Period, 2, b.division.Periods[0])
}

// intermission is one that runs to its end.
func (b *builder) intermission(number int) {
	length := b.division.Intermissions[min(number, len(b.division.Intermissions))-1]
	b.stage(entry.Intermission, number, length)
	b.post(entry.ClockStarted{})
	b.wall += length
	b.post(entry.ClockStopped{Elapsed: length})
}

// setClock is a warm-up that begins at another time, and a clock that is put back in play
// with a penalty on the board.
func (b *builder) setClock() {
	b.at = entry.At{}
	b.passed(card.BeforeGame)
	b.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.WarmUp}, Length: b.division.WarmUp})
	left := min(entry.Clock(3, 0), b.division.WarmUp)
	b.moment("console.say.warm_up_left", []string{"time", left.Left()}, entry.ClockSet{Elapsed: b.division.WarmUp - left})
	b.period(1)
	b.penalty(entry.Clock(2, 30))
	b.play(entry.Clock(3, 4))
	back := entry.Millis(4+b.dice.Below(9)) * 1000
	b.at.Elapsed -= back
	time := (b.division.Periods[0] - b.at.Elapsed).Left()
	b.moment("console.say.put_back", []string{"seconds", strconv.Itoa(int(back / 1000)), "time", time}, entry.ClockSet{Elapsed: b.at.Elapsed})
}

// fiveThings is a goal on a power play with all that the bench does before the next
// face-off: the score and the penalty on the board, the book, the gate, what is said.
func (b *builder) fiveThings() {
	b.period(1)
	side := b.side()
	first, second := b.jersey(), b.jersey()
	b.play(entry.Clock(4, 20))
	b.called(side, first)
	b.play(entry.Clock(4, 47))
	scorer := b.jersey()
	b.scored(side.Other(), scorer)
	if n := len(b.drill.Moments); n > 0 && b.err == nil {
		word := string(side)
		b.drill.Moments[n-1].Duties = []Duty{
			{ID: "book", Say: rules.Say{Key: "console.duty.book", Args: rules.Pairs("number", string(scorer))}, Right: true},
			{ID: "out", Say: rules.Say{Key: "console.duty.out." + word, Args: rules.Pairs("number", string(first))}, Right: true},
			{ID: "other", Say: rules.Say{Key: "console.duty.out." + string(side.Other()), Args: rules.Pairs("number", string(second))}},
			{ID: "announce", Say: rules.Say{Key: "console.duty.announce"}, Right: true},
		}
	}
}

// wholeGame is a game from the switch to the cover: whistles of every period as the dice
// have them, intermissions, and the end. The bench's own game goes on beside it: goals and
// penalties are entered there too, and both have to agree before the puck drops.
func (b *builder) wholeGame() {
	b.switchOn()
	for n, length := range b.division.Periods {
		b.stage(entry.Period, n+1, length)
		for whistle := range 2 + b.dice.Below(2) {
			at := length * entry.Millis(whistle+1) / 5
			at -= at % 1000
			if b.dice.Below(5) < 3 {
				side := b.penalty(at)
				if b.dice.Below(2) == 0 {
					b.goal(side.Other(), at+entry.Millis(20+b.dice.Below(40))*1000)
				}
			} else {
				b.goal(b.side(), at)
			}
		}
		b.horn(n+1, length)
		if n+1 < len(b.division.Periods) {
			b.intermission(n + 1)
		}
	}
	b.moment("console.say.over", nil, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
}

// horn plays a period out.
func (b *builder) horn(number int, length entry.Millis) {
	b.post(entry.ClockStarted{Elapsed: b.at.Elapsed})
	b.wall += length - b.at.Elapsed
	b.at.Elapsed = length
	b.moment("console.say.horn", []string{"period", strconv.Itoa(number)}, entry.ClockStopped{Elapsed: length})
}
