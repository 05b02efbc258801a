package season

import (
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/season/schedule"
	"whistlestop/season/tally"
)

// lineupJSON is what is known of a game of the schedule before it is opened.
type lineupJSON struct {
	Scheduled scheduledJSON `json:"scheduled"`
	Division  string        `json:"division"` // of the game, which says how it is played
	Known     bool          `json:"known"`    // this bench has that division
	Venue     string        `json:"venue"`
	Date      string        `json:"date"`
	Home      entry.Team    `json:"home"` // as the book of teams has it, suspended players marked
	Visitors  entry.Team    `json:"visitors"`
	Out       []outJSON     `json:"out"` // who must miss this game
	SlotEnd   entry.Millis  `json:"slot_end_ms,omitempty"`
}

// outJSON is somebody who must miss a game.
type outJSON struct {
	Side    entry.Side `json:"side"`
	Name    string     `json:"name"`
	Coach   bool       `json:"coach,omitempty"`
	Why     string     `json:"why"`              // the rule
	Game    string     `json:"game,omitempty"`   // of the schedule, in which it was earned
	Number  int        `json:"number,omitempty"` // this is which of the games, from 1
	Games   int        `json:"games"`
	Ruling  bool       `json:"ruling,omitempty"` // until the league rules
	AtLeast bool       `json:"at_least"`         // other leagues count too
}

// openScheduledJSON opens a game of the schedule on the bench.
type openScheduledJSON struct {
	ID       string      `json:"id"` // a ULID that the client made
	Home     entry.Team  `json:"home"`
	Visitors entry.Team  `json:"visitors"`
	Plays    []playsJSON `json:"plays,omitempty"` // who plays although suspended
	Again    bool        `json:"again,omitempty"` // also where the game was opened before
}

// playsJSON lets somebody play who is suspended, on the referee's or the league's word.
type playsJSON struct {
	Side   entry.Side   `json:"side"`
	Number entry.Jersey `json:"number"`
	Note   string       `json:"note"` // stands in the ledger and in the report
}

// openedScheduledJSON is a game that was opened.
type openedScheduledJSON struct {
	ID string `json:"id"`
}

// find is a game of the schedule that a call names.
func (f files) find(c *api.Call) (schedule.Game, error) {
	at := f.game(c.Part("scheduled"))
	if at < 0 {
		return schedule.Game{}, api.NotThere("season.no_game", "game", api.Clip(c.Part("scheduled")))
	}
	return f.games[at], nil
}

// lineup says what is known of a game before it is opened.
func (s *Service) lineup(c *api.Call) (out lineupJSON, err error) {
	err = s.counted(c, func(b booked) error {
		g, err := b.find(c)
		if err != nil {
			return err
		}
		opened, err := s.opened(c)
		if err != nil {
			return err
		}
		d, _ := b.division(g.Division)
		_, known := divisionOf(c, d.Plays)
		out = lineupJSON{Scheduled: played(scheduledOf(g), opened[g.ID]), Division: d.Plays, Known: known}
		if g.Place != nil {
			out.Venue, out.Date, out.SlotEnd = b.rink(g.Place.Rink), g.Place.Day.String(), b.slotEnd(g)
		}
		if out.Out, err = b.out(g); err != nil {
			return err
		}
		out.Home, out.Visitors = s.roster(b.files, g.Home), s.roster(b.files, g.Visitors)
		for i, side := range entry.Sides {
			team := []*entry.Team{&out.Home, &out.Visitors}[i]
			for k, p := range team.Players {
				if p.Status.Plays() && isOut(out.Out, side, p) != nil {
					team.Players[k].Status = entry.Suspended
				}
			}
		}
		return nil
	})
	return out, err
}

// slotEnd is when the ice of a game ends, in milliseconds of Unix time.
func (f files) slotEnd(g schedule.Game) entry.Millis {
	return entry.Millis(g.Place.Day.In(f.zone, int(g.Place.Start)+g.Place.Minutes).UnixMilli())
}

func divisionOf(c *api.Call, id string) (rulebook.Division, bool) {
	list := c.Divisions().Divisions
	i := slices.IndexFunc(list, func(d rulebook.Division) bool { return d.ID == id })
	if i < 0 {
		return rulebook.Division{}, false
	}
	return list[i], true
}

// roster is a team's last roster from the book. Where several teams of the league
// have the name, only one that was kept with its division is surely this team's.
func (s *Service) roster(f files, id string) entry.Team {
	name := f.team(id)
	team := entry.Team{Name: name}
	if s.Teams == nil {
		return team
	}
	book, err := s.Teams()
	if err != nil {
		s.Logger.Error("read the teams", "error", err) // the game can be opened without
		return team
	}
	division, shared := f.shared(id)
	for _, one := range book {
		if same(one.Name, name+" "+division) || !shared && same(one.Name, name) {
			team.Players, team.Staff = slices.Clone(one.Players), slices.Clone(one.Staff)
			team.Colour = one.Colour
			break
		}
	}
	for i, p := range team.Players { // what was so at another game
		if p.Status == entry.Suspended || p.Status == entry.Late || p.Status == entry.Absent {
			team.Players[i].Status = entry.Dressed
		}
	}
	return team
}

// shared says whether other teams of the league have the name of a team, and gives
// its division's.
func (f files) shared(id string) (division string, others bool) {
	name, count := f.team(id), 0
	for _, d := range f.league.Divisions {
		for _, t := range d.Teams {
			if t.ID == id {
				division = d.Name
			}
			if same(t.Name, name) {
				count++
			}
		}
	}
	return division, count > 1
}

