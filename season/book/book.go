package book

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/message"
	"whistlestop/record/tables"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
	"whistlestop/season/tally"
)

// Names says whose names stand in a book.
type Names string

// Whose names stand in a book; everybody else has a number.
const (
	NoNames    Names = "no"
	AdultNames Names = "adults" // in divisions of adults
	AllNames   Names = "yes"
)

// The tables of a book by their names.
const (
	Standings   = "standings"
	Ties        = "ties"
	Results     = "results"
	ToCome      = "to_come"
	Schedule    = "schedule"
	LeaderLists = "leaders"
	Skaters     = "skaters"
	Keepers     = "goalkeepers"
	Suspensions = "suspensions"
)

// Kinds are the names of all tables.
var Kinds = []string{Standings, Ties, Results, ToCome, Schedule, LeaderLists, Skaters, Keepers, Suspensions}

// Options say what stands in a book.
type Options struct {
	Names    Names
	Division string // only this one, by its id; empty: all
	What     string // only tables of this name; empty: the book, which has games to come in place of the schedule
}

// maker makes a book.
type maker struct {
	league league.League
	season tally.Season
	people People
	names  bool // of the division under way
	teams  map[string]string
	rinks  map[string]string
}

// Of is the book of a season. The same season gives the same document.
func Of(l league.League, s tally.Season, people People, o Options) tables.Document {
	m := &maker{league: l, season: s, people: people, teams: map[string]string{}, rinks: map[string]string{}}
	for _, r := range l.Rinks {
		m.rinks[r.ID] = r.Name
	}
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			m.teams[t.ID] = t.Name
		}
	}
	out := tables.Document{Title: tables.S("season_book.title", "league", l.Name, "season", l.Season)}
	if o.Names != AllNames {
		out.About = append(out.About, tables.S("season_book.numbers"))
	}
	if s.AtLeast {
		out.About = append(out.About, tables.S("command.suspended.least"))
	}
	for _, d := range s.Divisions {
		if o.Division != "" && o.Division != d.ID {
			continue
		}
		of := l.Divisions[slices.IndexFunc(l.Divisions, func(one league.Division) bool { return one.ID == d.ID })]
		m.names = o.Names == AllNames || o.Names == AdultNames && of.Age == "adult"
		all := []tables.Table{
			m.standings(d), ties(d), m.results(d.ID), m.toCome(d.ID), m.leaders(d.ID), m.skaters(d.ID), m.keepers(d.ID), m.suspensions(d.ID), m.schedule(d.ID),
		}
		part := tables.Part{ID: d.ID, Title: d.Name}
		for _, t := range all {
			if o.What == t.Name || o.What == "" && t.Name != Schedule {
				part.Tables = append(part.Tables, t)
			}
		}
		out.Parts = append(out.Parts, part)
	}
	return out
}

// who is what somebody is called in the division under way.
func (m *maker) who(team, name string) string {
	if m.names {
		return name
	}
	return m.people.Number(team, name)
}

func (m *maker) team(id string) string { return cmp.Or(m.teams[id], id) }

func table(name string, columns ...tables.Column) tables.Table {
	return tables.Table{
		Name: name, Title: message.Say{Key: "season_book." + name}, None: message.Say{Key: "season_book.none"},
		Columns: columns, Rows: [][]tables.Cell{},
	}
}

func wide(name, title string) tables.Column {
	return tables.Column{Name: name, Title: title, Wide: true}
}
func text(name, title string) tables.Column { return tables.Column{Name: name, Title: title} }

// kept are the numbers that stand on paper also where all of them are nought: half a
// score is none.
var kept = []string{"place", "played", "wins", "losses", "points", "goals", "assists", "home_goals", "visitors_goals", "goals_for", "goals_against", "value"}

func number(name, title string) tables.Column {
	return tables.Column{Name: name, Title: title, Right: true, Kept: slices.Contains(kept, name)}
}

// standings is a division's table, with a sentence for each tie and for what is open.
func (m *maker) standings(d tally.Division) tables.Table {
	t := table(Standings,
		number("place", "command.standings.place"), wide("team", "command.standings.team"), number("played", "command.standings.played"),
		number("wins", "command.standings.wins"), number("overtime_wins", "season_book.overtime_wins"), number("shoot_out_wins", "season_book.shoot_out_wins"),
		number("draws", "command.standings.draws"), number("losses", "command.standings.losses"),
		number("overtime_losses", "season_book.overtime_losses"), number("shoot_out_losses", "season_book.shoot_out_losses"),
		number("goals_for", "season_book.goals_for"), number("goals_against", "season_book.goals_against"),
		number("difference", "season_book.difference"), number("penalty_minutes", "command.figures.minutes"), number("points", "command.standings.points"))
	if !d.Ranked {
		t.None = message.Say{Key: "command.season.not_ranked"}
	}
	for _, l := range d.Places {
		place := tables.N(l.Place)
		points := tables.N(l.Points)
		points.Bold = true
		t.Rows = append(t.Rows, []tables.Cell{
			place, tables.T(l.Name), tables.N(l.Played), tables.N(l.Won), tables.N(l.WonIn[1]), tables.N(l.WonIn[2]), tables.N(l.Drawn),
			tables.N(l.Lost), tables.N(l.LostIn[1]), tables.N(l.LostIn[2]), tables.N(l.For), tables.N(l.Against),
			{Kind: tables.Signed, Number: l.For - l.Against}, tables.N(l.Minutes), points,
		})
	}
	for _, one := range ties(d).Rows {
		t.Notes = append(t.Notes, one[0].Say)
	}
	return t
}

