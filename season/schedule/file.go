package schedule

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"whistlestop/season/league"
)

// File is a schedule as it is kept.
type File struct {
	Version int    `json:"version"` // of this form: 1
	League  string `json:"league"`
	Season  string `json:"season"`
	Games   []Game `json:"games"`
}

// What a file may have at most: eight times the largest league of a league file.
const (
	FileMost  = 16 << 20 // bytes
	gamesMost = 50_000
	wasMost   = 200 // changes of a game
)

// Keep is the schedule as a file.
func Keep(l league.League, games []Game) ([]byte, error) {
	text, err := json.MarshalIndent(File{Version: 1, League: l.Name, Season: l.Season, Games: games}, "", " ")
	if err != nil {
		return nil, err
	}
	return append(text, '\n'), nil
}

// Read reads the schedule of a league. Its errors name the game and what is wrong.
func Read(text []byte, l league.League) ([]Game, error) {
	if len(text) > FileMost {
		return nil, fmt.Errorf("the file has more than %d MB", FileMost>>20)
	}
	var file File
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&file); err != nil {
		return nil, fmt.Errorf("this is no schedule: %w", err)
	}
	if file.Version != 1 || file.League != l.Name || file.Season != l.Season {
		return nil, fmt.Errorf("this is the schedule of %q, %q, in form %d; the league is %q, %q, and the form is 1", file.League, file.Season, file.Version, l.Name, l.Season)
	}
	if len(file.Games) > gamesMost {
		return nil, fmt.Errorf("more than %d games", gamesMost)
	}
	of := map[string]string{} // the division of each team
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			of[t.ID] = d.ID
		}
	}
	rinks := map[string]int{}
	for _, r := range l.Rinks {
		rinks[r.ID] = r.Sheets
	}
	seen := map[string]bool{}
	for _, g := range file.Games {
		if g.ID == "" || seen[g.ID] {
			return nil, fmt.Errorf("game %q: each game has an id of its own", g.ID)
		}
		seen[g.ID] = true
		if err := g.validate(of, rinks); err != nil {
			return nil, fmt.Errorf("game %s: %w", g.ID, err)
		}
	}
	return file.Games, nil
}

func (g Game) validate(of map[string]string, rinks map[string]int) error {
	switch {
	case of[g.Home] != g.Division || of[g.Visitors] != g.Division || g.Division == "" || g.Home == g.Visitors:
		return fmt.Errorf("%q and %q are not two teams of division %q", g.Home, g.Visitors, g.Division)
	case len(g.Was) > wasMost:
		return fmt.Errorf("more than %d changes", wasMost)
	case g.State == Scheduled && g.Place == nil:
		return fmt.Errorf("it is scheduled and has no place")
	}
	stood := append([]Was{{State: g.State, Place: g.Place}}, g.Was...)
	for _, was := range stood {
		if !slices.Contains(States, was.State) {
			return fmt.Errorf("%q is no state of a game", was.State)
		}
		if p := was.Place; p != nil && (rinks[p.Rink] == 0 || p.Sheet < 1 || p.Sheet > rinks[p.Rink] || p.Minutes < 1 || p.Minutes > dayMinutes) {
			return fmt.Errorf("rink %q, sheet %d, %d minutes: there is no such ice", p.Rink, p.Sheet, p.Minutes)
		}
	}
	return nil
}
