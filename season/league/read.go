package league

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
	"whistlestop/season/suspensions"
)

// What a league may have at most. A country's largest leagues have a tenth of it.
const (
	daysMost     = 400
	teamsMost    = 200 // of a division
	meetingsMost = 10
	slotsMost    = 20_000
	sheetsMost   = 12
)

var idForm = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// Read reads a league file. Its errors name the file, what is wrong and where.
func Read(text []byte, name string) (League, error) {
	var l League
	if err := datafile.Decode(text, name, &l); err != nil {
		return League{}, err
	}
	for i := range l.Rinks {
		if l.Rinks[i].Sheets == 0 {
			l.Rinks[i].Sheets = 1
		}
	}
	for i := range l.Ice {
		if l.Ice[i].Sheet == 0 {
			l.Ice[i].Sheet = 1
		}
	}
	if err := l.Validate(); err != nil {
		return League{}, placed(text, name, err)
	}
	return l, nil
}

// Validate says the first thing that is wrong with a league, if anything.
func (l League) Validate() error {
	if l.Name == "" || l.Season == "" || l.Zone == "" {
		return near("name =", message.New("league_file.needed"))
	}
	if l.To < l.From || l.To-l.From > daysMost {
		return near("to =", message.New("league_file.days", "from", l.From, "to", l.To, "most", daysMost))
	}
	rinks, err := l.rinks()
	if err != nil {
		return err
	}
	teams, err := l.divisions(rinks)
	if err != nil {
		return err
	}
	if err := l.ice(rinks); err != nil {
		return err
	}
	for i, span := range l.Closed {
		if err := span.validate("closed"); err != nil {
			return nth("[[closed]]", i, err)
		}
	}
	for i, s := range l.Shared {
		if len(s.Teams) < 2 || s.Who == "" {
			return nth("[[shared]]", i, message.New("league_file.shared_few", "teams", fmt.Sprintf("%q", s.Teams)))
		}
		for _, id := range s.Teams {
			if !teams[id] {
				return nth("[[shared]]", i, message.New("league_file.shared_team", "who", s.Who, "team", message.Plain(id)))
			}
		}
	}
	if err := l.Limits.validate(); err != nil {
		return err
	}
	return l.rules(teams)
}

func (l Limits) validate() error {
	if min(l.RestMinutes, l.GamesADay, l.GamesAWeek) < 0 {
		return near("[limits]", message.New("league_file.limits"))
	}
	for _, wish := range l.Wishes {
		if !slices.Contains([]string{LimitRest, LimitDay, LimitWeek}, wish) {
			return near("wishes =", message.New("league_file.wish", "wish", message.Plain(wish), "rest", LimitRest, "day", LimitDay, "week", LimitWeek))
		}
	}
	return nil
}

func (s Span) validate(where string) error {
	if s.Last() < s.From {
		return message.New("league_file.span_backwards", "where", where, "from", s.From, "to", s.Last())
	}
	if s.Why == "" {
		return message.New("league_file.span_why", "where", where, "from", s.From)
	}
	return nil
}

// rinks checks the rinks, and returns how many sheets each has by its id.
func (l League) rinks() (map[string]int, error) {
	sheets := map[string]int{}
	for i, r := range l.Rinks {
		at := func(err error) (map[string]int, error) { return nil, nth("[[rink]]", i, err) }
		switch {
		case !idForm.MatchString(r.ID):
			return at(message.New("league_file.rink_id", "rink", message.Plain(r.ID)))
		case sheets[r.ID] != 0:
			return at(message.New("league_file.rink_twice", "rink", message.Plain(r.ID)))
		case r.Name == "" || r.Sheets < 1 || r.Sheets > sheetsMost:
			return at(message.New("league_file.rink", "rink", r.ID, "most", sheetsMost))
		}
		sheets[r.ID] = r.Sheets
	}
	if len(sheets) == 0 {
		return nil, message.New("league_file.no_rinks")
	}
	for i, r := range l.Rinks {
		for to, minutes := range r.Drive {
			if sheets[to] == 0 || minutes < 0 {
				return nil, nth("[[rink]]", i, message.New("league_file.drive", "rink", r.ID, "to", message.Plain(to), "minutes", minutes))
			}
		}
	}
	return sheets, nil
}

