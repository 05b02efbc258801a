package suspensions

import (
	"cmp"
	"slices"
)

// Result is who owes what, and which games that takes.
type Result struct {
	Earned []Suspension
	Misses map[string][]string // by person: games that must be missed, in order
	Owed   map[string]int      // games that are still owed after the last one of the schedule
	Open   map[string]bool     // whose suspension waits for a ruling
}

// Work works out a season by a book.
func Work(s Season, b Book) (Result, error) {
	if err := s.Validate(); err != nil {
		return Result{}, err
	}
	if err := b.Validate(); err != nil {
		return Result{}, err
	}
	r := Result{Earned: s.ruled(earn(s, b)), Misses: map[string][]string{}, Owed: map[string]int{}, Open: map[string]bool{}}
	for _, p := range s.People {
		r.serve(s, b, p)
	}
	return r, nil
}

// ruled gives open suspensions the number that the league ruled.
func (s Season) ruled(all []Suspension) []Suspension {
	for _, ruling := range s.Rules {
		for i := range all {
			if all[i].Who == ruling.Who && all[i].Ruling {
				all[i].Games, all[i].Ruling = ruling.Games, false
				all[i].Why += ", ruling"
				break
			}
		}
	}
	return all
}

// serve finds the games that a person's suspensions take: each the next ones that
// serve it and that no other of theirs has taken.
func (r *Result) serve(s Season, b Book, p Person) {
	games := b.bySchedule(s)
	taken := map[string]bool{}
	last := -1 // index of the last game that serves
	for _, one := range r.Earned {
		if one.Who != p.ID {
			continue
		}
		begun := slices.IndexFunc(games, func(g Game) bool { return g.ID == cmp.Or(one.serves, one.Game) })
		left := one.Games
		for i := begun + 1; i < len(games) && (left > 0 || one.Ruling); i++ {
			game := games[i]
			if taken[game.ID] || !b.serves(s, one, p, game) {
				continue
			}
			taken[game.ID] = true
			last = max(last, i)
			left--
		}
		if one.Ruling {
			r.Open[p.ID] = true
			last = len(games) - 1
		} else if left > 0 {
			r.Owed[p.ID] += left
			last = len(games) - 1
		}
	}
	if last < 0 {
		return
	}
	first := r.first(p.ID)
	begun := slices.IndexFunc(games, func(g Game) bool { return g.ID == first })
	for i := begun + 1; i <= last; i++ {
		game := games[i]
		blocked := (b.Serving.BlocksAll || r.Open[p.ID]) && slices.Contains(p.Teams, game.Team) && game.Status != Cancelled && !s.Played[game.ID][p.ID]
		if taken[game.ID] || blocked && game.After == "" {
			r.Misses[p.ID] = append(r.Misses[p.ID], game.ID)
		}
	}
}

// first is the game after which somebody has to sit.
func (r *Result) first(who string) string {
	for _, one := range r.Earned {
		if one.Who == who {
			return cmp.Or(one.serves, one.Game)
		}
	}
	return ""
}

// bySchedule is the games in the order in which they serve: a postponed game keeps
// its place where the suspension moves with it.
func (b Book) bySchedule(s Season) []Game {
	games := slices.Clone(s.Games)
	slices.SortStableFunc(games, func(x, y Game) int {
		if b.Serving.Postponed == "that_game" {
			return cmp.Compare(x.Date, y.Date)
		}
		return cmp.Compare(x.when(), y.when())
	})
	return games
}

// serves says whether a game serves a suspension: of the right team and kind, on the
// schedule when it was earned, played, and without the person.
func (b Book) serves(s Season, one Suspension, p Person, game Game) bool {
	ours := slices.Contains(p.Teams, game.Team)
	switch {
	case one.AnyTeam || b.Serving.Team == "any":
	case b.Serving.Team == "first":
		ours = game.Team == p.Teams[0]
	default:
		ours = game.Team == one.Team
	}
	added := game.After != "" && b.Serving.AddedLater == "does_not_serve" && s.game(game.After).when() >= s.game(one.Game).when()
	forfeited := game.Status == Forfeited && b.Serving.Forfeit == "does_not_serve"
	return ours && !added && !forfeited && game.Status != Cancelled &&
		slices.Contains(b.Serving.Kinds, game.Kind) && !s.Played[game.ID][p.ID]
}
