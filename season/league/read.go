package league

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"whistlestop/game/datafile"
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
		return League{}, fmt.Errorf("%s: %w", name, err)
	}
	return l, nil
}

// Validate says the first thing that is wrong with a league, if anything.
func (l League) Validate() error {
	if l.Name == "" || l.Season == "" || l.Zone == "" {
		return fmt.Errorf("name, season and zone are needed: how people call the league and the season, and whose time its rinks keep")
	}
	if l.To < l.From || l.To-l.From > daysMost {
		return fmt.Errorf("from %s to %s: a season has its first day before its last, and at most %d days", l.From, l.To, daysMost)
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
	for _, span := range l.Closed {
		if err := span.validate("closed"); err != nil {
			return err
		}
	}
	for _, s := range l.Shared {
		if len(s.Teams) < 2 || s.Who == "" {
			return fmt.Errorf("shared: two teams or more, and who it is: %q", s.Teams)
		}
		for _, id := range s.Teams {
			if !teams[id] {
				return fmt.Errorf("shared: %s: there is no team %q", s.Who, id)
			}
		}
	}
	return l.Limits.validate()
}

func (l Limits) validate() error {
	if min(l.RestMinutes, l.GamesADay, l.GamesAWeek) < 0 {
		return fmt.Errorf("limits: none is below nought")
	}
	for _, wish := range l.Wishes {
		if !slices.Contains([]string{LimitRest, LimitDay, LimitWeek}, wish) {
			return fmt.Errorf("limits: wishes: %q is none of %s, %s, %s", wish, LimitRest, LimitDay, LimitWeek)
		}
	}
	return nil
}

func (s Span) validate(where string) error {
	if s.Last() < s.From {
		return fmt.Errorf("%s: %s to %s ends before it begins", where, s.From, s.Last())
	}
	if s.Why == "" {
		return fmt.Errorf("%s: %s needs a why, which people are told", where, s.From)
	}
	return nil
}

// rinks checks the rinks, and returns how many sheets each has by its id.
func (l League) rinks() (map[string]int, error) {
	sheets := map[string]int{}
	for _, r := range l.Rinks {
		switch {
		case !idForm.MatchString(r.ID):
			return nil, fmt.Errorf("rink %q: an id has small letters, digits and hyphens, 40 at most", r.ID)
		case sheets[r.ID] != 0:
			return nil, fmt.Errorf("there are two rinks %q", r.ID)
		case r.Name == "" || r.Sheets < 1 || r.Sheets > sheetsMost:
			return nil, fmt.Errorf("rink %s: it needs a name, and 1 to %d sheets", r.ID, sheetsMost)
		}
		sheets[r.ID] = r.Sheets
	}
	if len(sheets) == 0 {
		return nil, fmt.Errorf("there is no rink")
	}
	for _, r := range l.Rinks {
		for to, minutes := range r.Drive {
			if sheets[to] == 0 || minutes < 0 {
				return nil, fmt.Errorf("rink %s: drive: %q, %d minutes: a rink of the league, and minutes", r.ID, to, minutes)
			}
		}
	}
	return sheets, nil
}

// divisions checks the divisions, and returns the ids of all teams.
func (l League) divisions(rinks map[string]int) (map[string]bool, error) {
	teams, seen := map[string]bool{}, map[string]bool{}
	for _, d := range l.Divisions {
		if !idForm.MatchString(d.ID) || seen[d.ID] {
			return nil, fmt.Errorf("division %q: an id of its own has small letters, digits and hyphens, 40 at most", d.ID)
		}
		seen[d.ID] = true
		if err := d.validate(); err != nil {
			return nil, fmt.Errorf("division %s: %w", d.ID, err)
		}
		for _, t := range d.Teams {
			switch {
			case !idForm.MatchString(t.ID) || teams[t.ID]:
				return nil, fmt.Errorf("division %s: team %q: an id of its own in the whole league has small letters, digits and hyphens, 40 at most", d.ID, t.ID)
			case strings.TrimSpace(t.Name) == "":
				return nil, fmt.Errorf("division %s: team %s has no name", d.ID, t.ID)
			case t.Home != "" && rinks[t.Home] == 0:
				return nil, fmt.Errorf("division %s: team %s: there is no rink %q", d.ID, t.ID, t.Home)
			}
			teams[t.ID] = true
			for _, span := range t.Away {
				if err := span.validate("team " + t.ID + ": away"); err != nil {
					return nil, err
				}
			}
		}
	}
	if len(seen) == 0 {
		return nil, fmt.Errorf("there is no division")
	}
	return teams, nil
}

func (d Division) validate() error {
	switch {
	case d.Name == "" || d.Plays == "":
		return fmt.Errorf("name and plays are needed: how people call it, and the division that says how a game is played")
	case len(d.Teams) < 2 || len(d.Teams) > teamsMost:
		return fmt.Errorf("%d teams: it takes 2 to %d", len(d.Teams), teamsMost)
	case d.Meetings < 1 || d.Meetings > meetingsMost:
		return fmt.Errorf("meetings = %d: each two teams meet 1 to %d times", d.Meetings, meetingsMost)
	case d.Minutes < 10 || d.Minutes > 300:
		return fmt.Errorf("minutes = %d: a game needs 10 to 300 minutes of ice", d.Minutes)
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
		what := fmt.Sprintf("ice %d (%s)", i+1, ice.Rink)
		switch {
		case rinks[ice.Rink] == 0:
			return fmt.Errorf("%s: there is no rink %q", what, ice.Rink)
		case ice.Sheet < 1 || ice.Sheet > rinks[ice.Rink]:
			return fmt.Errorf("%s: sheet %d: the rink has %d", what, ice.Sheet, rinks[ice.Rink])
		case (ice.On == nil) == (ice.Every == nil):
			return fmt.Errorf("%s: on a day, or every weekday: one of the two", what)
		case len(ice.Start) == 0 || ice.Minutes < 10 || ice.Minutes > 600:
			return fmt.Errorf("%s: it needs a start and 10 to 600 minutes", what)
		}
		for _, id := range ice.For {
			if !slices.ContainsFunc(l.Divisions, func(d Division) bool { return d.ID == id }) {
				return fmt.Errorf("%s: for: there is no division %q", what, id)
			}
		}
	}
	slots := l.Slots()
	if len(slots) > slotsMost {
		return fmt.Errorf("the ice makes more than %d slots", slotsMost)
	}
	last := map[[2]int]Slot{}
	for _, slot := range slots {
		sheet := [2]int{slot.Rink, slot.Sheet}
		if before, ok := last[sheet]; ok && before.End() > slot.Begin() {
			return fmt.Errorf("ice: %s and %s are on one sheet at once", l.Say(before), l.Say(slot))
		}
		last[sheet] = slot
	}
	return nil
}