// divisions checks the divisions, and returns the ids of all teams.
func (l League) divisions(rinks map[string]int) (map[string]bool, error) {
	teams, seen := map[string]bool{}, map[string]bool{}
	for i, d := range l.Divisions {
		if !idForm.MatchString(d.ID) || seen[d.ID] {
			return nil, nth("[[division]]", i, message.New("league_file.division_id", "division", message.Plain(d.ID)))
		}
		seen[d.ID] = true
		if err := d.validate(); err != nil {
			return nil, message.Because(nth("[[division]]", i, err), "league_file.division", "division", d.ID)
		}
		for _, t := range d.Teams {
			line := `id = "` + t.ID + `"`
			switch {
			case teams[t.ID]:
				return nil, nth(line, 1, message.New("league_file.team_id", "division", d.ID, "team", message.Plain(t.ID)))
			case !idForm.MatchString(t.ID):
				return nil, near(line, message.New("league_file.team_id", "division", d.ID, "team", message.Plain(t.ID)))
			case strings.TrimSpace(t.Name) == "":
				return nil, near(line, message.New("league_file.team_name", "division", d.ID, "team", t.ID))
			case t.Home != "" && rinks[t.Home] == 0:
				return nil, near(line, message.New("league_file.team_rink", "division", d.ID, "team", t.ID, "rink", message.Plain(t.Home)))
			}
			teams[t.ID] = true
			for _, span := range t.Away {
				if err := span.validate(message.Nested("league_file.away", "team", t.ID)); err != nil {
					return nil, near(line, err)
				}
			}
		}
	}
	if len(seen) == 0 {
		return nil, message.New("league_file.no_divisions")
	}
	return teams, nil
}

func (d Division) validate() error {
	switch {
	case d.Name == "" || d.Plays == "":
		return message.New("league_file.division_needed")
	case len(d.Teams) < 2 || len(d.Teams) > teamsMost:
		return message.New("league_file.teams", "count", len(d.Teams), "most", teamsMost)
	case d.Meetings < 1 || d.Meetings > meetingsMost:
		return message.New("league_file.meetings", "count", d.Meetings, "most", meetingsMost)
	case d.Kind != "" && !slices.Contains(suspensions.Kinds, d.Kind):
		return message.New("league_file.kind", "kind", message.Plain(d.Kind), "known", strings.Join(suspensions.Kinds, ", "))
	case d.Through < 0 || d.Through > len(d.Teams):
		return message.New("league_file.through", "count", d.Through)
	case d.Youngest < 0 || d.Youngest > 99:
		return message.New("league_file.youngest", "years", d.Youngest)
	case d.Minutes < 10 || d.Minutes > 300:
		return message.New("league_file.minutes", "minutes", d.Minutes)
	}
	for _, span := range d.HeldFree {
		if err := span.validate("held_free"); err != nil {
			return err
		}
	}
	return nil
}

// ice checks the ice time, and that no two slots are at once on one sheet.
func (l League) ice(rinks map[string]int) error {
	for i, ice := range l.Ice {
		what := message.Nested("league_file.ice_line", "place", i+1, "rink", ice.Rink)
		var err error
		switch {
		case rinks[ice.Rink] == 0:
			err = message.New("league_file.no_rink", "where", what, "rink", message.Plain(ice.Rink))
		case ice.Sheet < 1 || ice.Sheet > rinks[ice.Rink]:
			err = message.New("league_file.sheet", "where", what, "sheet", ice.Sheet, "sheets", rinks[ice.Rink])
		case (ice.On == nil) == (ice.Every == nil):
			err = message.New("league_file.when", "where", what)
		case len(ice.Start) == 0 || ice.Minutes < 10 || ice.Minutes > 600:
			err = message.New("league_file.start", "where", what)
		}
		if err != nil {
			return nth("[[ice]]", i, err)
		}
		for _, id := range ice.For {
			if !slices.ContainsFunc(l.Divisions, func(d Division) bool { return d.ID == id }) {
				return nth("[[ice]]", i, message.New("league_file.ice_division", "where", what, "division", message.Plain(id)))
			}
		}
	}
	slots := l.Slots()
	if len(slots) > slotsMost {
		return message.New("league_file.slots", "most", slotsMost)
	}
	last := map[[2]int]Slot{}
	for _, slot := range slots {
		sheet := [2]int{slot.Rink, slot.Sheet}
		if before, ok := last[sheet]; ok && before.End() > slot.Begin() {
			return message.New("league_file.slots_overlap", "one", l.Named(before), "other", l.Named(slot))
		}
		last[sheet] = slot
	}
	return nil
}
