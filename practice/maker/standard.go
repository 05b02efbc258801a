package maker

import (
	"embed"
	"encoding/json"
	"slices"
	"sync"

	"whistlestop/game/rulebook"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// The scripts that come with the program: the standard practice game and the
// drills, each in the form in which a coordinator writes one.
//
//go:embed scripts/*.practice
var files embed.FS

var standard, check, doors = fixed("standard"), fixed("check"), fixed("doors")

// fixed plays a script of the program once, when it is first asked for.
func fixed(name string) func() script.Script {
	return sync.OnceValue(func() script.Script {
		s, err := read(name, nil)
		if err != nil {
			panic(err) // the file is part of the program
		}
		return s
	})
}

func read(name string, card json.RawMessage) (script.Script, error) {
	name = "scripts/" + name + ".practice"
	text, err := files.ReadFile(name)
	if err != nil {
		return script.Script{}, err
	}
	return Parse(text, name, builtIn(card))
}

func builtIn(card json.RawMessage) plot.Known {
	return plot.Known{Divisions: rulebook.Divisions(), Card: card}
}

// Standard returns the standard practice game: one fixed game, so that anybody
// can repeat it and compare. Its full answer is published.
func Standard() script.Script { return standard() }

// Check returns the check game: seven minutes at the quick pace, in which every
// critical error can be made. It counts for the bar as the standard game does.
func Check() script.Script { return check() }

// All returns every script of the program: the standard game, the check game, then
// the drills, the one of the doors behind the one of minors.
func All(card json.RawMessage) ([]script.Script, error) {
	drills, err := Drills(card)
	if err != nil {
		return nil, err
	}
	at := 1 + slices.IndexFunc(drills, func(s script.Script) bool { return s.ID == plot.DrillID(plot.MinorCall) })
	return slices.Concat([]script.Script{Standard(), Check()}, drills[:at], []script.Script{doors()}, drills[at:]), nil
}

// ByID returns the script of the program with that id, and whether there is one.
func ByID(id string, card json.RawMessage) (script.Script, bool, error) {
	switch id { // only the one that is asked for is played
	case "standard":
		return Standard(), true, nil
	case plot.CheckID:
		return Check(), true, nil
	case "drill-doors":
		return doors(), true, nil
	}
	for _, skill := range plot.Skills {
		if plot.DrillID(skill) != id || skill == plot.FollowBoard && len(card) == 0 {
			continue
		}
		s, err := DrillFor(skill, card)
		return s, true, err
	}
	return script.Script{}, false, nil
}

// Drills returns the short drills, one for a skill, in the order in which skills
// are learnt. The one that follows the rink's board needs a rink card, and is
// left out without one.
func Drills(card json.RawMessage) ([]script.Script, error) {
	var all []script.Script
	for _, s := range plot.Skills {
		if s == plot.FollowBoard && len(card) == 0 {
			continue
		}
		d, err := DrillFor(s, card)
		if err != nil {
			return nil, err
		}
		all = append(all, d)
	}
	return all, nil
}

// DrillFor returns the drill of a skill.
func DrillFor(s plot.Skill, card json.RawMessage) (script.Script, error) {
	script, err := read(string(s), card)
	if err == nil {
		// The drill is about its skill, whatever else its seconds hold.
		script.Skills = slices.Insert(slices.DeleteFunc(slices.Clone(script.Skills), func(o plot.Skill) bool { return o == s }), 0, s)
	}
	return script, err
}
