package season

import (
	"whistlestop/internal/api"
	"whistlestop/season/standings"
	"whistlestop/season/tally"
)

// whatIfJSON is results that somebody picks for games to come.
type whatIfJSON struct {
	Division string     `json:"division"`
	Picks    []pickJSON `json:"picks"`
}

// pickJSON is a picked result.
type pickJSON struct {
	Game  string `json:"game"`
	Goals [2]int `json:"goals"` // home, visitors, with the one for a shoot-out
	How   string `json:"how"`   // reg, ot or so
}

// whatIfTableJSON is the table as it would stand, and where each team may still end
// whatever the other games bring.
type whatIfTableJSON struct {
	Table   tableJSON `json:"table"`
	Chances []string  `json:"chances"` // a sentence for each team, the best first
}

// picksMost is how many results can be picked at once: more than a division has.
const picksMost = 2000

// whatIf is a division's table with picked results. Nothing of it is kept.
func (s *Service) whatIf(c *api.Call, in whatIfJSON) (out whatIfTableJSON, err error) {
	if len(in.Picks) > picksMost {
		return out, api.Refuse("season.too_many_picks")
	}
	err = s.counted(c, func(b booked) error {
		var picks []tally.Pick
		for _, p := range in.Picks {
			picks = append(picks, tally.Pick{Game: p.Game, Goals: p.Goals, How: standings.How(p.How)})
		}
		then, err := b.tally.WhatIf(picks)
		if err != nil {
			return refuse(err)
		}
		table, known := then.Table(in.Division)
		if !known {
			return api.NotThere("season.no_division", "division", api.Clip(in.Division))
		}
		out = whatIfTableJSON{Table: tableOf(c, table), Chances: []string{}}
		if !table.Ranked {
			return nil
		}
		chances, err := then.Chances(in.Division, 0)
		if err != nil {
			return refuse(err)
		}
		for _, one := range chances {
			out.Chances = append(out.Chances, c.Words.Text(one.Say.Key, one.Say.Args))
		}
		return nil
	})
	return out, err
}
