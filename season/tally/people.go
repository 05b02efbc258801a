package tally

import (
	"cmp"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/season/figures"
	"whistlestop/season/league"
	"whistlestop/season/results"
	"whistlestop/season/standings"
)

// people knows who is who: by the league's list, and otherwise by team and name.
type people struct {
	listed map[[2]string][]league.Person // by team and name
	keys   map[[2]string]string          // of those in no list, each text once
	all    map[string]Someone
	texts  texts          // names and numbers
	parts  [][]entry.Part // of calls
}

// Someone is a person of the season.
type Someone struct {
	Key   string
	Name  string
	Teams []string // the one of first approval first
	Coach bool
}

func (p *people) know(l league.League) {
	p.listed, p.keys, p.all = map[[2]string][]league.Person{}, map[[2]string]string{}, map[string]Someone{}
	for _, one := range l.People {
		p.all[one.ID] = Someone{Key: one.ID, Name: strings.TrimSpace(one.Name), Teams: one.Teams}
		for _, team := range one.Teams {
			at := [2]string{team, strings.TrimSpace(one.Name)}
			p.listed[at] = append(p.listed[at], one)
		}
	}
}

// register knows somebody by a key that a person wrote, also before the first sheet.
func (p *people) register(key string, teams map[string]*team) {
	team, name, _ := strings.Cut(key, "/")
	if _, known := p.all[key]; known || teams[team] == nil {
		return
	}
	name, coach := strings.CutSuffix(name, coachKey)
	p.key(team, name, "", coach)
}

// coachKey is the end of a head coach's key, so that a coach who plays is two.
const coachKey = "/coach"

// key is a person's key, the same text each time.
func (p *people) key(team, name string, number entry.Jersey, coach bool) string {
	at := [2]string{team, name}
	for _, one := range p.listed[at] {
		if one.Number == "" || one.Number == string(number) {
			id := one.ID
			if coach {
				id += coachKey
			}
			if _, known := p.all[id]; !known {
				p.all[id] = Someone{Key: id, Name: name, Teams: one.Teams, Coach: coach}
			}
			return id
		}
	}
	if coach {
		at[1] += coachKey
	}
	key, known := p.keys[at]
	if !known {
		key = team + "/" + at[1]
		p.keys[at] = key
		p.all[key] = Someone{Key: key, Name: name, Teams: []string{team}, Coach: coach}
	}
	return key
}

// once keeps each name of a report once for the season, and lists no longer than
// they are: a national body has millions of lines.
func (p *people) once(f *results.Facts) {
	person := func(who *figures.Person) { *who = figures.Person(p.texts.once(string(*who))) }
	g := &f.Figures
	g.Goals, g.Nets, g.Keepers = clip(g.Goals), clip(g.Nets), clip(g.Keepers)
	for i := range g.Goals {
		goal := &g.Goals[i]
		person(&goal.By)
		for _, list := range []*[]figures.Person{&goal.Assists, &goal.Plus, &goal.Minus} {
			*list = clip(*list)
			for k := range *list {
				person(&(*list)[k])
			}
		}
	}
	for i := range g.Nets {
		person(&g.Nets[i].Who)
	}
	for i := range g.Keepers {
		person(&g.Keepers[i].Who)
	}
	texts := []*string{&f.Division, &f.Date, &g.Date, &g.Stage}
	for _, one := range texts {
		*one = p.texts.once(*one)
	}
	for _, one := range []*standings.Team{&f.Result.Home, &f.Result.Away, &f.Result.First} {
		*one = standings.Team(p.texts.once(string(*one)))
	}
	for side := range g.Teams {
		g.Teams[side] = figures.Team(p.texts.once(string(g.Teams[side])))
	}
	if g.ID == f.Ledger { // one text of the three
		g.ID = f.Ledger
	}
	if f.Result.ID == f.Ledger {
		f.Result.ID = f.Ledger
	}
	for side := range 2 {
		f.Names[side], f.Coach[side] = p.texts.once(f.Names[side]), p.texts.once(f.Coach[side])
		f.Sheet[side] = p.sheet(f, side)
		for i := range f.Sheet[side] {
			one := &f.Sheet[side][i]
			one.Who, one.Number = p.texts.once(one.Who), entry.Jersey(p.texts.once(string(one.Number)))
		}
	}
}

// sheet is a side's list without the skaters who took part: the figures have them, and
// nobody asks for their numbers unless the league lists people by number.
func (p *people) sheet(f *results.Facts, side int) []results.Listed {
	if len(p.listed) > 0 {
		return clip(f.Sheet[side])
	}
	skates := func(who string) bool {
		return slices.ContainsFunc(f.Figures.Skaters, func(one figures.Skater) bool { return int(one.Side) == side && string(one.Who) == who })
	}
	var list []results.Listed
	for _, one := range f.Sheet[side] {
		if !one.Status.Plays() || !skates(one.Who) {
			list = append(list, one)
		}
	}
	return clip(list)
}

// clip is a copy of a list with no room behind it.
func clip[T any](list []T) []T {
	if len(list) == 0 {
		return nil
	}
	return append(make([]T, 0, len(list)), list...)
}

// numbers are the numbers of a side's people by name: a person of the league's list
// may be known by both.
func numbers(g *game, side int) map[string]entry.Jersey {
	of := make(map[string]entry.Jersey, len(g.facts.Sheet[side]))
	for _, one := range g.facts.Sheet[side] {
		of[one.Who] = one.Number
	}
	return of
}

// figuresOf is a game's figures with the league's teams and people.
func (t *Tally) figuresOf(g *game) figures.Game {
	f := g.facts.Figures
	teams := [2]string{g.Home, g.Visitors}
	var of [2]map[string]entry.Jersey
	if len(t.people.listed) > 0 {
		of = [2]map[string]entry.Jersey{numbers(g, 0), numbers(g, 1)}
	}
	who := func(side figures.Side, name figures.Person) figures.Person {
		if name == "" {
			return ""
		}
		return figures.Person(t.people.key(teams[side], string(name), of[side][string(name)], false))
	}
	list := func(side figures.Side, names []figures.Person) []figures.Person {
		if len(names) == 0 {
			return nil
		}
		out := make([]figures.Person, len(names))
		for i, name := range names {
			out[i] = who(side, name)
		}
		return out
	}
	f.ID, f.Stage, f.Teams = g.ID, g.Division, [2]figures.Team{figures.Team(g.Home), figures.Team(g.Visitors)}
	if g.Place != nil {
		f.Date = g.Place.Day.String()
	}
	f.Goals = slices.Clone(f.Goals)
	for i := range f.Goals {
		goal := &f.Goals[i]
		goal.By, goal.Assists = who(goal.Side, goal.By), list(goal.Side, goal.Assists)
		goal.Plus, goal.Minus = list(goal.Side, goal.Plus), list(1-goal.Side, goal.Minus)
	}
	f.Nets, f.Keepers, f.Skaters = slices.Clone(f.Nets), slices.Clone(f.Keepers), t.people.skatersOf(g.facts)
	for i := range f.Nets {
		f.Nets[i].Who = who(f.Nets[i].Side, f.Nets[i].Who)
	}
	for i := range f.Keepers {
		f.Keepers[i].Who = who(f.Keepers[i].Side, f.Keepers[i].Who)
	}
	for i := range f.Skaters {
		f.Skaters[i].Who = who(f.Skaters[i].Side, f.Skaters[i].Who)
	}
	return f
}

// nameOf is how people call somebody.
func (t *Tally) nameOf(key string) string { return cmp.Or(t.people.all[key].Name, key) }
