package card

import (
	"bytes"
	"encoding/json"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Card is one rink's own list of steps.
type Card struct {
	ID    string     `json:"id" toml:"id"`
	Rink  string     `json:"rink" toml:"rink"`
	Notes string     `json:"notes,omitempty" toml:"notes"`
	Board Board      `json:"board" toml:"board"`
	Words Words      `json:"words" toml:"words"`
	Steps []Template `json:"steps" toml:"steps"`

	Console *Console  `json:"console,omitempty" toml:"console"` // nil: its keys are not taught
	Plugged []string  `json:"plugged,omitempty" toml:"plugged"` // what has to be plugged in, and where
	Trouble []Trouble `json:"trouble,omitempty" toml:"trouble"`
	// Contacts are whom to call. A game's ledger travels, so they are never in it:
	// they stay in the card's own file and on paper.
	Contacts []Contact `json:"-" toml:"contacts"`
	// Picture is the photo of the console, a JPEG; nil: there is none. It stays beside
	// the card's text and is never in a ledger.
	Picture []byte `json:"-" toml:"-"`
}

// File is a rink card with the file that it was read from.
type File struct {
	Name string // of the file
	Text []byte
	Card Card
	Demo bool  // the invented one that comes with the program
	Bad  error // why it cannot be used; then there is no Card
	// BadPicture says why the picture that lies beside the file cannot be used. The card
	// is used without it.
	BadPicture error
}

// Whole is the file with the picture of the card in it.
func (f File) Whole() []byte {
	text, _, _ := Cut(f.Text)
	return Join(text, f.Card.Picture)
}

// WithPicture is the file with a picture that lies beside it.
func (f File) WithPicture(raw []byte) File {
	if err := CheckPicture(raw); err != nil {
		f.BadPicture = err
	} else if f.Bad == nil && f.Card.Picture == nil {
		f.Card.Picture = raw
	}
	return f
}

// NewFile reads a card file, and says in the value what is wrong with it.
func NewFile(name string, text []byte) File {
	c, err := Parse(text, name)
	return File{Name: name, Text: text, Card: c, Bad: err}
}

// Board is what the rink's board can show and what it does by itself.
type Board struct {
	PenaltyLines         int  `json:"penalty_lines" toml:"penalty_lines"` // a side; 0: it shows no penalties
	ShowsNumbers         bool `json:"shows_numbers" toml:"shows_numbers"`
	NumberDigits         int  `json:"number_digits" toml:"number_digits"`                   // 2: a single digit gets a leading zero
	CountsInIntermission bool `json:"counts_in_intermission" toml:"counts_in_intermission"` // penalties run down there unless held
	CountsDown           bool `json:"counts_down" toml:"counts_down"`                       // the game clock shows what is left
	MostMinutes          int  `json:"most_minutes" toml:"most_minutes"`                     // that a penalty line can show
	// Lamps are the names of the lamps that it has besides, with commas between.
	Lamps string `json:"lamps,omitempty" toml:"lamps"`
}

// Words are how the card names what fills a gap.
type Words struct {
	Home      string `json:"home" toml:"home"`
	Visitors  string `json:"visitors" toml:"visitors"`
	Officials string `json:"officials" toml:"officials"` // who takes a time-out that is no team's
}

// Template is the steps of one happening.
type Template struct {
	When When     `json:"when" toml:"when"`
	Do   []string `json:"do" toml:"do"`
	// Press has the keys of each step, in their order; "" where a step has none.
	Press []string `json:"press,omitempty" toml:"press"`
	// Lit and Dark have the lamps of the board that are lit, or dark, when the step is done,
	// with commas between; "" where a step says nothing of them.
	Lit  []string `json:"lit,omitempty" toml:"lit"`
	Dark []string `json:"dark,omitempty" toml:"dark"`
}

// When is a happening that a card can have steps for.
type When string

// The happenings.
const (
	SetTime           When = "set_time"
	ChangePeriod      When = "change_period"
	BeforeGame        When = "before_game"
	HoldPenalties     When = "hold_penalties"
	Intermission      When = "intermission"
	GoalTakenBack     When = "goal_taken_back"
	Goal              When = "goal"
	PenaltyTakenDown  When = "penalty_taken_down"
	PenaltyChanged    When = "penalty_changed"
	PenaltyPosted     When = "penalty_posted"
	AfterIntermission When = "after_intermission"
	TimeOut           When = "time_out"
	RunningTime       When = "running_time"
	Horn              When = "horn"
	AfterGame         When = "after_game"
)

// Whens lists the happenings in the order in which their steps are done: the
// clock first, then the score, then penalties taken down and posted, then the
// rest. Penalty clocks are held before the intermission's clock is set, for they
// would run with it.
var Whens = []When{
	SetTime, ChangePeriod, BeforeGame, HoldPenalties, Intermission, GoalTakenBack, Goal,
	PenaltyTakenDown, PenaltyChanged, PenaltyPosted, AfterIntermission, TimeOut, RunningTime, Horn, AfterGame,
}

// gaps are what the steps of a happening can be filled with, besides {home} and
// {visitors}, the score of either side. A step of an intermission that asks for a
// penalty is done once for each penalty on the board.
var gaps = map[When][]string{
	SetTime:           {"time", "period"},
	ChangePeriod:      {"time", "period"},
	BeforeGame:        {"time"},
	HoldPenalties:     penaltyGaps,
	Intermission:      penaltyGaps,
	GoalTakenBack:     {"side", "team", "score"},
	Goal:              {"side", "team", "score"},
	PenaltyTakenDown:  {"side", "team", "number", "line"},
	PenaltyChanged:    penaltyGaps,
	PenaltyPosted:     penaltyGaps,
	AfterIntermission: append([]string{"period"}, penaltyGaps...),
	TimeOut:           {"side", "team", "minutes", "time"},
	RunningTime:       {},
	Horn:              {"period"},
	AfterGame:         {},
}

var penaltyGaps = []string{"side", "team", "number", "line", "minutes", "time"}

// Most sizes of a card: it is printed on one page.
const (
	linesMost   = 60  // steps of all happenings together
	wordsMost   = 120 // characters of a step
	wordMost    = 40  // characters of one word, so that a line can hold it
	bytesMost   = 32 << 10
	penaltyMost = 4
)

// blank is a card on which nothing was said.
func blank() Card {
	return Card{
		Board: Board{PenaltyLines: 2, ShowsNumbers: true, NumberDigits: 1, CountsDown: true, MostMinutes: 10},
		Words: Words{Home: "home", Visitors: "visitors", Officials: "officials"},
	}
}

// of returns what the card has for a happening.
func (c Card) of(when When) Template {
	for _, t := range c.Steps {
		if t.When == when {
			return t
		}
	}
	return Template{When: when}
}

// do returns the steps that the card has for a happening.
func (c Card) do(when When) []string { return c.of(when).Do }

func (c Card) word(side entry.Side) string {
	switch side {
	case entry.Home:
		return c.Words.Home
	case entry.Visitors:
		return c.Words.Visitors
	default:
		return c.Words.Officials
	}
}

// number writes a jersey as the board does.
func (c Card) number(jersey entry.Jersey) string {
	if len(jersey) == 1 && c.Board.NumberDigits == 2 {
		return "0" + string(jersey)
	}
	return string(jersey)
}

// FromJSON reads the copy of a card that a ledger carries.
func FromJSON(raw json.RawMessage) (Card, error) {
	var c Card
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&c); err != nil {
		return Card{}, message.Because(err, "card_file.unreadable")
	}
	c.tidy()
	_, err := c.check()
	return c, err
}
