package season

import (
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/season/book"
	"whistlestop/season/tally"
)

// standingsJSON is the tables of the divisions.
type standingsJSON struct {
	Divisions []tableJSON `json:"divisions"`
	At        string      `json:"at,omitempty"` // at the end of this day; empty: now
}

// tableJSON is a division's table.
type tableJSON struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	Ranked  bool          `json:"ranked"`            // the league file says how
	Through int           `json:"through,omitempty"` // how many go on
	Played  int           `json:"played"`
	ToCome  int           `json:"to_come"`
	Places  []tally.Place `json:"places"`
	Reasons []string      `json:"reasons"` // a sentence for each two neighbours who were equal
	Equal   []string      `json:"equal"`   // what the league has to do about those whom no step could part
	Open    []string      `json:"open"`    // games that count for nothing until somebody does something
}

// tableOf is a table with its sentences in words.
func tableOf(c *api.Call, d tally.Division) tableJSON {
	out := tableJSON{
		ID: d.ID, Name: d.Name, Ranked: d.Ranked, Through: d.Through, Played: d.Played, ToCome: d.ToCome, Places: d.Places,
		Reasons: []string{}, Equal: []string{}, Open: []string{},
	}
	for _, reason := range d.Reasons {
		out.Reasons = append(out.Reasons, c.Words.Text(reason.Key, reason.Args))
	}
	for _, one := range d.Equal {
		out.Equal = append(out.Equal, c.Words.Text(one.Say.Key, one.Say.Args))
	}
	for _, one := range d.Open {
		out.Open = append(out.Open, c.Words.Text(one.Key, one.Args))
	}
	return out
}

// suspendedJSON is somebody's suspension and how it stands. Guests learn the number
// and the games only.
type suspendedJSON struct {
	Who     string            `json:"who,omitempty"` // the person's key; for the bench
	Name    string            `json:"name"`          // a number for guests
	Team    string            `json:"team"`          // by its id
	Coach   bool              `json:"coach,omitempty"`
	Game    string            `json:"game,omitempty"` // in which it was earned
	Why     string            `json:"why,omitempty"`  // the rule; for the bench
	Games   int               `json:"games"`
	Ruling  bool              `json:"ruling,omitempty"` // open until the league rules
	Ledger  string            `json:"ledger,omitempty"` // of that game; for the bench
	Entries []behindEntryJSON `json:"entries"`          // the calls that earned it; for the bench
	Served  []tally.Served    `json:"served"`
	Next    []string          `json:"next"` // games to come that it takes
	Owed    int               `json:"owed"` // games for which the schedule has none
}

// suspensionsJSON is who is suspended, and what does not fit together.
type suspensionsJSON struct {
	Suspended []suspendedJSON `json:"suspended"`
	AtLeast   bool            `json:"at_least"` // other leagues count too
	Findings  []foundJSON     `json:"findings"` // for the bench
}

// foundJSON is something of the season that does not fit together.
type foundJSON struct {
	Game   string `json:"game,omitempty"`
	Ledger string `json:"ledger,omitempty"`
	Text   string `json:"text"`
}

// figuresJSON is what the players and goalkeepers did.
type figuresJSON struct {
	Skaters []skaterJSON  `json:"skaters"` // more points first
	Keepers []keeperJSON  `json:"keepers"` // more time in the net first
	Leaders []leadersJSON `json:"leaders"` // of whole divisions, also where one team is asked for
	Minutes int           `json:"minutes"` // of play in a game, for goals against a game
}

// skaterJSON is a skater's season.
type skaterJSON struct {
	Who         string `json:"who,omitempty"` // the person's key; for the bench
	Name        string `json:"name"`          // a number for guests
	Team        string `json:"team"`
	Division    string `json:"division"`
	Played      int    `json:"played"`
	Goals       int    `json:"goals"`
	Assists     int    `json:"assists"`
	Points      int    `json:"points"`
	Minutes     int    `json:"minutes"`
	PlusMinus   int    `json:"plus_minus"`
	PowerPlay   int    `json:"power_play"`
	ShortHanded int    `json:"short_handed"`
	Winning     int    `json:"winning"`
}

// keeperJSON is a goalkeeper's season. Shares and averages are thousandths.
type keeperJSON struct {
	Who      string `json:"who,omitempty"`
	Name     string `json:"name"`
	Team     string `json:"team"`
	Division string `json:"division"`
	Played   int    `json:"played"`
	Wins     int    `json:"wins"`
	Losses   int    `json:"losses"`
	Late     int    `json:"late_losses"`
	Draws    int    `json:"draws"`
	Shutouts int    `json:"shutouts"`
	Seconds  int    `json:"seconds"`
	Shots    int    `json:"shots"`
	Against  int    `json:"against"`
	Saved    *int   `json:"saved,omitempty"`   // of the shots
	Average  *int   `json:"average,omitempty"` // goals against in a game
}

