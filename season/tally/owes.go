package tally

import (
	"iter"
	"maps"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/season/schedule"
	"whistlestop/season/suspensions"
)

// owes keeps what people owe, and whom a change touched: they alone are worked out
// anew, each with the games of their teams.
type owes struct {
	pieces  map[string]*piece   // by person, of those who earned something
	in      map[string][]string // by person: the games of their calls, in the order of ids
	coaches map[string][]string // by team: who signed as head coach, by key
	who     map[string]bool     // touched people
	teams   map[string]bool     // touched teams: their coaches, and whoever owes there
	used    map[string][]string // who took part although suspended, by game and side, in the order of keys
}

type piece struct {
	earned []suspensions.Suspension
	misses []string
	open   bool
	used   []suspensions.Used
	teams  []string
}

func (o *owes) reset() {
	*o = owes{
		pieces: map[string]*piece{}, in: map[string][]string{}, coaches: map[string][]string{}, who: map[string]bool{},
		teams: map[string]bool{}, used: map[string][]string{},
	}
}

func (o *owes) moved(teams ...string) {
	for _, id := range teams {
		o.teams[id] = true
	}
}

// earns says whether a game's sheet makes somebody owe something.
func (t *Tally) earns(g *game) bool {
	if g.facts == nil {
		return false
	}
	ranking := t.inDiv[g.Division].ranking
	return g.facts.Seals > 0 || g.facts.Over && (ranking == nil || ranking.Counts == "ended")
}

// sheets notes whom a game's sheet touches, before it changes and after.
func (o *owes) sheets(t *Tally, g *game, there bool) {
	o.moved(g.Home, g.Visitors)
	if !t.earns(g) {
		return
	}
	for side, team := range []string{g.Home, g.Visitors} {
		if name := g.facts.Coach[side]; name != "" {
			key := t.people.key(team, name, "", true)
			if at, known := slices.BinarySearch(o.coaches[team], key); !known {
				o.coaches[team] = slices.Insert(o.coaches[team], at, key)
			}
		}
		for _, c := range t.people.callsOf(g.facts, side) {
			if c.Who == "" {
				continue
			}
			key := t.callKey(g, side, c)
			o.who[key] = true
			at, known := slices.BinarySearch(o.in[key], g.ID)
			switch {
			case there && !known:
				o.in[key] = slices.Insert(o.in[key], at, g.ID)
			case !there && known:
				o.in[key] = slices.Delete(o.in[key], at, at+1)
			}
		}
	}
}

func sideTeam(g *game, side int) string { return [2]string{g.Home, g.Visitors}[side] }

// callKey is who was called.
func (t *Tally) callKey(g *game, side int, c suspensions.Call) string {
	var number entry.Jersey
	if len(t.people.listed) > 0 {
		number = numbers(g, side)[c.Who]
	}
	return t.people.key(sideTeam(g, side), c.Who, number, false)
}

// sideOf names a team's side of a game, and back.
func sideOf(id string, side int) string { return id + "/" + string(rune('0'+side)) }

func gameOf(sided string) (id string, side int) {
	at := strings.LastIndexByte(sided, '/')
	if at < 0 {
		return sided, 0
	}
	return sided[:at], int(sided[at+1] - '0')
}

// owed works out anew what the touched people owe.
func (t *Tally) owed() error {
	o := &t.owes
	if t.book == nil || len(o.who)+len(o.teams) == 0 {
		return nil
	}
	for key, p := range o.pieces {
		if slices.ContainsFunc(p.teams, func(team string) bool { return o.teams[team] }) {
			o.who[key] = true
		}
	}
	for _, r := range t.decisions.onRecord {
		if _, known := t.people.all[r.Person]; known && o.pieces[r.Person] == nil {
			o.who[r.Person] = true
		}
	}
	players := map[string]bool{}
	for key := range o.who {
		if !t.people.all[key].Coach {
			players[key] = true
		}
	}
	if err := t.inParts(players, false); err != nil {
		return err
	}
	coaches := map[string]bool{}
	for team := range o.teams {
		for _, key := range o.coaches[team] {
			coaches[key] = true
			// All who signed for one team stand together: the first of them answers
			// for games without a signature.
			for _, other := range t.people.all[key].Teams {
				for _, key := range o.coaches[other] {
					coaches[key] = true
				}
			}
		}
	}
	if err := t.inParts(coaches, true); err != nil {
		return err
	}
	clear(o.who)
	clear(o.teams)
	return nil
}

