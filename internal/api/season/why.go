package season

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/season/standings"
	"whistlestop/season/tally"
)

// behindGameJSON is a game that stands behind a number.
type behindGameJSON struct {
	ID       string        `json:"id"`
	Day      string        `json:"day,omitempty"` // YYYY-MM-DD; empty: it has no time
	Home     string        `json:"home"`          // ids of teams
	Visitors string        `json:"visitors"`
	Goals    [2]int        `json:"goals"`            // home, visitors, with the one for a shoot-out
	How      standings.How `json:"how"`              // it was decided
	From     tally.From    `json:"from"`             // where the result comes from
	Why      string        `json:"why,omitempty"`    // of a decision; for the bench
	Ledger   string        `json:"ledger,omitempty"` // of the bench's game, where there is one
}

// lineWhyJSON is what stands behind a team's line of the table.
type lineWhyJSON struct {
	Line  tally.Place      `json:"line"`
	Games []countedJSON    `json:"games"` // that the line counts, by time
	Ties  []tieJSON        `json:"ties"`
	Of    []behindGameJSON `json:"of"` // the games that are named
}

// countedJSON is a game of a line with what it adds to each number.
type countedJSON struct {
	Game    string `json:"game"`
	Played  int    `json:"played"`
	Won     int    `json:"won"`
	Drawn   int    `json:"drawn"`
	Lost    int    `json:"lost"`
	For     int    `json:"for"` // cut where the league cuts the goals of a game
	Against int    `json:"against"`
	Points  int    `json:"points"`
}

// tieJSON is what parted a team from a neighbour that was equal with it.
type tieJSON struct {
	Text  string   `json:"text"`
	Games []string `json:"games"` // that the step looked at
}

// figuresWhyJSON is what stands behind somebody's figures.
type figuresWhyJSON struct {
	Name   string           `json:"name"`
	Counts []countJSON      `json:"counts"` // in the order of the schedule
	Of     []behindGameJSON `json:"of"`
}

// countJSON is one thing that a figure counts.
type countJSON struct {
	Figure string           `json:"figure"` // goals, assists, minutes, plus_minus, power_play, short_handed, winning, played, against, shots, won, lost, late_lost, drawn, shutouts
	Game   string           `json:"game"`
	Count  int              `json:"count"`           // how much of the figure it is
	Entry  *behindEntryJSON `json:"entry,omitempty"` // where one entry of the ledger made it
}

// behindEntryJSON is an entry of a ledger: when it was, and for the bench its sentence.
type behindEntryJSON struct {
	Entry   string       `json:"entry"`
	Stage   *entry.Stage `json:"stage,omitempty"`
	Elapsed entry.Millis `json:"elapsed_ms"` // of the period
	Text    string       `json:"text,omitempty"`
}

// moment is an entry of a ledger in words.
func (b booked) moment(c *api.Call, ledger, id string) behindEntryJSON {
	out := behindEntryJSON{Entry: id}
	one := b.known[ledger]
	line, known := one.lines[id]
	if !known {
		return out
	}
	out.Elapsed = line.Moment.Elapsed
	if stage, named := one.stages[line.Moment.Period]; named {
		out.Stage = &stage
	}
	if c.Here {
		out.Text = c.Words.Text(line.Say.Key, line.Say.Args)
	}
	return out
}

// behindGames are the games of a season that are named, in its order.
func behindGames(c *api.Call, s tally.Season, named map[string]bool) []behindGameJSON {
	list := []behindGameJSON{}
	for _, g := range s.Games {
		if !named[g.ID] {
			continue
		}
		one := behindGameJSON{ID: g.ID, Home: g.Home, Visitors: g.Visitors}
		if g.Place != nil {
			one.Day = g.Place.Day.String()
		}
		if r := g.Result; r != nil {
			one.Goals, one.How, one.From, one.Ledger = r.Goals, r.How, r.From, r.Ledger
			if c.Here {
				one.Why = r.Why
			}
		}
		list = append(list, one)
	}
	return list
}

// lineWhy is what stands behind a team's line of the table.
func (s *Service) lineWhy(c *api.Call) (out lineWhyJSON, err error) {
	out = lineWhyJSON{Games: []countedJSON{}, Ties: []tieJSON{}}
	err = s.counted(c, func(b booked) error {
		t, value, err := b.at(c.Query("at"))
		if err != nil {
			return err
		}
		team, found := c.Part("team"), false
		for _, d := range value.Divisions {
			for _, line := range d.Places {
				if line.Team == team {
					out.Line, found = line, true
				}
			}
		}
		if !found {
			return api.NotThere("season.no_line", "team", api.Clip(team))
		}
		named := map[string]bool{}
		for _, one := range t.Line(team) {
			r := one.Row
			named[one.Game] = true
			out.Games = append(out.Games, countedJSON{
				Game: one.Game, Played: r.Played, Won: r.Wins(), Drawn: r.Draws, Lost: r.Losses(), For: r.GoalsFor, Against: r.GoalsAgainst, Points: r.Points,
			})
		}
		for _, tie := range t.Ties(team) {
			out.Ties = append(out.Ties, tieJSON{Text: c.Words.Text(tie.Say.Key, tie.Say.Args), Games: append([]string{}, tie.Games...)})
			for _, id := range tie.Games {
				named[id] = true
			}
		}
		out.Of = behindGames(c, value, named)
		return nil
	})
	return out, err
}

// figuresWhy is what stands behind the figures of one player or goalkeeper.
func (s *Service) figuresWhy(c *api.Call) (out figuresWhyJSON, err error) {
	out = figuresWhyJSON{Counts: []countJSON{}}
	err = s.counted(c, func(b booked) error {
		team := c.Part("team")
		key, name, known := b.person(c, team)
		if !known {
			return api.NotThere("season.no_person")
		}
		divisions := map[string]string{}
		for _, g := range b.Games {
			divisions[g.ID] = g.Division
		}
		out.Name = name
		all := c.Query("all") == "yes"
		named := map[string]bool{}
		for _, one := range b.tally.Behind(key) {
			if want := c.Query("division"); one.Team != team && !all || want != "" && divisions[one.Game] != want {
				continue
			}
			named[one.Game] = true
			line := countJSON{Figure: one.Figure, Game: one.Game, Count: one.Count}
			if one.Entry != "" {
				at := b.moment(c, one.Ledger, one.Entry)
				line.Entry = &at
			}
			out.Counts = append(out.Counts, line)
		}
		out.Of = behindGames(c, b.Season, named)
		return nil
	})
	return out, err
}

// person is who a call asks about: by the key, which only the bench knows, or by what
// the figures show. Where that is two people it is nobody.
func (b booked) person(c *api.Call, team string) (key, name string, known bool) {
	n := b.names(c)
	who, shown := c.Query("who"), c.Query("name")
	var found []string
	look := func(of, its, called string) {
		called = n.of(its, called)
		if its == team && (n.here && who != "" && of == who || who == "" && called == shown && called != entry.TakenOut) {
			found, name = append(found, of), called
		}
	}
	for _, l := range b.Skaters {
		look(string(l.Who), string(l.Team), l.Name)
	}
	for _, l := range b.Keepers {
		look(string(l.Who), string(l.Team), l.Name)
	}
	slices.Sort(found)
	found = slices.Compact(found)
	if len(found) != 1 {
		return "", "", false
	}
	return found[0], name, true
}
