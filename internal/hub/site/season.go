package site

import (
	"cmp"
	"slices"
	"time"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/counted"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/tally"
)

// seasonJSON is a season as somebody is shown it: what is sealed, and what is left out.
type seasonJSON struct {
	Association string         `json:"association"`
	League      string         `json:"league"`
	Season      string         `json:"season"`
	Today       string         `json:"today"` // at the rinks, YYYY-MM-DD
	Divisions   []divisionJSON `json:"divisions"`
	LeftOut     []leftJSON     `json:"left_out"` // games on which nobody may rely; they count for nothing
	Now         entry.Millis   `json:"now_ms"`   // when it was worked out, by the hub's time
}

// divisionJSON is a division: its table, and what was asked for of its games and people.
type divisionJSON struct {
	ID     string      `json:"id"`
	Name   string      `json:"name"`
	Ranked bool        `json:"ranked"` // the league says how teams are ranked
	Played int         `json:"played"` // games that count
	ToCome int         `json:"to_come"`
	Places []placeJSON `json:"places"`
	Notes  []string    `json:"notes"` // why equal teams stand as they do, and games that count for nothing yet

	Games      []seasonGameJSON `json:"games,omitempty"` // by time
	Skaters    []skaterJSON     `json:"skaters,omitempty"`
	Keepers    []keeperJSON     `json:"goalkeepers,omitempty"`
	Suspended  []suspendedJSON  `json:"suspended,omitempty"` // for whoever may read reports
	whole      bool             // the division is shown by itself
	Suspending bool             `json:"-"` // suspensions are shown, if there are any
}

// placeJSON is a team's line of a table.
type placeJSON struct {
	Team    string `json:"team"` // its id
	Name    string `json:"name"`
	Place   int    `json:"place"` // one number for all who are equal
	Played  int    `json:"played"`
	Won     int    `json:"won"`
	Drawn   int    `json:"drawn"`
	Lost    int    `json:"lost"`
	For     int    `json:"for"`
	Against int    `json:"against"`
	Points  int    `json:"points"`
	ToCome  int    `json:"to_come"`
}

// seasonGameJSON is a game of the schedule.
type seasonGameJSON struct {
	ID       string  `json:"id"`
	Day      string  `json:"day,omitempty"`   // YYYY-MM-DD
	Start    string  `json:"start,omitempty"` // HH:MM by the rink's clock
	Rink     string  `json:"rink,omitempty"`  // of a game that is over; before it where the association shows that
	Home     string  `json:"home"`
	Visitors string  `json:"visitors"`
	State    string  `json:"state"`
	Score    *[2]int `json:"score,omitempty"` // home, visitors: of a game that was sealed, where scores are shown
	How      string  `json:"how,omitempty"`   // not in the periods: overtime, shoot_out, forfeit, void, abandoned
	Counts   bool    `json:"counts"`          // is in the table
}

// skaterJSON is a skater's season.
type skaterJSON struct {
	Name    string `json:"name"` // a number, where the name is not shown
	Team    string `json:"team"`
	Played  int    `json:"played"`
	Goals   int    `json:"goals"`
	Assists int    `json:"assists"`
	Points  int    `json:"points"`
	Minutes int    `json:"minutes"` // penalty minutes
}

// keeperJSON is a goalkeeper's season.
type keeperJSON struct {
	Name    string `json:"name"`
	Team    string `json:"team"`
	Played  int    `json:"played"`
	Wins    int    `json:"wins"`
	Shots   int    `json:"shots"`
	Against int    `json:"against"`
}

// suspendedJSON is somebody's suspension and how it stands.
type suspendedJSON struct {
	Name   string   `json:"name"`
	Team   string   `json:"team"`
	Why    string   `json:"why"` // the rule
	Games  int      `json:"games"`
	Ruling bool     `json:"ruling,omitempty"` // open until the league rules
	Served int      `json:"served"`
	Next   []string `json:"next"` // games to come that it takes
	Owed   int      `json:"owed"` // games for which the schedule has none
}

