package tally

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/season/league"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
)

// Season is the season as it stands.
func (t *Tally) Season() (Season, error) {
	if err := t.owed(); err != nil {
		return Season{}, err
	}
	s := Season{
		League: t.league.Name, Season: t.league.Season, AtLeast: t.league.Suspensions != nil && t.league.Suspensions.Other,
		Divisions: []Division{}, Games: []Game{}, Skaters: []Skater{}, Keepers: []Keeper{}, Leaders: t.leaders(),
		GameMinutes: cmp.Or(t.league.Figures.GameMinutes, 60),
	}
	for _, d := range t.divisions {
		s.Divisions = append(s.Divisions, t.division(d))
	}
	for _, id := range t.order {
		g := t.games[id]
		one := Game{Game: g.Game, Result: g.result}
		one.State = g.state()
		s.Games = append(s.Games, one)
	}
	s.Suspensions = t.suspensions()
	for _, line := range t.figures.Skaters() {
		s.Skaters = append(s.Skaters, Skater{line, t.nameOf(string(line.Who))})
	}
	for _, line := range t.figures.Keepers() {
		s.Keepers = append(s.Keepers, Keeper{line, t.nameOf(string(line.Who))})
	}
	s.Findings = t.findings()
	return s, nil
}

// Table is a division's table as it stands; false: there is no such division.
func (t *Tally) Table(id string) (Division, bool) {
	d, known := t.inDiv[id]
	if !known {
		return Division{}, false
	}
	return t.division(d), true
}

// division is a division's table with its reasons.
func (t *Tally) division(d *division) Division {
	out := Division{ID: d.ID, Name: d.Name, Ranked: d.running != nil, Through: d.Through, Places: []Place{}, Reasons: []message.Say{}, Equal: []Equal{}, Open: t.open(d)}
	toCome := map[string]int{}
	for _, id := range d.games {
		g := t.games[id]
		switch {
		case g.result != nil && g.result.Counts:
			out.Played++
		case g.toCome():
			out.ToCome++
			toCome[g.Home]++
			toCome[g.Visitors]++
		}
	}
	if d.running == nil {
		return out
	}
	table := d.running.Table()
	name := func(team standings.Team) string { return t.teamName(string(team)) }
	for _, placed := range table.Places {
		out.Places = append(out.Places, t.place(placed, toCome[string(placed.Team)]))
	}
	for _, reason := range table.Why() {
		out.Reasons = append(out.Reasons, reason.Say(name))
	}
	for _, group := range table.Equal {
		t.equal(d, &out, group)
	}
	return out
}

func (t *Tally) place(p standings.Placed, toCome int) Place {
	r := p.Row
	out := Place{
		Team: string(p.Team), Name: t.teamName(string(p.Team)), Place: p.Place, Equal: p.Equal, Played: r.Played,
		Won: r.Wins(), WonIn: [3]int{r.RegulationWins, r.OvertimeWins, r.ShootOutWins}, Drawn: r.Draws,
		Lost: r.Losses(), LostIn: [3]int{r.RegulationLosses, r.OvertimeLosses, r.ShootOutLosses},
		For: r.GoalsFor, Against: r.GoalsAgainst, Points: r.Points, Minutes: r.PenaltyMinutes, ToCome: toCome,
	}
	for _, points := range t.decisions.points[out.Team] {
		out.Taken += points.Points
		out.TakenWhys = append(out.TakenWhys, points.Why)
	}
	return out
}

// equal is what stands of a group that no step could part: the lots that the league
// drew, or what it still has to do.
func (t *Tally) equal(d *division, out *Division, group []standings.Team) {
	begin := slices.IndexFunc(out.Places, func(p Place) bool { return p.Team == string(group[0]) })
	places := out.Places[begin : begin+len(group)]
	var names []string
	for _, p := range places {
		names = append(names, p.Name)
	}
	all := strings.Join(names, ", ")
	for _, lots := range t.decisions.lots[d.ID] {
		at := func(p Place) int { return slices.Index(lots.Teams, p.Team) }
		if slices.ContainsFunc(places, func(p Place) bool { return at(p) < 0 }) {
			continue
		}
		slices.SortStableFunc(places, func(a, b Place) int { return at(a) - at(b) })
		for i := range places {
			places[i].Place, places[i].Equal = begin+i+1, false
		}
		out.Reasons = append(out.Reasons, message.Say{Key: "standings.by_lots", Args: message.Pairs("teams", all, "first", places[0].Name, "why", lots.Why)})
		return
	}
	key := "standings.equal_lots"
	if d.ranking.Last == league.LastGame {
		key = "standings.equal_game"
	}
	if out.ToCome > 0 {
		key = "standings.equal_yet"
	}
	one := Equal{Say: message.Say{Key: key, Args: message.Pairs("teams", all)}}
	for _, team := range group {
		one.Teams = append(one.Teams, string(team))
	}
	out.Equal = append(out.Equal, one)
}

