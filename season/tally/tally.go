package tally

import (
	"cmp"
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/season/figures"
	"whistlestop/season/league"
	"whistlestop/season/results"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
)

// Tally is a season that goes on.
type Tally struct {
	league    league.League
	given     league.Decisions
	decisions decisions
	divisions []*division
	inDiv     map[string]*division // by its id
	teams     map[string]*team
	games     map[string]*game
	order     []string // of the schedule
	reports   map[string]*kept
	belongs   map[string]string   // game of the schedule, by ledger
	of        map[string][]string // ledgers of a game, in the order of their ids
	figures   *figures.Season
	people    people
	book      *suspensions.Book
	owes      owes
}

// division is a division with its running table.
type division struct {
	league.Division
	ranking *league.Ranking
	running *standings.Running
	minutes map[standings.Team]int // shared with the running table: penalty minutes
	games   []string
}

type team struct {
	league.Team
	division *division
	games    []string // in the order of their ids
	minutes  int
	unknown  int // counted games without a sheet: their minutes are not known
}

// game is a game of the schedule with what is known of it.
type game struct {
	schedule.Game
	result  *Result
	facts   *kept
	minutes [2]int
	sheet   bool
	figures bool // counted in the figures
	when    string
	first   string // when it was to be at first
}

// New is a season without a report. It fails where the decisions and the schedule
// do not belong to the league.
func New(l league.League, games []schedule.Game, d league.Decisions) (*Tally, error) {
	t := &Tally{
		league: l, given: d, decisions: byGame(d), inDiv: map[string]*division{}, teams: map[string]*team{}, games: map[string]*game{},
		reports: map[string]*kept{}, belongs: map[string]string{}, of: map[string][]string{}, figures: figures.New(),
	}
	t.figures.LeadKept = l.Figures.Winning == "lead_kept"
	t.people.know(l)
	for _, one := range l.Divisions {
		d := &division{Division: one, ranking: l.RankingOf(one), minutes: map[standings.Team]int{}}
		t.divisions = append(t.divisions, d)
		t.inDiv[one.ID] = d
		for _, in := range one.Teams {
			t.teams[in.ID] = &team{Team: in, division: d}
		}
		if d.ranking == nil {
			continue
		}
		var err error
		if d.running, err = t.table(d); err != nil {
			return nil, err
		}
	}
	if l.Suspensions != nil {
		book := l.Suspensions.Rules()
		t.book = &book
	}
	t.owes.reset()
	for _, r := range d.OnRecord {
		t.people.register(r.Person, t.teams)
	}
	for _, g := range games {
		if err := t.Change(g); err != nil {
			return nil, err
		}
	}
	return t, nil
}

// table is a division's table without a game.
func (t *Tally) table(d *division) (*standings.Running, error) {
	var teams []standings.Team
	for _, in := range d.Teams {
		teams = append(teams, standings.Team(in.ID))
	}
	return standings.NewRunning(teams, d.ranking.Rules(), t.givenOf(d))
}

// givenOf is what a division's ranking needs beside the games.
func (t *Tally) givenOf(d *division) standings.Given {
	given := standings.Given{Carried: map[standings.Team]standings.Row{}, Minutes: d.minutes}
	for _, in := range d.Teams {
		id := standings.Team(in.ID)
		d.minutes[id] = 0
		if points := t.decisions.points[in.ID]; len(points) > 0 {
			var row standings.Row
			for _, p := range points {
				row.Points += p.Points
			}
			given.Carried[id] = row
		}
	}
	for _, id := range d.ranking.Seeding {
		given.Seeding = append(given.Seeding, standings.Team(id))
	}
	return given
}