// leftJSON is a game that is left out.
type leftJSON struct {
	Day      string `json:"day,omitempty"`
	Home     string `json:"home"`
	Visitors string `json:"visitors"`
	Why      string `json:"why"` // held, unread, touched, reopened
	Text     string `json:"text"`
}

// seen is what somebody wants and may see of a season.
type seen struct {
	division  string                           // only this one, with its games and people; by its id
	teams     []string                         // only these, with their games and people; by their ids
	places    bool                             // in which rinks games to come are
	suspended func(team, division string) bool // whose suspensions, by names; nil: nobody's
}

// viewer makes a view.
type viewer struct {
	counted.Season
	seen
	words api.Words
	today dates.Day
	rinks map[string]string
	names map[string]string
}

// view is a season as somebody is shown it.
func view(s counted.Season, o seen, words api.Words, association string, now entry.Millis) seasonJSON {
	v := &viewer{Season: s, seen: o, words: words, rinks: map[string]string{}, names: map[string]string{}}
	v.today, _ = dates.Parse(time.UnixMilli(int64(now)).In(s.Zone).Format(time.DateOnly))
	for _, r := range s.League.Rinks {
		v.rinks[r.ID] = r.Name
	}
	for _, d := range s.League.Divisions {
		for _, t := range d.Teams {
			v.names[t.ID] = t.Name
		}
	}
	out := seasonJSON{
		Association: association, League: s.League.Name, Season: s.League.Season, Today: v.today.String(), Now: now,
		Divisions: []divisionJSON{}, LeftOut: []leftJSON{},
	}
	for _, d := range s.Season.Divisions {
		of, known := s.League.Division(d.ID)
		if known && v.wants(of) {
			out.Divisions = append(out.Divisions, v.division(d, of))
		}
	}
	for _, one := range s.Left {
		t := one.Title
		out.LeftOut = append(out.LeftOut, leftJSON{
			Day: t.Date, Home: t.Home, Visitors: t.Visitors, Why: string(one.Why), Text: words.Text("hub.season.left."+string(one.Why), nil),
		})
	}
	return out
}

// wants reports whether a division is meant.
func (v *viewer) wants(d league.Division) bool {
	if len(v.teams) > 0 {
		return slices.ContainsFunc(d.Teams, func(t league.Team) bool { return slices.Contains(v.teams, t.ID) })
	}
	return v.seen.division == "" || v.seen.division == d.ID
}

// asked reports whether a team's games and people are shown.
func (v *viewer) asked(teams ...string) bool {
	return len(v.teams) == 0 || slices.ContainsFunc(teams, func(id string) bool { return slices.Contains(v.teams, id) })
}

func (v *viewer) division(d tally.Division, of league.Division) divisionJSON {
	out := divisionJSON{
		ID: d.ID, Name: d.Name, Ranked: d.Ranked, Played: d.Played, ToCome: d.ToCome, Places: []placeJSON{}, Notes: []string{},
		whole: len(v.teams) > 0 || v.seen.division != "", Suspending: v.suspended != nil,
	}
	for _, p := range d.Places {
		out.Places = append(out.Places, placeJSON{
			Team: p.Team, Name: p.Name, Place: p.Place, Played: p.Played, Won: p.Won, Drawn: p.Drawn, Lost: p.Lost, For: p.For, Against: p.Against,
			Points: p.Points, ToCome: p.ToCome,
		})
	}
	say := func(one message.Say) { out.Notes = append(out.Notes, v.words.Text(one.Key, one.Args)) }
	for _, reason := range d.Reasons {
		say(reason)
	}
	for _, group := range d.Equal {
		say(group.Say)
	}
	for _, open := range d.Open {
		say(open)
	}
	v.suspensions(&out, of)
	if !out.whole {
		return out
	}
	v.games(&out)
	v.people(&out)
	return out
}

