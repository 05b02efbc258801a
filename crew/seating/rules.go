package seating

import (
	"regexp"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
)

// Rules are a league's own rules about its crew.
type Rules struct {
	Seats []Seat `toml:"seat"`

	BetweenRinks int `toml:"between_rinks"` // minutes more than the drive
	Drive        int `toml:"drive"`         // minutes between two rinks that have none of their own

	Target Target `toml:"target"`
	Pots   []Pot  `toml:"pot"`
	Costs  Costs  `toml:"costs"`
}

// Seat is a seat of each game and who may take it.
type Seat struct {
	ID       string   `toml:"id"`
	Kind     string   `toml:"kind"`     // the column of the list that says who is ready; left out: the id
	Need     string   `toml:"need"`     // must or may
	For      []string `toml:"for"`      // divisions; left out: all
	Before   int      `toml:"before"`   // minutes before the ice that its person is there
	Age      int      `toml:"age"`      // at least so many years
	Screened bool     `toml:"screened"` // only who was screened, until a day that is not past
	OwnGame  bool     `toml:"own_game"` // also at a game of the family's own team
	Credits  int      `toml:"credits"`  // that a duty counts; left out: one
}

// Costs weigh wishes against each other, in points; nought: the usual weight.
type Costs struct {
	MustEmpty int `toml:"must_empty"`
	MayEmpty  int `toml:"may_empty"`
	Fair      int `toml:"fair"`       // times the square of what a family has more or less than its share
	SameWeek  int `toml:"same_week"`  // each further duty of a person in a week
	Far       int `toml:"far"`        // a duty at a rink that they would rather not go to
	OtherGame int `toml:"other_game"` // a duty at a game of none of their teams
	First     int `toml:"first"`      // somebody new without a duty in their first four weeks
}

// usual are the weights of the published instances (testdata/checks-season/rota); they
// are ours.
var usual = Costs{MustEmpty: 1000, MayEmpty: 200, Fair: 5, SameWeek: 8, Far: 6, OtherGame: 2, First: 80}

const seatsMost = 12

var idForm = regexp.MustCompile(`^[a-z][a-z0-9_]{0,29}$`)

// Read reads a file of rules. Its errors name the file, what is wrong and where.
func Read(text []byte, name string) (Rules, error) {
	rules := Rules{Costs: usual, Target: Target{Further: 50}}
	if err := datafile.Decode(text, name, &rules); err != nil {
		return Rules{}, err
	}
	for i := range rules.Seats {
		if rules.Seats[i].Kind == "" {
			rules.Seats[i].Kind = rules.Seats[i].ID
		}
	}
	if err := rules.validate(); err != nil {
		return Rules{}, message.In(name, err)
	}
	return rules, nil
}

func (r Rules) validate() error {
	if len(r.Seats) == 0 || len(r.Seats) > seatsMost {
		return message.New("seat_file.count", "count", len(r.Seats), "most", seatsMost)
	}
	seen := map[string]bool{}
	for _, s := range r.Seats {
		switch {
		case !idForm.MatchString(s.ID) || !idForm.MatchString(s.Kind) || seen[s.ID]:
			return message.New("seat_file.id", "seat", message.Plain(s.ID))
		case s.Need != "must" && s.Need != "may":
			return message.New("seat_file.need", "seat", s.ID, "need", message.Plain(s.Need))
		case s.Before < 0 || s.Before > 180 || s.Age < 0 || s.Age > 99:
			return message.New("seat_file.numbers", "seat", s.ID)
		}
		seen[s.ID] = true
	}
	c := r.Costs
	if min(c.MustEmpty, c.MayEmpty, c.Fair, c.SameWeek, c.Far, c.OtherGame, c.First, r.BetweenRinks, r.Drive, r.Target.Further) < 0 ||
		max(c.MustEmpty, c.MayEmpty, c.Fair, c.SameWeek, c.Far, c.OtherGame, c.First, r.BetweenRinks, r.Drive, r.Target.Further) > 100_000 {
		return message.New("seat_file.costs")
	}
	return r.validateShares()
}

// Kinds are the kinds of seats, each once, in the order of the seats.
func (r Rules) Kinds() []string {
	var kinds []string
	seen := map[string]bool{}
	for _, s := range r.Seats {
		if !seen[s.Kind] {
			seen[s.Kind] = true
			kinds = append(kinds, s.Kind)
		}
	}
	return kinds
}

// KindOf is the kind of a seat by its id, or nothing.
func (r Rules) KindOf(seat string) string {
	for _, s := range r.Seats {
		if s.ID == seat {
			return s.Kind
		}
	}
	return ""
}