// ties are the sentences under a table as rows, for spreadsheets.
func ties(d tally.Division) tables.Table {
	t := table(Ties, wide("reason", "season_book.reason"))
	t.InNotes = true
	say := func(one message.Say) {
		t.Rows = append(t.Rows, []tables.Cell{{Kind: tables.Sentence, Say: one}})
	}
	for _, l := range d.Places {
		if l.Taken != 0 {
			sign := strconv.Itoa(l.Taken)
			if l.Taken > 0 {
				sign = "+" + sign
			}
			say(message.Say{Key: "command.season.taken", Args: message.Pairs("team", l.Name, "points", sign, "why", strings.Join(l.TakenWhys, "; "))})
		}
	}
	for _, reason := range d.Reasons {
		say(reason)
	}
	for _, group := range d.Equal {
		say(group.Say)
	}
	for _, open := range d.Open {
		say(open)
	}
	return t
}

// byTime are the games of a division that are wanted, by time.
func (m *maker) byTime(division string, want func(tally.Game) bool) (games []tally.Game) {
	for _, g := range m.season.Games {
		if g.Division == division && want(g) {
			games = append(games, g)
		}
	}
	slices.SortStableFunc(games, func(a, b tally.Game) int { return cmp.Compare(begin(a.Game), begin(b.Game)) })
	return games
}

// results are the games with a result.
func (m *maker) results(division string) tables.Table {
	t := table(Results,
		text("day", "command.export.day"), text("game", "command.export.game"), wide("home", "command.export.home"), text("visitors", "command.export.visitors"),
		number("home_goals", "season_book.home_goals"), number("visitors_goals", "season_book.visitors_goals"), text("how", "season_book.how"))
	for _, g := range m.byTime(division, func(g tally.Game) bool { return g.Result != nil }) {
		day := ""
		if at := g.LastPlace(); at != nil {
			day = at.Day.String()
		}
		how := tables.T("")
		switch {
		case !g.Result.Counts:
			how = tables.S("season_book.not_counted")
		case g.Result.How != standings.Regulation:
			how = tables.S("season_book.how." + string(g.Result.How))
		}
		t.Rows = append(t.Rows, []tables.Cell{
			tables.T(day), tables.T(g.ID), tables.T(m.team(g.Home)), tables.T(m.team(g.Visitors)), tables.N(g.Result.Goals[0]), tables.N(g.Result.Goals[1]), how,
		})
	}
	return t
}

// schedule is the schedule of a division, with where and when its games are.
func (m *maker) schedule(division string) tables.Table {
	var games []schedule.Game
	for _, g := range m.byTime(division, func(tally.Game) bool { return true }) {
		games = append(games, g.Game)
	}
	return Games(m.league, games)
}

// toCome are the games without a result.
func (m *maker) toCome(division string) tables.Table {
	t := table(ToCome,
		text("day", "command.export.day"), text("start", "command.export.start"), text("game", "command.export.game"), wide("home", "command.export.home"),
		text("visitors", "command.export.visitors"), text("rink", "command.export.rink"), text("state", "command.export.state"))
	for _, g := range m.byTime(division, func(g tally.Game) bool { return g.Result == nil }) {
		row := []tables.Cell{{}, {}, tables.T(g.ID), tables.T(m.team(g.Home)), tables.T(m.team(g.Visitors)), {}, tables.S("schedule.state." + string(g.State))}
		if at := g.Place; at != nil {
			row[0], row[1], row[5] = tables.T(at.Day.String()), tables.T(at.Start.String()), tables.T(cmp.Or(m.rinks[at.Rink], at.Rink))
		}
		if g.State == schedule.Scheduled {
			row[6] = tables.T("")
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// Games is games of a schedule as a table, in the order in which they stand.
func Games(l league.League, games []schedule.Game) tables.Table {
	t := table(Schedule)
	for _, name := range []string{"game", "division", "round", "home", "visitors", "day", "start", "minutes", "rink", "sheet", "state", "changes"} {
		c := tables.Column{Name: name, Title: "command.export." + name, Wide: name == "home"}
		c.Right = slices.Contains([]string{"round", "minutes", "sheet", "changes"}, name)
		t.Columns = append(t.Columns, c)
	}
	names := map[string]string{}
	for _, r := range l.Rinks {
		names["rink/"+r.ID] = r.Name
	}
	for _, d := range l.Divisions {
		for _, in := range d.Teams {
			names["team/"+in.ID] = in.Name
		}
	}
	for _, g := range games {
		row := []tables.Cell{
			tables.T(g.ID), tables.T(g.Division), tables.N(g.Round), tables.T(cmp.Or(names["team/"+g.Home], g.Home)), tables.T(cmp.Or(names["team/"+g.Visitors], g.Visitors)),
			{}, {}, {}, {}, {}, tables.S("schedule.state." + string(g.State)), tables.N(g.Sequence()),
		}
		if at := g.Place; at != nil {
			copy(row[5:], []tables.Cell{
				tables.T(at.Day.String()), tables.T(at.Start.String()), tables.N(at.Minutes), tables.T(cmp.Or(names["rink/"+at.Rink], at.Rink)), tables.N(at.Sheet),
			})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