// amendedJSON is a game that was changed after it was sealed, and what that changed
// for people.
type amendedJSON struct {
	Game    string   `json:"game"` // of the schedule
	Ledger  string   `json:"ledger"`
	Sealed  bool     `json:"sealed"` // it is sealed again
	Changes []string `json:"changes"`
}

// amendmentsJSON is all of them.
type amendmentsJSON struct {
	Games []amendedJSON `json:"games"`
}

// standings are the tables now, or as they stood at the end of a day.
func (s *Service) standings(c *api.Call) (standingsJSON, error) {
	out := standingsJSON{Divisions: []tableJSON{}, At: c.Query("at")}
	err := s.counted(c, func(b booked) error {
		_, value, err := b.at(out.At)
		if err != nil {
			return err
		}
		for _, d := range value.Divisions {
			if want := c.Query("division"); want == "" || d.ID == want {
				out.Divisions = append(out.Divisions, tableOf(c, d))
			}
		}
		return nil
	})
	return out, err
}

// at is the season now, or as it stood at the end of a day.
func (b booked) at(text string) (*tally.Tally, tally.Season, error) {
	if text == "" {
		return b.tally, b.Season, nil
	}
	day, err := dates.Parse(text)
	if err != nil {
		return nil, tally.Season{}, refuse(err).About("at")
	}
	then, err := b.tally.Until(day)
	if err != nil {
		return nil, tally.Season{}, refuse(err)
	}
	value, err := then.Season()
	if err != nil {
		return nil, tally.Season{}, refuse(err)
	}
	return then, value, nil
}

// names give people as whoever asks may see them: guests get the number, and nothing
// of whoever does not want to be named.
type names struct {
	here   bool
	people book.People
}

func (b booked) names(c *api.Call) names {
	n := names{here: c.Here}
	if !n.here {
		n.people = b.people()
	}
	return n
}

// of is what somebody of a team is called.
func (n names) of(team, name string) string {
	if n.here {
		return name
	}
	return n.people.Number(team, name)
}

// key is who somebody is, for the bench alone: it has the name in it.
func (n names) key(key string) string {
	if n.here {
		return key
	}
	return ""
}

// suspensions are who is suspended.
func (s *Service) suspensions(c *api.Call) (suspensionsJSON, error) {
	out := suspensionsJSON{Suspended: []suspendedJSON{}, Findings: []foundJSON{}}
	err := s.counted(c, func(b booked) error {
		n := b.names(c)
		ledgers := map[string]string{}
		for _, g := range b.Games {
			if g.Result != nil {
				ledgers[g.ID] = g.Result.Ledger
			}
		}
		out.AtLeast = b.AtLeast
		for _, one := range b.Suspensions {
			if team := c.Query("team"); team != "" && one.Team != team {
				continue
			}
			line := suspendedJSON{
				Who: n.key(one.Who), Name: n.of(one.Team, one.Name), Team: one.Team, Coach: one.Coach, Games: one.Games, Ruling: one.Ruling,
				Served: one.Served, Next: one.Next, Owed: one.Owed, Entries: []behindEntryJSON{},
			}
			if n.here {
				line.Game, line.Why, line.Ledger = one.Game, one.Why, ledgers[one.Game]
				for _, id := range one.Entries {
					line.Entries = append(line.Entries, b.moment(c, line.Ledger, id))
				}
			} else if one.Coach {
				continue // a grown-up has no number, and nothing else is shown of guests' people
			}
			out.Suspended = append(out.Suspended, line)
		}
		if n.here {
			for _, f := range b.Findings {
				out.Findings = append(out.Findings, foundJSON{Game: f.Game, Ledger: f.Ledger, Text: c.Words.Text(f.Say.Key, f.Say.Args)})
			}
		}
		return nil
	})
	return out, err
}

