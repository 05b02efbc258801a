package league

import (
	"maps"
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/season/standings"
	"whistlestop/season/suspensions"
)

// Ranking is how a table is made: a procedure that is ready, or the league's own.
type Ranking struct {
	Procedure    string               `toml:"procedure"` // a ready-made one by its id
	Own          *standings.Procedure `toml:"own"`       // or one of the league's own
	Points       *standings.Points    `toml:"points"`    // in place of those of the ready-made one
	Cap          *int                 `toml:"goal_difference_at_most"`
	ForfeitGoals int                  `toml:"forfeit_goals"` // to nought, for who is awarded a game
	Counts       string               `toml:"counts"`        // a game is in the table once it is sealed, or ended
	Seeding      []string             `toml:"seeding"`       // team ids, the best first, where a step asks for it
	Last         string               `toml:"last"`          // for those who are equal after every step: lots, or game
	NoDraws      bool                 `toml:"no_draws"`      // a game always has a winner; left out: it may end drawn
}

// When a game is in the table, and what parts those who are equal after every step.
const (
	CountsSealed = "sealed"
	CountsEnded  = "ended"
	LastLots     = "lots"
	LastGame     = "game"
)

// SealedOnly is the league with a game in its tables once it is sealed, and not before.
func (l League) SealedOnly() League {
	sealed := func(r *Ranking) *Ranking {
		if r == nil {
			return nil
		}
		only := *r
		only.Counts = CountsSealed
		return &only
	}
	l.Standings, l.Divisions = sealed(l.Standings), slices.Clone(l.Divisions)
	for i := range l.Divisions {
		l.Divisions[i].Standings = sealed(l.Divisions[i].Standings)
	}
	return l
}

// Rules is the procedure that the ranking comes to.
func (r Ranking) Rules() standings.Procedure {
	p, _ := standings.Procedures()[r.Procedure]
	if r.Own != nil {
		p = *r.Own
	}
	if r.Points != nil {
		p.Points = *r.Points
	}
	if r.Cap != nil {
		p.Cap = *r.Cap
	}
	return p
}