// partMost is how many people are worked out together: a national body's games laid
// out at once would take more room than the season itself.
const partMost = 1000

// inParts works people out, those of one division together where they are many.
func (t *Tally) inParts(who map[string]bool, coaches bool) error {
	if len(who) <= partMost || len(t.people.listed) > 0 { // somebody may be of two divisions
		return t.work(who, coaches)
	}
	parts := map[*division]map[string]bool{}
	for key := range who {
		d := t.teams[t.people.all[key].Teams[0]].division
		if parts[d] == nil {
			parts[d] = map[string]bool{}
		}
		parts[d][key] = true
	}
	for _, d := range t.divisions {
		if err := t.work(parts[d], coaches); err != nil {
			return err
		}
	}
	return nil
}

// work works some people out, all of them players or all of them coaches.
func (t *Tally) work(who map[string]bool, coaches bool) error {
	if len(who) == 0 {
		return nil
	}
	o := &t.owes
	s := suspensions.Season{TookPart: t.tookPart, Played: map[string]map[string]bool{}}
	teams := map[string]bool{}
	for _, key := range slices.Sorted(maps.Keys(who)) {
		p := t.people.all[key]
		s.People = append(s.People, suspensions.Person{ID: key, Coach: p.Coach, Teams: p.Teams})
		for _, id := range p.Teams {
			teams[id] = true
		}
		if !coaches {
			for _, id := range o.in[key] {
				s.Calls = t.callsOf(s.Calls, t.games[id], key, teams)
			}
		}
	}
	s.Games, s.Calls = t.gamesFor(teams, coaches, s.Calls)
	for _, g := range s.Games {
		if used := o.used[g.ID]; coaches && len(used) > 0 {
			s.Played[g.ID] = make(map[string]bool, len(used))
			for _, who := range used {
				s.Played[g.ID][who] = true
			}
		}
	}
	t.decided(&s, who)
	r, err := suspensions.Work(s, *t.book)
	if err != nil {
		return err
	}
	t.take(who, r)
	return nil
}

// callsOf adds a person's calls in a game.
func (t *Tally) callsOf(calls []suspensions.Call, g *game, key string, teams map[string]bool) []suspensions.Call {
	for side := range 2 {
		for _, c := range t.people.callsOf(g.facts, side) {
			if c.Who != "" && t.callKey(g, side, c) == key {
				c.Game, c.Who, c.Team = sideOf(g.ID, side), key, sideTeam(g, side)
				calls = append(calls, c)
				teams[c.Team] = true
			}
		}
	}
	return calls
}

// gamesFor lists the games of some teams, in the order of their ids, and for coaches
// what a team did as a whole.
func (t *Tally) gamesFor(teams map[string]bool, coaches bool, calls []suspensions.Call) ([]suspensions.Game, []suspensions.Call) {
	var games []suspensions.Game
	for _, id := range slices.Sorted(maps.Keys(teams)) {
		in, known := t.teams[id]
		if !known {
			continue
		}
		for _, gameID := range in.games {
			g := t.games[gameID]
			side := 0
			if g.Visitors == id {
				side = 1
			}
			one := t.suspensionGame(g, side)
			if t.earns(g) {
				if name := g.facts.Coach[side]; name != "" {
					one.Coach = t.people.key(id, name, "", true)
				}
				if coaches {
					calls = append(calls, asTeam(t.people.callsOf(g.facts, side), one.ID, id))
				}
			}
			games = append(games, one)
		}
		t.addedLater(games[len(games)-len(in.games):])
	}
	return games, calls
}

// asTeam is what a team did in a game as a whole.
func asTeam(calls iter.Seq2[int, suspensions.Call], game, team string) suspensions.Call {
	sum := suspensions.Call{Game: game, Team: team}
	for _, c := range calls {
		sum.Penalties += c.Penalties + len(c.Parts)
		for _, part := range c.Parts {
			if part == entry.Major {
				sum.Majors++
			}
		}
	}
	return sum
}

// suspensionGame is a team's side of a game as suspensions see it.
func (t *Tally) suspensionGame(g *game, side int) suspensions.Game {
	d := t.inDiv[g.Division]
	one := suspensions.Game{ID: sideOf(g.ID, side), Team: sideTeam(g, side), Kind: d.Kind, Adult: d.Age == "adult", Date: g.when}
	if one.Kind == "" {
		one.Kind = "league"
	}
	if g.first != one.Date {
		one.Date, one.MovedTo = g.first, one.Date
	}
	switch g.state() {
	case schedule.Forfeited:
		one.Status = suspensions.Forfeited
	case schedule.Cancelled:
		one.Status = suspensions.Cancelled
	case schedule.Abandoned:
		one.Status = suspensions.Abandoned
	case schedule.ToBeConfirmed, schedule.Scheduled, schedule.Postponed, schedule.Played:
	}
	return one
}

