package roster

import (
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// Limits of a roster beyond those of a division.
const (
	playersMost     = 60  // lines, as an entry takes them
	playersUsual    = 30  // of one team (common practice, no source): 40 are two teams, or one twice
	nameMost        = 100 // runes; nobody reads a longer one
	staffMost       = 20
	goalkeepersMost = 2 // dressed (common practice, no source)
	captainsMost    = 1 // IIHF 2025/26 Rule 6.1: one captain ...
	alternatesMost  = 2 // ... and no more than two alternates (from memory); three where there is no captain
)

// Check returns what is wrong with a team, and what somebody should look at. The
// findings have no rows: a team knows none.
func Check(team entry.Team, d rulebook.Division) []Finding {
	s := Sheet{Team: team}
	return s.Check(d)
}

// Check returns the findings of reading, and what the division and good sense say
// about the team, in the order of the rows.
func (s *Sheet) Check(d rulebook.Division) []Finding {
	c := Sheet{Team: s.Team, Findings: slices.Clone(s.Findings), rows: s.rows, columns: s.columns}
	c.numbers()
	c.names()
	c.counts(d)
	c.marks()
	slices.SortStableFunc(c.Findings, func(a, b Finding) int { return a.Row - b.Row })
	if c.Findings == nil {
		c.Findings = []Finding{}
	}
	return c.Findings
}

// row returns the row of a player, or 0.
func (s *Sheet) row(player int) int {
	if player < len(s.rows) {
		return s.rows[player]
	}
	return 0
}

// numbers looks for numbers that are missing, out of form or there twice. An
// absent player may keep a number that somebody else wears.
func (s *Sheet) numbers() {
	first := map[entry.Jersey]int{}
	for i, p := range s.Team.Players {
		switch {
		case p.Number == "" && len(s.rows) == 0:
			s.find(Mistake, 0, FieldNumber, "roster.no_number", "name", p.Name)
		case p.Number == "":
		case !p.Number.Valid():
			s.find(Mistake, s.row(i), FieldNumber, "roster.bad_number", "text", string(p.Number))
		default:
			before, twice := first[p.Number.Bare()]
			if !twice {
				first[p.Number.Bare()] = i
				continue
			}
			if other := s.Team.Players[before]; other.Number != p.Number {
				s.find(Mistake, s.row(i), FieldNumber, "roster.number_two_ways", "number", string(p.Number),
					"other", string(other.Number), "first", who(other), "second", who(p))
				continue
			}
			s.find(Mistake, s.row(i), FieldNumber, "roster.number_twice", "number", string(p.Number),
				"first", who(s.Team.Players[before]), "second", who(p), "row", number(s.row(before)))
		}
	}
}

// names looks for names that are missing, too long, or there twice.
func (s *Sheet) names() {
	first := map[string]int{}
	for i, p := range s.Team.Players {
		key := plain(p.Name)
		switch {
		case strings.TrimSpace(p.Name) == "":
			s.find(Look, s.row(i), FieldName, "roster.no_name", "number", string(p.Number))
			continue
		case len([]rune(p.Name)) > nameMost:
			s.find(Mistake, s.row(i), FieldName, "roster.long_name", "number", string(p.Number), "most", number(nameMost))
		case key == "":
			continue // a name in letters that plain does not compare
		}
		before, twice := first[key]
		if !twice {
			first[key] = i
			continue
		}
		other := s.Team.Players[before]
		switch {
		case other.Status == entry.Suspended && p.Status.Plays(), p.Status == entry.Suspended && other.Status.Plays():
			s.find(Mistake, s.row(i), FieldName, "roster.suspended_again", "name", p.Name, "row", number(s.row(before)))
		case other.Number != p.Number:
			s.find(Look, s.row(i), FieldName, "roster.name_twice", "name", p.Name, "row", number(s.row(before)))
		}
	}
}

// counts holds the team against the division.
func (s *Sheet) counts(d rulebook.Division) {
	dressed, goalkeepers, skaters := 0, 0, 0
	lastGoalkeeper, lastDressed := 0, 0
	for i, p := range s.Team.Players {
		if !p.Status.Plays() && p.Status != entry.Late {
			continue
		}
		dressed++
		if d.Limits.Dressed > 0 && dressed == d.Limits.Dressed+1 {
			lastDressed = s.row(i)
		}
		if p.Goalkeeper || p.Position == entry.Keeps {
			if goalkeepers++; goalkeepers == goalkeepersMost+1 {
				lastGoalkeeper = s.row(i)
			}
			continue
		}
		skaters++
	}
	limits := d.Limits
	if len(s.Team.Players) > playersMost {
		s.find(Mistake, s.row(playersMost), "", "roster.too_many_players", "count", number(len(s.Team.Players)), "most", number(playersMost))
	}
	if n := len(s.Team.Players); n > playersUsual && n <= playersMost {
		s.find(Look, s.row(playersUsual), "", "roster.many_players", "count", number(n), "most", number(playersUsual))
	}
	if len(s.Team.Staff) > staffMost {
		s.find(Mistake, 0, FieldRole, "roster.too_many_staff", "most", number(staffMost))
	}
	if limits.Dressed > 0 && dressed > limits.Dressed {
		s.find(Mistake, lastDressed, FieldStatus, "roster.too_many_dressed", "count", number(dressed), "most", number(limits.Dressed), "division", d.Name)
	}
	if goalkeepers > goalkeepersMost {
		s.find(Look, lastGoalkeeper, FieldPosition, "roster.too_many_goalkeepers", "count", number(goalkeepers), "most", number(goalkeepersMost))
	}
	if dressed == 0 {
		return // reading has said it
	}
	if goalkeepers == 0 {
		s.find(Look, 0, FieldPosition, "roster.no_goalkeeper")
	}
	if skaters < limits.LeastSkaters {
		s.find(Look, 0, "", "roster.too_few_skaters", "count", number(skaters), "least", number(limits.LeastSkaters), "division", d.Name)
	}
	if dressed < limits.LeastPlayers {
		s.find(Look, 0, "", "roster.too_few_players", "count", number(dressed), "least", number(limits.LeastPlayers), "division", d.Name)
	}
}

// marks looks at captains and alternates.
func (s *Sheet) marks() {
	captains, alternates := 0, 0
	for i, p := range s.Team.Players {
		if !p.Captain && !p.Alternate {
			continue
		}
		if p.Status == entry.Suspended || p.Status == entry.Absent {
			s.find(Look, s.row(i), FieldLetter, "roster.captain_away", "name", who(p))
		}
		if p.Captain {
			if captains++; captains == captainsMost+1 {
				s.find(Look, s.row(i), FieldLetter, "roster.two_captains", "name", who(p))
			}
			continue
		}
		alternates++
	}
	most := alternatesMost
	if captains == 0 {
		most++
	}
	if alternates > most {
		s.find(Look, 0, FieldLetter, "roster.many_alternates", "count", number(alternates), "most", number(most))
	}
}

// Since adds what the team's last roster says: players who were suspended then and
// are dressed now.
func (s *Sheet) Since(last entry.Team) {
	suspended := map[string]bool{}
	for _, p := range last.Players {
		if p.Status == entry.Suspended && plain(p.Name) != "" {
			suspended[plain(p.Name)] = true
		}
	}
	for i, p := range s.Team.Players {
		if p.Status.Plays() && suspended[plain(p.Name)] {
			s.find(Look, s.row(i), FieldStatus, "roster.was_suspended", "name", who(p))
		}
	}
}

// SameTeam reports whether two names are of one team: they differ in nothing but
// capital letters, accents and what stands between words.
func SameTeam(a, b string) bool { return plain(a) != "" && plain(a) == plain(b) }
