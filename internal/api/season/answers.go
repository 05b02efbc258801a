package season

import (
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// What the operations take and give. The published description of the API is made
// from these types and their comments.

// seasonJSON is what a season is made of.
type seasonJSON struct {
	League    string               `json:"league"` // empty: no league file is kept, or none that can be used
	Season    string               `json:"season,omitempty"`
	From      string               `json:"from,omitempty"` // days as YYYY-MM-DD
	To        string               `json:"to,omitempty"`
	Today     string               `json:"today,omitempty"` // at the rinks
	Rinks     []seasonRinkJSON     `json:"rinks"`
	Divisions []seasonDivisionJSON `json:"divisions"`
	Scheduled bool                 `json:"scheduled"`         // there is a schedule
	Trouble   string               `json:"trouble,omitempty"` // why a file that is there cannot be used; for the bench
}

// seasonRinkJSON is a rink of the league.
type seasonRinkJSON struct {
	ID     string `json:"id"`
	Name   string `json:"name"`
	Sheets int    `json:"sheets"`
}

// seasonDivisionJSON is a division of the league.
type seasonDivisionJSON struct {
	ID    string           `json:"id"`
	Name  string           `json:"name"`
	Plays string           `json:"plays"` // the division of a game that says how it is played
	Teams []seasonTeamJSON `json:"teams"`
}

// seasonTeamJSON is a team of a division.
type seasonTeamJSON struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Home string `json:"home,omitempty"` // its rink
}

// leagueFileJSON is the league file as it is kept.
type leagueFileJSON struct {
	Text string `json:"text"` // empty: there is none
	Mark string `json:"mark"` // of this version
	Kept bool   `json:"kept"` // what was sent is kept now, or is what was kept already
	// Findings are what is wrong or odd. With a mistake among them nothing was kept.
	Findings []fileFindingJSON `json:"findings"`
}

// fileFindingJSON is one thing that is wrong with a file.
type fileFindingJSON struct {
	Line    int    `json:"line,omitempty"` // from 1; 0: of no line in particular
	Mistake bool   `json:"mistake"`        // otherwise only to be looked at
	Text    string `json:"text"`
	// Table, At and Key are the setting that it is about, as a form has it.
	Table string `json:"table,omitempty"`
	At    int    `json:"at,omitempty"`
	Key   string `json:"key,omitempty"`
}

// keepLeagueJSON is a league file to be kept.
type keepLeagueJSON struct {
	Text  string `json:"text"`
	Check bool   `json:"check,omitempty"` // only say what is wrong with it
	Saw   string `json:"saw,omitempty"`   // mark of the version that it was made from; empty: whatever is there is replaced
}

// scheduleJSON is games of the schedule.
type scheduleJSON struct {
	Games []scheduledJSON `json:"games"`
	Mark  string          `json:"mark"` // of this version of the schedule
	Today string          `json:"today"`
}

// scheduledJSON is a game of the schedule.
type scheduledJSON struct {
	ID       string      `json:"id"`
	Division string      `json:"division"`
	Round    int         `json:"round"`
	Home     string      `json:"home"` // ids of teams
	Visitors string      `json:"visitors"`
	State    string      `json:"state"`
	Place    *placeJSON  `json:"place,omitempty"`
	Was      []stoodJSON `json:"was,omitempty"` // how it stood before each change, the oldest first
	// Game is the id of the bench's game that was opened from it.
	Game     string  `json:"game,omitempty"`
	Score    *[2]int `json:"score,omitempty"`    // home, visitors: of that game
	Finished bool    `json:"finished,omitempty"` // that game was ended
}

// placeJSON is when and where a game is.
type placeJSON struct {
	Rink    string `json:"rink"`
	Sheet   int    `json:"sheet"`
	Day     string `json:"day"`   // YYYY-MM-DD
	Start   string `json:"start"` // of the ice, HH:MM by the rink's clock
	Minutes int    `json:"minutes"`
}

