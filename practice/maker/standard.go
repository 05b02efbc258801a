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

const standardFile = "scripts/standard.practice"

var standard = sync.OnceValue(func() script.Script {
	text, err := files.ReadFile(standardFile)
	if err != nil {
		panic(err) // the file is part of the program
	}
	s, err := Parse(text, standardFile, builtIn(nil))
	if err != nil {
		panic(err)
	}
	return s
})

func builtIn(card json.RawMessage) plot.Known {
	return plot.Known{Divisions: rulebook.Divisions(), Card: card}
}

// Standard returns the standard practice game: one fixed game, so that anybody
// can repeat it and compare. Its full answer is published.
func Standard() script.Script { return standard() }

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
	name := "scripts/" + string(s) + ".practice"
	text, err := files.ReadFile(name)
	if err != nil {
		return script.Script{}, err
	}
	script, err := Parse(text, name, builtIn(card))
	if err == nil {
		// The drill is about its skill, whatever else its seconds hold.
		script.Skills = slices.Insert(slices.DeleteFunc(slices.Clone(script.Skills), func(o plot.Skill) bool { return o == s }), 0, s)
	}
	return script, err
}