// open are the games of a division that count for nothing yet and that nobody waits to
// be played: begun and not ended, forfeited without a decision, over and not sealed
// where the league counts what is sealed.
func (t *Tally) open(d *division) []message.Say {
	list := []message.Say{}
	for _, id := range d.games {
		g := t.games[id]
		if g.result != nil && g.result.Counts {
			continue
		}
		t.findingsOf(g, t.gameName, func(_, _, key string, pairs ...string) {
			if key == "tally.abandoned" || key == "tally.forfeited" || key == "tally.not_sealed" {
				list = append(list, message.Say{Key: key, Args: message.Pairs(pairs...)})
			}
		})
	}
	return list
}

func (t *Tally) teamName(id string) string {
	if in, known := t.teams[id]; known {
		return in.Name
	}
	return id
}

// suspensions lists what everybody earned, by game and person.
func (t *Tally) suspensions() []Suspension {
	list := []Suspension{}
	for _, key := range slices.Sorted(maps.Keys(t.owes.pieces)) {
		for _, one := range t.owes.pieces[key].earned {
			list = append(list, t.suspension(key, one))
		}
	}
	when := func(s Suspension) string {
		if g := t.games[s.Game]; g != nil {
			return g.when
		}
		return ""
	}
	slices.SortStableFunc(list, func(a, b Suspension) int { return cmp.Compare(when(a), when(b)) })
	return list
}

func (t *Tally) suspension(key string, one suspensions.Suspension) Suspension {
	who := t.people.all[key]
	out := Suspension{
		Who: key, Name: who.Name, Team: one.Team, Coach: who.Coach, Why: one.Why, Games: one.Games, Ruling: one.Ruling,
		Served: []Served{}, Next: []string{}, Owed: one.Left,
	}
	if out.Team == "" && len(who.Teams) > 0 {
		out.Team = who.Teams[0]
	}
	if one.Game != suspensions.Before {
		id, side := gameOf(one.Game)
		out.Game = id
		for i, c := range t.people.callsOf(t.games[id].facts, side) {
			if c.Who != "" && t.callKey(t.games[id], side, c) == key {
				out.Entries = append(out.Entries, t.games[id].facts.PenaltyEntries[side][i])
			}
		}
	}
	for _, sided := range one.Takes {
		id, side := gameOf(sided)
		g := t.games[id]
		if g.toCome() {
			out.Next = append(out.Next, id)
			continue
		}
		out.Served = append(out.Served, Served{Game: id, Sheet: g.sheet, Listed: t.listed(g, side, who), Number: len(out.Served) + 1})
	}
	return out
}

// listed says whether somebody stands on a sheet as suspended.
func (t *Tally) listed(g *game, side int, who Someone) bool {
	if !g.sheet {
		return false
	}
	for _, one := range g.facts.Sheet[side] {
		if one.Who == who.Name && one.Status == entry.Suspended {
			return true
		}
	}
	return false
}

// Out is somebody who must miss a game, with the reason.
type Out struct {
	Who     string `json:"who"`
	Name    string `json:"name"`
	Team    string `json:"team"`
	Coach   bool   `json:"coach,omitempty"`
	Why     string `json:"why"`              // the rule
	Game    string `json:"game"`             // in which it was earned
	Number  int    `json:"number,omitempty"` // this is which of the games, from 1; 0: kept out until another game serves
	Games   int    `json:"games"`
	Ruling  bool   `json:"ruling,omitempty"`
	AtLeast bool   `json:"at_least"` // other leagues count too
}