// stoodJSON is how a game stood before a change.
type stoodJSON struct {
	State string     `json:"state"`
	Place *placeJSON `json:"place,omitempty"`
	Why   string     `json:"why"` // of the change that followed
}

// clashJSON is something that is wrong with a schedule.
type clashJSON struct {
	Kind  string   `json:"kind"`
	Hard  bool     `json:"hard"`  // otherwise a wish
	Games []string `json:"games"` // ids
	Team  string   `json:"team,omitempty"`
	Who   string   `json:"who,omitempty"` // people of two teams
	Why   string   `json:"why,omitempty"`
}

// clashesJSON is all that is wrong with the schedule.
type clashesJSON struct {
	Clashes []clashJSON `json:"clashes"`
}

// changeGameJSON is a change of a game of the schedule.
type changeGameJSON struct {
	State  string     `json:"state"`
	Place  *placeJSON `json:"place,omitempty"`
	Why    string     `json:"why"`              // people read it
	Act    bool       `json:"act,omitempty"`    // otherwise only say what it touches
	Anyway bool       `json:"anyway,omitempty"` // also where it breaks a rule
	Saw    string     `json:"saw"`              // mark of the schedule that it was made from
}

// changedGameJSON is what a change touches, and the game as it is then.
type changedGameJSON struct {
	Game    scheduledJSON `json:"game"`
	Touches []clashJSON   `json:"touches"` // what the schedule does not have without the change
	Changes []string      `json:"changes"` // what is different for people, as who misses which game, in sentences
	Duties  []string      `json:"duties"`  // what is different for those on duty, in sentences
	Done    bool          `json:"done"`
	Mark    string        `json:"mark"` // of the schedule as it is now
}

// makeScheduleJSON asks for a schedule on the league's ice.
type makeScheduleJSON struct {
	Seed    uint64 `json:"seed"`              // another number makes another one
	Replace bool   `json:"replace,omitempty"` // in place of the one that is there
}

// keptScheduleJSON is a schedule that was made or read in.
type keptScheduleJSON struct {
	Games    int               `json:"games"`
	Unplaced []string          `json:"unplaced"`        // ids of games that have no ice
	Cost     *int              `json:"cost,omitempty"`  // of one that was made
	Bound    *int              `json:"bound,omitempty"` // what every schedule of these games costs at least
	Kept     bool              `json:"kept"`
	Findings []fileFindingJSON `json:"findings"` // what is wrong with a file that was sent
	Mark     string            `json:"mark"`
}

func placeOf(p *schedule.Place) *placeJSON {
	if p == nil {
		return nil
	}
	return &placeJSON{Rink: p.Rink, Sheet: p.Sheet, Day: p.Day.String(), Start: p.Start.String(), Minutes: p.Minutes}
}

func scheduledOf(g schedule.Game) scheduledJSON {
	out := scheduledJSON{
		ID: g.ID, Division: g.Division, Round: g.Round, Home: g.Home, Visitors: g.Visitors,
		State: string(g.State), Place: placeOf(g.Place),
	}
	for _, was := range g.Was {
		out.Was = append(out.Was, stoodJSON{State: string(was.State), Place: placeOf(was.Place), Why: was.Why})
	}
	return out
}

func clashesOf(found []schedule.Conflict) []clashJSON {
	list := []clashJSON{}
	for _, c := range found {
		list = append(list, clashJSON{Kind: string(c.Kind), Hard: c.Hard, Games: c.Games, Team: c.Team, Who: c.Who, Why: c.Why})
	}
	return list
}

func divisionsOf(l league.League) []seasonDivisionJSON {
	list := []seasonDivisionJSON{}
	for _, d := range l.Divisions {
		one := seasonDivisionJSON{ID: d.ID, Name: d.Name, Plays: d.Plays, Teams: []seasonTeamJSON{}}
		for _, t := range d.Teams {
			one.Teams = append(one.Teams, seasonTeamJSON{ID: t.ID, Name: t.Name, Home: t.Home})
		}
		list = append(list, one)
	}
	return list
}
