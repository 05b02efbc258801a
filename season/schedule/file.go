package schedule

import (
	"bytes"
	"encoding/json"
	"slices"

	"whistlestop/game/message"
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

// Before says of which other season a league's schedule is, and the ids of its games;
// false: it is of this season, of another league, or none.
func Before(text []byte, l league.League) (season string, ids []string, is bool) {
	var file File
	if len(text) > FileMost || json.Unmarshal(text, &file) != nil || file.Version != 1 || file.League != l.Name || file.Season == l.Season || file.Season == "" {
		return "", nil, false
	}
	for _, g := range file.Games {
		ids = append(ids, g.ID)
	}
	return file.Season, ids, true
}

// Read reads the schedule of a league. Its errors name the game and what is wrong.
func Read(text []byte, l league.League) ([]Game, error) {
	if len(text) > FileMost {
		return nil, message.New("schedule_file.large", "most", FileMost>>20)
	}
	var file File
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&file); err != nil {
		return nil, message.Because(err, "schedule_file.unreadable")
	}
	if file.Version != 1 || file.League != l.Name || file.Season != l.Season {
		return nil, message.New("schedule_file.other", "league", message.Plain(file.League), "season", message.Plain(file.Season), "version", file.Version, "own_league", message.Plain(l.Name), "own_season", message.Plain(l.Season))
	}
	if len(file.Games) > gamesMost {
		return nil, message.New("schedule_file.games", "most", gamesMost)
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
			return nil, message.New("schedule_file.game_id", "game", message.Plain(g.ID))
		}
		seen[g.ID] = true
		if err := g.validate(of, rinks); err != nil {
			return nil, message.Because(err, "schedule_file.game", "game", g.ID)
		}
	}
	return file.Games, nil
}

func (g Game) validate(of map[string]string, rinks map[string]int) error {
	switch {
	case of[g.Home] != g.Division || of[g.Visitors] != g.Division || g.Division == "" || g.Home == g.Visitors:
		return message.New("schedule_file.teams", "home", message.Plain(g.Home), "visitors", message.Plain(g.Visitors), "division", message.Plain(g.Division))
	case len(g.Was) > wasMost:
		return message.New("schedule_file.changes", "most", wasMost)
	case g.State == Scheduled && g.Place == nil:
		return message.New("schedule_file.no_place")
	}
	stood := append([]Was{{State: g.State, Place: g.Place}}, g.Was...)
	for _, was := range stood {
		if !slices.Contains(States, was.State) {
			return message.New("schedule_file.state", "state", message.Plain(was.State))
		}
		if p := was.Place; p != nil && (rinks[p.Rink] == 0 || p.Sheet < 1 || p.Sheet > rinks[p.Rink] || p.Minutes < 1 || p.Minutes > dayMinutes) {
			return message.New("schedule_file.ice", "rink", message.Plain(p.Rink), "sheet", p.Sheet, "minutes", p.Minutes)
		}
	}
	return nil
}
