package schedule

import (
	"fmt"
	"slices"
	"strings"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
)

// Update takes the rows of a file into a schedule. A game that the schedule has, by
// the file's id or its own, stays that game: what differs is a change with the
// reason. Games that the file does not have stay as they are, and are named. On is
// the day from which new games count as added later; nil: the schedule is new. Taken are
// ids of games of other schedules, which a new game does not get by itself.
func Update(l league.League, before []Game, rows []Row, why string, on *dates.Day, taken ...string) ([]Game, []Finding) {
	u := &update{last: numbers(taken), league: l, games: slices.Clone(before), seen: map[int]bool{}, uids: map[string]int{}, ids: map[string]int{}}
	for i, g := range u.games {
		u.uids[calendar.UID(l.Name, l.Season, g.ID)] = i
		if g.UID != "" {
			u.uids[g.UID] = i
		}
		u.ids[strings.ToLower(g.ID)] = i
	}
	for _, row := range rows {
		u.take(row, why, on)
	}
	for i, g := range before {
		if !u.seen[i] {
			u.findings.add(0, "incoming.not_there", "game", g.ID)
		}
	}
	return u.games, u.findings
}

type update struct {
	league   league.League
	games    []Game
	seen     map[int]bool
	uids     map[string]int
	ids      map[string]int
	last     map[string]int // of each division, the highest number that is taken
	findings findings
}

func (u *update) take(row Row, why string, on *dates.Day) {
	division, home, visitors := u.teams(row)
	if division == nil {
		return
	}
	if row.Place != nil && row.Place.Minutes == 0 {
		row.Place.Minutes = division.Minutes
	}
	at, known := u.uids[row.UID]
	if !known || row.UID == "" {
		at, known = u.ids[strings.ToLower(row.ID)]
	}
	if !known {
		u.add(row, division, home, visitors, on)
		return
	}
	g := u.games[at]
	switch {
	case u.seen[at]:
		u.findings.add(row.Line, "incoming.twice", "game", g.ID)
		return
	case g.Home != home || g.Visitors != visitors:
		u.findings.add(row.Line, "incoming.other_teams", "game", g.ID)
		u.seen[at] = true
		return
	}
	u.seen[at] = true
	if g.State == row.State && samePlace(g.Place, row.Place) || g.State == Played || row.State == Cancelled && g.State == Cancelled {
		return
	}
	place := row.Place
	if row.State == Cancelled {
		place = g.Place
	}
	changed, err := g.Change(row.State, place, why)
	if err != nil {
		u.findings = append(u.findings, Finding{row.Line, message.Of(err)})
		return
	}
	u.games[at] = changed
}

func samePlace(a, b *Place) bool { return a == b || a != nil && b != nil && *a == *b }

// add puts a game on the schedule that it did not have, under the file's id or the
// next free one of its division, behind those that are taken.
func (u *update) add(row Row, division *league.Division, home, visitors string, on *dates.Day) {
	id := strings.ToLower(row.ID)
	if !fits(id) {
		for n := u.last[division.ID] + 1; ; n++ {
			id = fmt.Sprintf("%s-%03d", division.ID, n)
			if _, there := u.ids[id]; !there {
				break
			}
		}
	}
	g := Game{ID: id, Division: division.ID, Round: 1, Home: home, Visitors: visitors, State: row.State, Place: row.Place, Added: on, UID: row.UID}
	at := len(u.games)
	u.games = append(u.games, g)
	u.ids[id] = at
	if row.UID != "" {
		u.uids[row.UID] = at
	}
	u.seen[at] = true
}

func fits(id string) bool {
	return id != "" && len(id) <= 40 && strings.Trim(id, "abcdefghijklmnopqrstuvwxyz0123456789-") == ""
}

// teams finds a row's division and teams by id or name. Names that several divisions
// have need the division.
func (u *update) teams(row Row) (*league.Division, string, string) {
	type match struct {
		division       *league.Division
		home, visitors string
	}
	var found []match
	for i := range u.league.Divisions {
		d := &u.league.Divisions[i]
		if row.In != "" && !strings.EqualFold(row.In, d.ID) && !strings.EqualFold(row.In, d.Name) {
			continue
		}
		one := match{division: d}
		for _, t := range d.Teams {
			if strings.EqualFold(t.ID, row.Teams[0]) || strings.EqualFold(t.Name, row.Teams[0]) {
				one.home = t.ID
			}
			if strings.EqualFold(t.ID, row.Teams[1]) || strings.EqualFold(t.Name, row.Teams[1]) {
				one.visitors = t.ID
			}
		}
		if one.home != "" && one.visitors != "" && one.home != one.visitors {
			found = append(found, one)
		}
	}
	key := "incoming.teams"
	if len(found) > 1 {
		key = "incoming.which_division"
	}
	if len(found) != 1 {
		u.findings.add(row.Line, key, "home", message.Plain(row.Teams[0]), "visitors", message.Plain(row.Teams[1]))
		return nil, "", ""
	}
	return found[0].division, found[0].home, found[0].visitors
}