// Change puts a game on the schedule, or in place of how it stood there.
func (t *Tally) Change(g schedule.Game) error {
	d := t.inDiv[g.Division]
	home, visitors := t.teams[g.Home], t.teams[g.Visitors]
	if d == nil || home == nil || visitors == nil || home.division != d || visitors.division != d || home == visitors {
		return message.New("tally.game", "game", message.Plain(g.ID))
	}
	before, known := t.games[g.ID]
	if known && (before.Home != g.Home || before.Visitors != g.Visitors) {
		t.Drop(g.ID)
		known = false
	}
	if !known {
		before = &game{}
		t.games[g.ID] = before
		t.order = append(t.order, g.ID)
		d.games = append(d.games, g.ID)
		for _, in := range []*team{home, visitors} {
			at, _ := slices.BinarySearch(in.games, g.ID)
			in.games = slices.Insert(in.games, at, g.ID)
		}
	}
	before.Game, before.when, before.first = g, whenOf(g), firstOf(g)
	t.owes.moved(g.Home, g.Visitors)
	if !known {
		t.adopt() // reports that named no game so far
	}
	return t.settle(g.ID)
}

// Drop takes a game off the schedule. Its reports belong to no game then.
func (t *Tally) Drop(id string) {
	g, known := t.games[id]
	if !known {
		return
	}
	t.uncount(g)
	gone := func(other string) bool { return other == id }
	t.order = slices.DeleteFunc(t.order, gone)
	d := t.inDiv[g.Division]
	d.games = slices.DeleteFunc(d.games, gone)
	for _, in := range []string{g.Home, g.Visitors} {
		t.teams[in].games = slices.DeleteFunc(t.teams[in].games, gone)
	}
	for _, ledger := range t.of[id] {
		delete(t.belongs, ledger)
	}
	delete(t.of, id)
	delete(t.games, id)
	t.owes.moved(g.Home, g.Visitors)
}

// Put counts a report, in place of what was known of its ledger.
func (t *Tally) Put(f results.Facts) {
	t.Remove(f.Ledger)
	t.people.once(&f)
	k := t.people.pack(f)
	t.reports[f.Ledger] = k
	t.attach(k)
}

// Remove takes a ledger's report out, if it was there.
func (t *Tally) Remove(ledger string) {
	if _, known := t.reports[ledger]; !known {
		return
	}
	delete(t.reports, ledger)
	id, belonged := t.belongs[ledger]
	if !belonged {
		return
	}
	delete(t.belongs, ledger)
	t.of[id] = slices.DeleteFunc(t.of[id], func(other string) bool { return other == ledger })
	_ = t.settle(id) // what stood before could be counted
	t.adopt()
}

// attach finds the game of the schedule that a report is of.
func (t *Tally) attach(f *kept) {
	id, found := t.match(f)
	if !found {
		return
	}
	t.belongs[f.Ledger] = id
	at, _ := slices.BinarySearch(t.of[id], f.Ledger)
	t.of[id] = slices.Insert(t.of[id], at, f.Ledger)
	_ = t.settle(id) // a report's result can always be counted: the fold made it
}

// adopt looks again for the games of reports that have none.
func (t *Tally) adopt() {
	if len(t.belongs) == len(t.reports) {
		return
	}
	var lost []string
	for ledger := range t.reports {
		if _, has := t.belongs[ledger]; !has {
			lost = append(lost, ledger)
		}
	}
	slices.Sort(lost)
	for _, ledger := range lost {
		t.attach(t.reports[ledger])
	}
}

// match is the game of the schedule by its id, and otherwise the only one of these
// teams on that day.
func (t *Tally) match(f *kept) (string, bool) {
	if g, known := t.games[f.Schedule]; known && f.Schedule != "" {
		return g.ID, true
	}
	for _, id := range []string{f.Number, strings.ToLower(f.Number)} {
		if g, known := t.games[id]; known && t.named(g, f) {
			return g.ID, true
		}
	}
	var found []string
	for _, d := range t.divisions {
		if f.Division != d.Plays && f.Division != d.Name && f.Division != d.ID {
			continue
		}
		for _, in := range d.Teams {
			if strings.TrimSpace(in.Name) != f.Names[0] {
				continue
			}
			for _, id := range t.teams[in.ID].games {
				g := t.games[id]
				if g.Home == in.ID && g.Place != nil && g.Place.Day.String() == f.Date && t.named(g, f) {
					found = append(found, id)
				}
			}
		}
	}
	if len(found) == 1 {
		return found[0], true
	}
	return "", false
}

