package league

import (
	"slices"

	"whistlestop/game/datafile"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/season/standings"
)

// Decisions is what a league decided or wrote down beside the sealed games: a file of
// its own, because it grows all season and the league file does not.
type Decisions struct {
	Results     []Typed    `toml:"result"`
	Forfeits    []Forfeit  `toml:"forfeit"`
	Rulings     []Ruling   `toml:"ruling"`
	Points      []Points   `toml:"points"`
	Lots        []Lots     `toml:"lots"`
	OnRecord    []OnRecord `toml:"on_record"`
	Withdrawals []Overrule `toml:"not_counted"`
}

// Typed is a result that somebody typed from a sheet on paper.
type Typed struct {
	Game     string        `toml:"game"` // id in the schedule
	Home     int           `toml:"home"` // goals, with the one for a shoot-out
	Visitors int           `toml:"visitors"`
	How      standings.How `toml:"how"` // reg, ot, so, void
	Why      string        `toml:"why"`
}

// Forfeit is a game that the league awarded.
type Forfeit struct {
	Game    string `toml:"game"`
	To      string `toml:"to"`      // team id; empty: lost by both, as void
	Figures bool   `toml:"figures"` // those of the players stand
	Why     string `toml:"why"`
}

// Ruling is how many games a suspension has in all.
type Ruling struct {
	Person string `toml:"person"` // as the list of suspensions names them
	Game   string `toml:"game"`   // in which it was earned, by its id in the schedule
	Games  int    `toml:"games"`
	Why    string `toml:"why"`
}

// Points are taken away or given: a line of its own, not a changed game.
type Points struct {
	Team   string     `toml:"team"`
	Points int        `toml:"points"`
	On     *dates.Day `toml:"on"`
	Why    string     `toml:"why"`
}

// Lots is the order in which teams stand that were equal after every step.
type Lots struct {
	Division string   `toml:"division"`
	Teams    []string `toml:"teams"` // best first
	Why      string   `toml:"why"`
}

// OnRecord is what somebody brings into the season.
type OnRecord struct {
	Person      string `toml:"person"`
	Minutes     int    `toml:"minutes"`
	Misconducts int    `toml:"misconducts"`
	Games       int    `toml:"games"` // still to be served
	Why         string `toml:"why"`
}

// Overrule takes a sealed game out of the table.
type Overrule struct {
	Game string `toml:"game"`
	Why  string `toml:"why"`
}

// ReadDecisions reads the decisions of a league. Its errors name the line and the
// reason.
func ReadDecisions(text []byte, name string, l League) (Decisions, error) {
	var d Decisions
	if err := datafile.Decode(text, name, &d); err != nil {
		return Decisions{}, err
	}
	if err := d.validate(l); err != nil {
		return Decisions{}, placed(text, name, err)
	}
	return d, nil
}

// judge checks decisions against the league, each table by itself.
type judge struct {
	league League
	teams  map[string]string // the division of each team
	seen   map[string]bool   // games with a decision
}

func (d Decisions) validate(l League) error {
	j := judge{league: l, teams: map[string]string{}, seen: map[string]bool{}}
	for _, division := range l.Divisions {
		for _, t := range division.Teams {
			j.teams[t.ID] = division.ID
		}
	}
	for i, r := range d.Results {
		if err := j.typed(r); err != nil {
			return nth("[[result]]", i, err)
		}
	}
	for i, f := range d.Forfeits {
		if err := j.forfeit(f); err != nil {
			return nth("[[forfeit]]", i, err)
		}
	}
	for i, o := range d.Withdrawals {
		if err := j.once(o.Game, o.Why); err != nil {
			return nth("[[not_counted]]", i, err)
		}
	}
	for i, lots := range d.Lots {
		if err := j.lots(lots); err != nil {
			return nth("[[lots]]", i, err)
		}
	}
	return d.people(j)
}

// people checks what is about people and teams.
func (d Decisions) people(j judge) error {
	for i, r := range d.Rulings {
		if r.Person == "" || r.Games < 0 || r.Games > 200 || r.Why == "" {
			return nth("[[ruling]]", i, message.New("league_decision.ruling", "person", message.Plain(r.Person)))
		}
	}
	for i, p := range d.Points {
		if j.teams[p.Team] == "" || p.Why == "" {
			return nth("[[points]]", i, message.New("league_decision.points", "team", message.Plain(p.Team)))
		}
	}
	for i, o := range d.OnRecord {
		if o.Person == "" || o.Why == "" || min(o.Minutes, o.Misconducts, o.Games) < 0 {
			return nth("[[on_record]]", i, message.New("league_decision.on_record", "person", message.Plain(o.Person)))
		}
	}
	return nil
}

func (j judge) once(game, why string) error {
	switch {
	case game == "" || why == "":
		return message.New("league_decision.game_why", "game", message.Plain(game))
	case j.seen[game]:
		return message.New("league_decision.twice", "game", message.Plain(game))
	}
	j.seen[game] = true
	return nil
}

func (j judge) typed(r Typed) error {
	if err := j.once(r.Game, r.Why); err != nil {
		return err
	}
	hows := []standings.How{standings.Regulation, standings.Overtime, standings.ShootOut, standings.Void}
	if !slices.Contains(hows, r.How) {
		return message.New("league_decision.how", "game", message.Plain(r.Game), "how", message.Plain(r.How))
	}
	game := standings.Game{ID: r.Game, Home: "home", Away: "visitors", HomeGoals: r.Home, AwayGoals: r.Visitors, How: r.How}
	return game.Validate()
}

func (j judge) forfeit(f Forfeit) error {
	if err := j.once(f.Game, f.Why); err != nil {
		return err
	}
	if f.To != "" && j.teams[f.To] == "" {
		return message.New("league_decision.team", "team", message.Plain(f.To))
	}
	return nil
}

func (j judge) lots(lots Lots) error {
	in := slices.ContainsFunc(j.league.Divisions, func(one Division) bool { return one.ID == lots.Division })
	elsewhere := slices.ContainsFunc(lots.Teams, func(id string) bool { return j.teams[id] != lots.Division })
	if !in || elsewhere || len(lots.Teams) < 2 || lots.Why == "" {
		return message.New("league_decision.lots", "division", message.Plain(lots.Division))
	}
	return nil
}