// figures are what players and goalkeepers did.
func (s *Service) figures(c *api.Call) (figuresJSON, error) {
	out := figuresJSON{Skaters: []skaterJSON{}, Keepers: []keeperJSON{}, Leaders: []leadersJSON{}}
	err := s.counted(c, func(b booked) error {
		n := b.names(c)
		out.Leaders, out.Minutes = b.leaders(c, n), b.GameMinutes
		wanted := func(division, team string) bool {
			return (c.Query("division") == "" || division == c.Query("division")) && (c.Query("team") == "" || team == c.Query("team"))
		}
		for _, l := range b.Skaters {
			if team := string(l.Team); wanted(l.Stage, team) {
				out.Skaters = append(out.Skaters, skaterJSON{
					Who: n.key(string(l.Who)), Name: n.of(team, l.Name), Team: team, Division: l.Stage, Played: l.Played, Goals: l.Goals,
					Assists: l.Assists, Points: l.Points(), Minutes: l.Minutes, PlusMinus: l.PlusMinus(), PowerPlay: l.PowerPlay,
					ShortHanded: l.ShortHanded, Winning: l.Winning,
				})
			}
		}
		for _, l := range b.Keepers {
			team := string(l.Team)
			if !wanted(l.Stage, team) {
				continue
			}
			line := keeperJSON{
				Who: n.key(string(l.Who)), Name: n.of(team, l.Name), Team: team, Division: l.Stage, Played: l.Played, Wins: l.Wins, Losses: l.Losses,
				Late: l.LateLosses, Draws: l.Draws, Shutouts: l.Shutouts, Seconds: l.Seconds, Shots: l.Shots, Against: l.Against,
			}
			if share, has := l.SaveShare(); has {
				line.Saved = &share
			}
			if average, has := l.Average(b.GameMinutes); has {
				line.Average = &average
			}
			out.Keepers = append(out.Keepers, line)
		}
		return nil
	})
	return out, err
}

// amendments are games that were changed after their seal, each with what is different
// for people: the season with the game as it was sealed first against the season as it
// is.
func (s *Service) amendments(c *api.Call) (amendmentsJSON, error) {
	out := amendmentsJSON{Games: []amendedJSON{}}
	err := s.counted(c, func(b booked) error {
		for _, g := range b.Games {
			if g.Result == nil {
				continue
			}
			one, known := b.known[g.Result.Ledger]
			if !known || one.sealed == nil {
				continue
			}
			b.tally.Put(*one.sealed)
			before, err := b.tally.Season()
			b.tally.Put(one.facts)
			if err != nil {
				return refuse(err)
			}
			line := amendedJSON{Game: g.ID, Ledger: g.Result.Ledger, Sealed: one.facts.Sealed, Changes: []string{}}
			for _, change := range tally.Changes(before, b.Season) {
				line.Changes = append(line.Changes, c.Words.Text(change.Say.Key, change.Say.Args))
			}
			out.Games = append(out.Games, line)
		}
		return nil
	})
	return out, err
}

// decisions are what the league decided beside the sealed games, as the file is kept.
func (s *Service) decisions(c *api.Call) (leagueFileJSON, error) {
	f, err := s.ready()
	if err != nil {
		return leagueFileJSON{}, err
	}
	out := leagueFileJSON{Text: string(f.decisionsText), Mark: mark(f.decisionsText), Kept: true, Findings: []fileFindingJSON{}}
	if f.decisionsBad != nil {
		out.Findings = append(out.Findings, finding(c, f.decisionsBad))
	}
	return out, nil
}

// keepDecisions checks the league's decisions and keeps them.
func (s *Service) keepDecisions(c *api.Call, in keepLeagueJSON) (leagueFileJSON, error) {
	s.changing.Lock()
	defer s.changing.Unlock()
	f, err := s.ready()
	if err != nil {
		return leagueFileJSON{}, err
	}
	if in.Saw != "" && in.Saw != mark(f.decisionsText) {
		return leagueFileJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "season.league_changed")
	}
	out := leagueFileJSON{Text: in.Text, Mark: mark(f.decisionsText), Findings: []fileFindingJSON{}}
	if f.before != "" {
		out.Findings = append(out.Findings, fileFindingJSON{Mistake: true, Text: say(c, "season.decisions_wait", "before", message.Plain(f.before))})
		return out, nil
	}
	made := parse(f.leagueText, f.scheduleText, append([]byte{}, in.Text...))
	if made.decisionsBad == nil && made.scheduleText != nil && made.scheduleBad == nil {
		_, made.decisionsBad = tally.New(*made.league, made.games, made.decisions)
	}
	if made.decisionsBad != nil {
		out.Findings = append(out.Findings, finding(c, made.decisionsBad))
	}
	if in.Check || len(out.Findings) > 0 {
		return out, nil
	}
	if err := s.keeper(f).KeepDecisions(made.decisionsText); err != nil {
		return out, s.notKept("the decisions", err)
	}
	out.Kept, out.Mark = true, mark(made.decisionsText)
	return out, nil
}