func (r Ranking) validate(teams map[string]bool) error {
	ready := standings.Procedures()
	_, known := ready[r.Procedure]
	switch {
	case (r.Procedure == "") == (r.Own == nil):
		return near("standings]", message.New("league_file.procedure", "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", ")))
	case r.Own == nil && !known:
		return near(`procedure = "`+r.Procedure+`"`, message.New("league_file.no_procedure", "id", message.Plain(r.Procedure), "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", ")))
	case r.Counts != CountsSealed && r.Counts != CountsEnded:
		return near("counts =", message.New("league_file.counts", "value", message.Plain(r.Counts)))
	case r.Last != LastLots && r.Last != LastGame:
		return near("last =", message.New("league_file.last", "value", message.Plain(r.Last)))
	case r.ForfeitGoals < 0 || r.ForfeitGoals > 99:
		return near("forfeit_goals =", message.New("league_file.forfeit", "goals", r.ForfeitGoals))
	}
	for _, id := range r.Seeding {
		if !teams[id] {
			return near("seeding =", message.New("league_file.seeding", "team", message.Plain(id)))
		}
	}
	if err := r.Rules().Validate(); err != nil {
		return near("standings", message.Because(err, "file.in_table", "table", "standings"))
	}
	return nil
}

// Discipline is what calls cost later: a book that is ready, with the league's own
// answers where it has some, or a book of the league's own.
type Discipline struct {
	Book    string               `toml:"book"`
	Serving *suspensions.Serving `toml:"serving"` // every question answered, in place of the book's answers
	Own     *suspensions.Book    `toml:"own"`
	Other   bool                 `toml:"other_leagues_count"` // what is worked out is the least
}

// Rules is the book that it comes to.
func (d Discipline) Rules() suspensions.Book {
	b, _ := suspensions.Books()[d.Book]
	if d.Own != nil {
		b = *d.Own
	}
	if d.Serving != nil {
		b.Serving = *d.Serving
	}
	return b
}

func (d Discipline) validate() error {
	ready := suspensions.Books()
	_, known := ready[d.Book]
	switch {
	case (d.Book == "") == (d.Own == nil):
		return near("[suspensions]", message.New("league_file.book", "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", ")))
	case d.Own == nil && !known:
		return near(`book = "`+d.Book+`"`, message.New("league_file.no_book", "id", message.Plain(d.Book), "known", strings.Join(slices.Sorted(maps.Keys(ready)), ", ")))
	}
	if err := d.Rules().Validate(); err != nil {
		table := "[suspensions.serving]"
		if d.Own != nil && d.Serving == nil {
			table = "[suspensions.own"
		}
		return message.Because(nearSetting(table, err), "file.in_table", "table", "suspensions")
	}
	return nil
}

// Leaders is who is in the lists of the best, and by what they are counted.
type Leaders struct {
	GameMinutes   int    `toml:"game_minutes"`   // of play, for goals against a game; left out: 60
	SkaterGames   int    `toml:"skater_games"`   // at least so many hundredths of the team's games
	KeeperMinutes int    `toml:"keeper_minutes"` // at least so many hundredths of the team's minutes
	Winning       string `toml:"winning_goal"`   // one_more (than all of the loser's; left out), or lead_kept
	PlusMinus     bool   `toml:"plus_minus"`     // parts those whom points, goals and games do not
	Places        int    `toml:"places"`         // how far a list goes; left out: 10
}

func (l Leaders) validate() error {
	hundredths := func(n int) bool { return n >= 0 && n <= 100 }
	if l.GameMinutes < 0 || l.GameMinutes > 120 || l.Places < 0 || l.Places > 100 || !hundredths(l.SkaterGames) || !hundredths(l.KeeperMinutes) ||
		!slices.Contains([]string{"", "one_more", "lead_kept"}, l.Winning) {
		return near("[figures]", message.New("league_file.figures"))
	}
	return nil
}

// HandIn is within how many hours of the final horn a game's package has to be with the
// league. Nought: no deadline.
type HandIn struct {
	Hours         int `toml:"hours"`
	IncidentHours int `toml:"incident_hours"` // where something was noted, or somebody earned a suspension
}

func (h HandIn) validate() error {
	if min(h.Hours, h.IncidentHours) < 0 || max(h.Hours, h.IncidentHours) > 24*60 {
		return near("[hand_in]", message.New("league_file.hand_in"))
	}
	return nil
}

// Person is somebody whom a name alone does not name: of more than one team, or one
// of two with the same name. Whoever is in no list is known by team and name.
type Person struct {
	ID     string   `toml:"id"`
	Name   string   `toml:"name"`
	Number string   `toml:"number"` // only this number; left out: any
	Teams  []string `toml:"teams"`  // the one of first approval first
}

func (l League) people(teams map[string]bool) error {
	seen := map[string]bool{}
	for i, p := range l.People {
		if !idForm.MatchString(p.ID) || seen[p.ID] || strings.TrimSpace(p.Name) == "" || len(p.Teams) == 0 {
			return nth("[[person]]", i, message.New("league_file.person", "person", message.Plain(p.ID)))
		}
		seen[p.ID] = true
		for _, id := range p.Teams {
			if !teams[id] {
				return nth("[[person]]", i, message.New("league_file.person_team", "person", p.ID, "team", message.Plain(id)))
			}
		}
	}
	return nil
}

// RankingOf is how a division is ranked, or nil where the file does not say.
func (l League) RankingOf(d Division) *Ranking {
	if d.Standings != nil {
		return d.Standings
	}
	return l.Standings
}

func (l League) rules(teams map[string]bool) error {
	if l.Standings != nil {
		if err := l.Standings.validate(teams); err != nil {
			return err
		}
	}
	for _, d := range l.Divisions {
		if d.Standings != nil {
			if err := d.Standings.validate(teams); err != nil {
				return message.Because(err, "league_file.division", "division", d.ID)
			}
		}
		if l.Suspensions != nil && d.Age != "youth" && d.Age != "adult" {
			return near(`id = "`+d.ID+`"`, message.New("league_file.age", "division", d.ID, "age", message.Plain(d.Age)))
		}
	}
	if l.Suspensions != nil {
		if err := l.Suspensions.validate(); err != nil {
			return err
		}
	}
	if err := l.Figures.validate(); err != nil {
		return err
	}
	if err := l.HandIn.validate(); err != nil {
		return err
	}
	return l.people(teams)
}