// keep keeps the rosters with which a game was opened for the teams' next ones.
func (s *Service) keep(f files, g schedule.Game, in openScheduledJSON) {
	s.keepTeam(f, g.Home, in.Home)
	s.keepTeam(f, g.Visitors, in.Visitors)
}

// keepTeam keeps a team's roster in the book, under the name by which its next game
// looks for it.
func (s *Service) keepTeam(f files, id string, team entry.Team) {
	if s.KeepTeam == nil || len(team.Players) == 0 {
		return
	}
	team.Name = f.team(id)
	if division, others := f.shared(id); others {
		team.Name += " " + division
	}
	if err := s.KeepTeam(team); err != nil {
		s.Logger.Error("keep a team", "error", err) // the game goes on without
	}
}

func same(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// out lists who must miss a game.
func (b booked) out(g schedule.Game) ([]outJSON, error) {
	found, err := b.tally.Out(g.ID)
	if err != nil {
		return nil, refuse(err)
	}
	list := []outJSON{}
	for _, one := range found {
		list = append(list, outOf(g, one))
	}
	return list, nil
}

func outOf(g schedule.Game, one tally.Out) outJSON {
	side := entry.Home
	if one.Team == g.Visitors {
		side = entry.Visitors
	}
	return outJSON{
		Side: side, Name: one.Name, Coach: one.Coach, Why: one.Why, Game: one.Game, Number: one.Number, Games: one.Games,
		Ruling: one.Ruling, AtLeast: one.AtLeast,
	}
}

// isOut finds a player among those who must miss the game: by the name, or by the
// number where the sheets had no name.
func isOut(out []outJSON, side entry.Side, p entry.Player) *outJSON {
	for i, one := range out {
		if one.Side == side && !one.Coach && (same(one.Name, p.Name) && p.Name != "" || one.Name == "#"+string(p.Number)) {
			return &out[i]
		}
	}
	return nil
}

// refusals are the players of a line-up who must miss the game and whom nobody lets
// play.
func refusals(id string, out []outJSON, side entry.Side, team entry.Team, cleared func(entry.Side, entry.Jersey) bool) []rules.Refusal {
	var list []rules.Refusal
	for _, p := range team.Players {
		one := isOut(out, side, p)
		if one == nil || !p.Status.Plays() || cleared(side, p.Number) {
			continue
		}
		key := "season.suspended_plays"
		if one.Ruling {
			key = "season.suspended_ruling"
		}
		list = append(list, rules.Refusal{
			Entry: id, Field: "suspended/" + string(side) + "/" + string(p.Number),
			Say: message.Say{Key: key, Args: message.Pairs("number", string(p.Number), "name", p.Name, "team", team.Name, "why", one.Why)},
		})
	}
	return list
}

// open opens a game of the schedule: division, teams, place, the end of its ice, and
// the id by which its result finds the schedule again.
func (s *Service) open(c *api.Call, in openScheduledJSON) (openedScheduledJSON, error) {
	var opening bench.Opening
	var out []outJSON
	var slotEnd entry.Millis
	var f files
	var game schedule.Game
	err := s.counted(c, func(b booked) error {
		g, err := b.find(c)
		if err != nil {
			return err
		}
		f, game = b.files, g
		opened, err := s.opened(c)
		if err != nil {
			return err
		}
		if before := opened[g.ID]; before.ID != "" && before.ID != in.ID && !in.Again {
			return api.NewNo(api.StatusConflict, api.Conflict, "season.opened_already")
		}
		d, _ := b.division(g.Division)
		division, known := divisionOf(c, d.Plays)
		if !known {
			return api.Refuse("season.plays_unknown", "division", d.Name, "plays", d.Plays)
		}
		opening = bench.Opening{ID: in.ID, Number: g.ID, Schedule: g.ID, Division: division, Home: in.Home, Visitors: in.Visitors}
		if g.Place != nil {
			opening.Venue, opening.Date, slotEnd = b.rink(g.Place.Rink), g.Place.Day.String(), b.slotEnd(g)
		}
		out, err = b.out(g)
		return err
	})
	if err != nil {
		return openedScheduledJSON{}, err
	}
	cleared := func(side entry.Side, number entry.Jersey) bool {
		return slices.ContainsFunc(in.Plays, func(p playsJSON) bool { return p.Side == side && p.Number == number && strings.TrimSpace(p.Note) != "" })
	}
	refused := slices.Concat(refusals(in.ID, out, entry.Home, in.Home, cleared), refusals(in.ID, out, entry.Visitors, in.Visitors, cleared))
	if len(refused) > 0 {
		no := api.Refuse("season.suspended")
		no.Refused = refused
		return openedScheduledJSON{}, no
	}
	if _, err := s.Live.Open(c, opening); err != nil {
		return openedScheduledJSON{}, err
	}
	s.keep(f, game, in)
	c.Location = "/api/games/" + in.ID
	return openedScheduledJSON{ID: in.ID}, s.begin(c, in, slotEnd)
}

// begin posts what is known of the game from the start: the end of its ice, and who
// plays although suspended. Asking again posts nothing twice.
func (s *Service) begin(c *api.Call, in openScheduledJSON, slotEnd entry.Millis) error {
	var drafts []entry.Entry
	if slotEnd > 0 {
		drafts = append(drafts, api.SlotEnds(c, in.ID, slotEnd))
	}
	for _, p := range in.Plays {
		drafts = append(drafts, api.WithOpening(c, in.ID, "plays/"+string(p.Side)+"/"+string(p.Number), entry.Note{
			Text: strings.TrimSpace(p.Note), About: entry.SuspendedPlay, Side: p.Side, Player: p.Number,
		}))
	}
	if len(drafts) == 0 {
		return nil
	}
	_, err := s.Live.Post(c, in.ID, drafts)
	return err
}
