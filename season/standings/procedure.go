package standings

import (
	_ "embed"
	"maps"
	"sync"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
)

// Way says how those go on who are still equal after a step placed somebody.
type Way string

// The five ways that leagues print.
const (
	Restart   Way = "restart"     // those still equal begin again at the first step, among themselves
	Continue  Way = "continue"    // those still equal go to the next step of the same ladder
	TwoLeft   Way = "two_left"    // as continue, but two who are left begin the ladder for two
	BestOnly  Way = "best_only"   // only the best go on; when one is placed, all others begin again
	AllAtOnce Way = "all_at_once" // a step counts only if it places every team of the group
)

// Procedure is how a league ranks: what a game gives, what ranks first, and the
// ladder for those who are equal by that.
type Procedure struct {
	Points    Points `toml:"points"`
	First     Step   `toml:"first"`
	Two       []Step `toml:"two"`                     // for two teams
	More      []Step `toml:"more"`                    // for three or more; as for two where there is none
	Way       Way    `toml:"way"`                     //
	DirectAll bool   `toml:"direct_if_met"`           // direct steps only where all tied teams have met
	Cap       int    `toml:"goal_difference_at_most"` // of one game in the table; nought: as played
	Source    string `toml:"source"`
}

// Validate says what is wrong with a procedure, if anything.
func (p Procedure) Validate() error {
	if first := p.First.Measure; first != MeasurePoints && first != MeasureShare && first != MeasurePerGame {
		return message.New("procedure.first", "first", message.Plain(p.First.String()))
	}
	if p.First.Direct || p.First.Cut > 0 {
		return message.New("procedure.first_whole", "first", message.Plain(p.First.String()))
	}
	if p.Cap < 0 || p.Cap > goalsMost {
		return message.New("procedure.cap", "cap", p.Cap, "most", goalsMost)
	}
	if p.Points.Most() < 1 {
		return message.New("procedure.points")
	}
	switch p.Way {
	case Restart, Continue, TwoLeft, BestOnly, AllAtOnce:
		return nil
	}
	return message.New("procedure.way", "way", message.Plain(p.Way))
}

// cut is the most that one game's difference counts at a step with a cut of its own,
// or none: the smaller of that and the league's cap.
func (p Procedure) cut(own int) int {
	if own == 0 || p.Cap > 0 && p.Cap < own {
		return p.Cap
	}
	return own
}

// ladder is the steps for a group of so many teams.
func (p Procedure) ladder(size int) []Step {
	if size > 2 && len(p.More) > 0 {
		return p.More
	}
	return p.Two
}

//go:embed procedures.toml
var text []byte

// Procedures are the ready-made ladders by their id, each with its source.
func Procedures() map[string]Procedure { return maps.Clone(ready()) }

var ready = sync.OnceValue(func() map[string]Procedure {
	list, err := ReadProcedures(text, "procedures.toml")
	if err != nil {
		panic(err) // the file is part of the program
	}
	return list
})

// ReadProcedures reads a file of procedures. Its errors name the line, or the
// procedure, and the reason.
func ReadProcedures(text []byte, name string) (map[string]Procedure, error) {
	var list map[string]Procedure
	if err := datafile.Decode(text, name, &list); err != nil {
		return nil, err
	}
	for id, p := range list {
		if err := p.Validate(); err != nil {
			return nil, message.At(name, datafile.LineOf(text, id), message.Because(err, "file.in_table", "table", id))
		}
	}
	return list, nil
}