// Out lists who must miss a game of the schedule, by team and person.
func (t *Tally) Out(id string) ([]Out, error) {
	if err := t.owed(); err != nil {
		return nil, err
	}
	list := []Out{}
	g, known := t.games[id]
	if !known {
		return list, nil
	}
	for _, key := range slices.Sorted(maps.Keys(t.owes.pieces)) {
		p := t.owes.pieces[key]
		for side := range 2 {
			if !slices.Contains(p.misses, sideOf(id, side)) {
				continue
			}
			who := t.people.all[key]
			out := Out{Who: key, Name: who.Name, Team: sideTeam(g, side), Coach: who.Coach, AtLeast: t.league.Suspensions.Other}
			for i, one := range p.earned {
				at := slices.Index(one.Takes, sideOf(id, side))
				if at >= 0 || i == 0 {
					out.Why, out.Games, out.Ruling, out.Number = one.Why, one.Games, one.Ruling, at+1
					out.Game, _ = gameOf(one.Game)
				}
				if at >= 0 {
					break
				}
			}
			list = append(list, out)
		}
	}
	slices.SortStableFunc(list, func(a, b Out) int { return cmp.Compare(a.Team, b.Team) })
	return list, nil
}

// findings are what does not fit together.
func (t *Tally) findings() []Finding {
	list := []Finding{}
	add := func(game, ledger, key string, pairs ...string) {
		list = append(list, Finding{Game: game, Ledger: ledger, Say: message.Say{Key: key, Args: message.Pairs(pairs...)}})
	}
	for _, ledger := range slices.Sorted(maps.Keys(t.reports)) {
		if _, has := t.belongs[ledger]; !has {
			f := t.reports[ledger]
			add("", ledger, "tally.no_game", "home", f.Names[0], "visitors", f.Names[1], "date", f.Date, "number", f.Number)
		}
	}
	names := map[string]string{} // each once: a national body has many findings
	nameOf := func(g *game) string {
		name, known := names[g.ID]
		if !known {
			name = t.gameName(g)
			names[g.ID] = name
		}
		return name
	}
	for _, id := range t.order {
		g := t.games[id]
		if n := len(t.of[id]); n > 1 {
			add(id, g.facts.Ledger, "tally.two_reports", "game", nameOf(g), "count", strconv.Itoa(n))
		}
		t.findingsOf(g, nameOf, add)
	}
	for _, key := range slices.Sorted(maps.Keys(t.owes.pieces)) {
		for _, used := range t.owes.pieces[key].used {
			id, _ := gameOf(used.Game)
			add(id, "", "tally.took_part", "who", t.nameOf(key), "game", nameOf(t.games[id]))
		}
	}
	for _, id := range t.undecided() {
		add(id, "", "tally.decision", "game", id)
	}
	return list
}

func (t *Tally) findingsOf(g *game, nameOf func(*game) string, add func(game, ledger, key string, pairs ...string)) {
	r := g.result
	typed, wasTyped := t.decisions.typed[g.ID]
	switch {
	case g.facts != nil && g.facts.Over && g.facts.Seals == 0:
		add(g.ID, g.facts.Ledger, "tally.not_sealed", "game", nameOf(g))
	case g.facts != nil && g.facts.Seals > 0 && !g.facts.Sealed:
		add(g.ID, g.facts.Ledger, "tally.amended", "game", nameOf(g))
	}
	if wasTyped && r != nil && r.From != Typed && r.From != Awarded && r.Goals != [2]int{typed.Home, typed.Visitors} {
		add(g.ID, r.Ledger, "tally.typed", "game", nameOf(g), "home", strconv.Itoa(r.Goals[0]), "visitors", strconv.Itoa(r.Goals[1]))
	}
	if r != nil && r.Counts && t.inDiv[g.Division].drawn(r.Goals, r.How) {
		add(g.ID, r.Ledger, "tally.drawn", "game", nameOf(g))
	}
	if r == nil && g.State == "forfeited" {
		add(g.ID, "", "tally.forfeited", "game", nameOf(g))
	}
	if r != nil && r.How == standings.Abandoned {
		add(g.ID, "", "tally.abandoned", "game", nameOf(g))
	}
	if r != nil && (g.State == "cancelled" || g.State == "postponed") {
		add(g.ID, r.Ledger, "tally.state", "game", nameOf(g), "state", "@schedule.state."+string(g.State))
	}
}

// undecided are games of decisions that the schedule does not have.
func (t *Tally) undecided() []string {
	var ids []string
	for id := range t.decisions.typed {
		ids = append(ids, id)
	}
	for id := range t.decisions.forfeits {
		ids = append(ids, id)
	}
	for id := range t.decisions.off {
		ids = append(ids, id)
	}
	ids = slices.DeleteFunc(ids, func(id string) bool { return t.games[id] != nil })
	slices.Sort(ids)
	return slices.Compact(ids)
}

func (t *Tally) gameName(g *game) string {
	return message.Nested("tally.game_name", "home", t.teamName(g.Home), "visitors", t.teamName(g.Visitors), "id", g.ID)
}