// games are those of the division, or of the teams, by time.
func (v *viewer) games(out *divisionJSON) {
	for _, g := range v.Season.Season.Games {
		if g.Division == out.ID && v.asked(g.Home, g.Visitors) {
			out.Games = append(out.Games, v.game(g))
		}
	}
	slices.SortStableFunc(out.Games, func(a, b seasonGameJSON) int {
		return cmp.Or(cmp.Compare(cmp.Or(a.Day, "9"), cmp.Or(b.Day, "9")), cmp.Compare(a.Start, b.Start))
	})
}

func (v *viewer) game(g tally.Game) seasonGameJSON {
	out := seasonGameJSON{ID: g.ID, Home: v.team(g.Home), Visitors: v.team(g.Visitors), State: string(g.State)}
	at, over := g.Place, g.Result != nil
	if over {
		at = g.LastPlace()
		out.Counts = g.Result.Counts
		if g.Result.How != standings.Regulation {
			out.How = string(g.Result.How)
		}
		// What nobody sealed says nothing yet; what the league decided does.
		if g.Result.From != tally.Ended && !v.Scoreless[g.Result.Ledger] && g.Result.How != standings.Void {
			score := g.Result.Goals
			out.Score = &score
		}
		if out.Counts {
			out.State = string(schedule.Played)
		}
	}
	if at == nil {
		return out
	}
	out.Day, out.Start = at.Day.String(), at.Start.String()
	// Until a game is over its rink would tell a stranger where a child is.
	if over || v.places || at.Day < v.today {
		out.Rink = cmp.Or(v.rinks[at.Rink], at.Rink)
	}
	return out
}

func (v *viewer) team(id string) string { return cmp.Or(v.names[id], id) }

// who is what somebody of a team is called: the number and, where everybody may be shown
// it, the name.
func (v *viewer) who(team, name string) string {
	number := v.People.Number(team, name)
	if text := v.Named[counted.Who{Team: team, Number: number}]; text != "" {
		return number + " " + text
	}
	return number
}

// people are what the players and goalkeepers of the division, or of the teams, did.
func (v *viewer) people(out *divisionJSON) {
	for _, l := range v.Season.Season.Skaters {
		if l.Stage != out.ID || !v.asked(string(l.Team)) {
			continue
		}
		out.Skaters = append(out.Skaters, skaterJSON{
			Name: v.who(string(l.Team), l.Name), Team: v.team(string(l.Team)), Played: l.Played, Goals: l.Goals, Assists: l.Assists,
			Points: l.Points(), Minutes: l.Minutes,
		})
	}
	for _, l := range v.Season.Season.Keepers {
		if l.Stage != out.ID || !v.asked(string(l.Team)) {
			continue
		}
		out.Keepers = append(out.Keepers, keeperJSON{
			Name: v.who(string(l.Team), l.Name), Team: v.team(string(l.Team)), Played: l.Played, Wins: l.Wins, Shots: l.Shots, Against: l.Against,
		})
	}
}

// suspensions are those of the division that somebody may read.
func (v *viewer) suspensions(out *divisionJSON, of league.Division) {
	if v.suspended == nil {
		return
	}
	label := map[string]string{}
	for _, g := range v.Season.Season.Games {
		day := ""
		if g.Place != nil {
			day = g.Place.Day.String() + " "
		}
		label[g.ID] = day + v.team(g.Home) + " – " + v.team(g.Visitors)
	}
	for _, one := range v.Season.Season.Suspensions {
		in := slices.ContainsFunc(of.Teams, func(t league.Team) bool { return t.ID == one.Team })
		if !in || !v.asked(one.Team) || !v.suspended(v.team(one.Team), of.Name) {
			continue
		}
		line := suspendedJSON{
			Name: v.who(one.Team, one.Name), Team: v.team(one.Team), Why: one.Why, Games: one.Games, Ruling: one.Ruling, Served: len(one.Served),
			Owed: one.Owed, Next: []string{},
		}
		if one.Coach {
			line.Name = v.words.Text("hub.season.coach", nil)
		}
		for _, id := range one.Next {
			line.Next = append(line.Next, cmp.Or(label[id], id))
		}
		out.Suspended = append(out.Suspended, line)
	}
}