// named says whether a report's teams are those of a game.
func (t *Tally) named(g *game, f *kept) bool {
	return strings.TrimSpace(t.teams[g.Home].Name) == f.Names[0] && strings.TrimSpace(t.teams[g.Visitors].Name) == f.Names[1]
}

// settle works out what became of a game, and counts it anew.
func (t *Tally) settle(id string) error {
	g := t.games[id]
	t.uncount(g)
	d := t.inDiv[g.Division]
	g.facts = t.best(id)
	g.result, g.sheet, g.figures = t.resultOf(g, d)
	t.owes.sheets(t, g, true)
	if g.result != nil && g.result.Counts && d.running != nil {
		counted := standings.Game{
			ID: g.ID, Home: standings.Team(g.Home), Away: standings.Team(g.Visitors), When: g.when + " " + g.ID,
			HomeGoals: g.result.Goals[0], AwayGoals: g.result.Goals[1], How: g.result.How,
		}
		if g.sheet {
			switch g.facts.Result.First {
			case g.facts.Result.Home:
				counted.First = counted.Home
			case g.facts.Result.Away:
				counted.First = counted.Away
			}
		}
		if err := d.running.Put(counted); err != nil {
			g.result.Counts = false
			return err
		}
		t.minutes(g, 1)
	}
	if g.figures {
		t.figures.Count(t.figuresOf(g))
	}
	return nil
}

// uncount takes a game out of everything that it is counted in.
func (t *Tally) uncount(g *game) {
	t.owes.sheets(t, g, false)
	if g.result != nil && g.result.Counts && t.inDiv[g.Division].running != nil {
		t.inDiv[g.Division].running.Remove(g.ID)
		t.minutes(g, -1)
	}
	if g.figures {
		t.figures.Uncount(t.figuresOf(g))
	}
	g.result, g.figures = nil, false
}

// minutes adds a game's penalty minutes to its teams, or takes them away. Where one
// counted game has no sheet, nobody knows a team's minutes.
func (t *Tally) minutes(g *game, by int) {
	if by > 0 {
		g.minutes = [2]int{}
		if g.sheet {
			g.minutes = g.facts.Minutes
		}
	}
	for side, id := range []string{g.Home, g.Visitors} {
		in := t.teams[id]
		in.minutes += by * g.minutes[side]
		if !g.sheet {
			in.unknown += by
		}
		if in.unknown == 0 {
			in.division.minutes[standings.Team(id)] = in.minutes
		} else {
			delete(in.division.minutes, standings.Team(id))
		}
	}
}

// best is the report that counts of a game: one that is sealed, and of two the one
// that was begun last.
func (t *Tally) best(id string) *kept {
	var best *kept
	for _, ledger := range t.of[id] {
		f := t.reports[ledger]
		if best == nil || cmp.Or(cmp.Compare(weight(f), weight(best)), cmp.Compare(f.Started, best.Started)) > 0 {
			best = f
		}
	}
	return best
}

func weight(f *kept) int {
	switch {
	case f.Sealed:
		return 3
	case f.Seals > 0:
		return 2
	case f.Over:
		return 1
	}
	return 0
}

// whenOf is when a game is, as a text that sorts; games without a time come last.
func whenOf(g schedule.Game) string {
	if g.Place == nil {
		return "9999"
	}
	return g.Place.Day.String() + " " + g.Place.Start.String()
}

// firstOf is when a game was to be at first, before it was moved.
func firstOf(g schedule.Game) string {
	for _, was := range g.Was {
		if was.Place != nil {
			return whenOf(schedule.Game{Place: was.Place})
		}
	}
	return whenOf(g)
}