// addedLater finds for games that came onto the schedule late the team's game before
// that day.
func (t *Tally) addedLater(games []suspensions.Game) {
	for i := range games {
		id, _ := gameOf(games[i].ID)
		added := t.games[id].Added
		if added == nil {
			continue
		}
		last := ""
		for _, other := range games {
			at := other.Date
			if other.MovedTo != "" {
				at = other.MovedTo
			}
			if at < added.String() && at > last {
				last, games[i].After = at, other.ID
			}
		}
	}
}

// tookPart says by the sheets who took part in a game.
func (t *Tally) tookPart(sided, who string) bool {
	id, side := gameOf(sided)
	g := t.games[id]
	if g == nil || g.facts == nil || !g.facts.Over {
		return false
	}
	someone := t.people.all[who]
	if someone.Coach {
		name := g.facts.Coach[side]
		return name != "" && t.people.key(sideTeam(g, side), name, "", true) == who
	}
	for _, one := range g.facts.Sheet[side] {
		if one.Who == someone.Name && t.people.key(sideTeam(g, side), one.Who, one.Number, false) == who {
			return one.Status.Plays()
		}
	}
	if len(t.people.listed) > 0 {
		return false
	}
	return slices.Contains(someone.Teams, sideTeam(g, side)) && t.people.skated(g.facts, side, someone.Name)
}

// decided adds what the league ruled, and what people brought with them.
func (t *Tally) decided(s *suspensions.Season, who map[string]bool) {
	for _, r := range t.decisions.rulings {
		if !who[r.Person] {
			continue
		}
		if r.Game == "" {
			s.Rules = append(s.Rules, suspensions.Ruling{Who: r.Person, Games: r.Games})
			continue
		}
		for side := range 2 {
			s.Rules = append(s.Rules, suspensions.Ruling{Who: r.Person, Game: sideOf(r.Game, side), Games: r.Games})
		}
	}
	for _, r := range t.decisions.onRecord {
		if who[r.Person] {
			s.Priors = append(s.Priors, suspensions.Prior{Who: r.Person, Minutes: r.Minutes, Misconducts: r.Misconducts, Games: r.Games, Why: r.Why})
		}
	}
}

// use notes that somebody took part in a game although suspended, or takes it back.
func (o *owes) use(game, who string, took bool) {
	at, there := slices.BinarySearch(o.used[game], who)
	switch {
	case took && !there:
		o.used[game] = slices.Insert(o.used[game], at, who)
	case !took && there:
		o.used[game] = slices.Delete(o.used[game], at, at+1)
	}
	if len(o.used[game]) == 0 {
		delete(o.used, game)
	}
}

// take keeps what was worked out for some people.
func (t *Tally) take(who map[string]bool, r suspensions.Result) {
	o := &t.owes
	for key := range who {
		if p := o.pieces[key]; p != nil {
			for _, u := range p.used {
				o.use(u.Game, key, false)
				id, side := gameOf(u.Game)
				if g := t.games[id]; g != nil {
					o.teams[sideTeam(g, side)] = true
				}
			}
		}
		delete(o.pieces, key)
	}
	for _, one := range r.Earned {
		if !who[one.Who] {
			continue
		}
		p := o.pieces[one.Who]
		if p == nil {
			p = &piece{misses: r.Misses[one.Who], open: r.Open[one.Who], teams: slices.Clone(t.people.all[one.Who].Teams)}
			o.pieces[one.Who] = p
		}
		p.earned = append(p.earned, one)
		if !slices.Contains(p.teams, one.Team) {
			p.teams = append(p.teams, one.Team)
		}
	}
	for _, u := range r.Used {
		if !who[u.Who] {
			continue
		}
		o.pieces[u.Who].used = append(o.pieces[u.Who].used, u)
		if t.people.all[u.Who].Coach {
			continue // it costs the coach only that a player was used
		}
		o.use(u.Game, u.Who, true)
		id, side := gameOf(u.Game)
		o.teams[sideTeam(t.games[id], side)] = true
	}
}
