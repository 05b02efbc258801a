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
	Lapses map[string]int      // the same, where a league lets them lapse with the season
	Open   map[string]bool     // whose suspension waits for a ruling
	Used   []Used              // who took part although suspended, by the sheets
}

// Used is a game in which somebody took part who had to miss it.
type Used struct{ Game, Who string }

// Work works out a season by a book. What one person owes depends on that person's
// calls and teams' games alone: a season cut down to some people gives them the same.
func Work(s Season, b Book) (Result, error) {
	if err := s.Validate(); err != nil {
		return Result{}, err
	}
	if err := b.Validate(); err != nil {
		return Result{}, err
	}
	w := newWork(s, b)
	r := Result{Misses: map[string][]string{}, Owed: map[string]int{}, Lapses: map[string]int{}, Open: map[string]bool{}}
	people := map[string]Person{}
	for _, p := range s.People {
		people[p.ID] = p
	}
	// The players first: who took part although suspended costs the coach.
	players := s.ruled(w.earn())
	r.serveAll(w, players, people, func(Person) bool { return true })
	byCoaches := s.ruled(w.earnCoaches())
	if len(byCoaches) > 0 {
		again := map[string]bool{}
		for _, one := range byCoaches {
			again[one.Who] = true
		}
		r.Earned = slices.Concat(r.Earned, byCoaches)
		w.byGame(r.Earned)
		all := r.Earned
		r.Earned = nil
		r.forget(w, again)
		r.serveAll(w, all, people, func(p Person) bool { return again[p.ID] })
	}
	slices.SortStableFunc(r.Used, func(a, b Used) int {
		return cmp.Or(cmp.Compare(w.place(a.Game), w.place(b.Game)), cmp.Compare(a.Who, b.Who))
	})
	return r, nil
}

// forget drops what was worked out for some people, who are done again.
func (r *Result) forget(w *work, who map[string]bool) {
	for id := range who {
		delete(r.Misses, id)
		delete(r.Owed, id)
		delete(r.Lapses, id)
		delete(r.Open, id)
	}
	r.Used = slices.DeleteFunc(r.Used, func(u Used) bool {
		if who[u.Who] {
			delete(w.noted, u)
		}
		return who[u.Who]
	})
}

// serveAll finds the games for the suspensions of those people who are asked for.
func (r *Result) serveAll(w *work, earned []Suspension, people map[string]Person, asked func(Person) bool) {
	r.Earned = earned
	of := map[string][]int{}
	var who []string
	for i, one := range earned {
		if of[one.Who] == nil {
			who = append(who, one.Who)
		}
		of[one.Who] = append(of[one.Who], i)
	}
	for _, id := range who {
		p, known := people[id]
		if !known { // signed a sheet as head coach, and is in no list
			p = Person{ID: id, Coach: true, Teams: []string{earned[of[id][0]].Team}}
		}
		if asked(p) {
			r.serve(w, p, of[id])
		}
	}
}

// ruled gives open suspensions the number that the league ruled.
func (s Season) ruled(all []Suspension) []Suspension {
	for _, ruling := range s.Rules {
		for i := range all {
			if all[i].Who == ruling.Who && all[i].Ruling && (ruling.Game == "" || ruling.Game == all[i].Game) {
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
func (r *Result) serve(w *work, p Person, earned []int) {
	games := w.gamesOf(p, r.Earned, earned)
	taken := map[int]bool{}
	last := -1 // place of the last game that serves
	for _, i := range earned {
		one := &r.Earned[i]
		last = max(last, r.one(w, p, one, games, taken))
		switch {
		case one.Ruling:
			r.Open[p.ID] = true
		case one.Left > 0 && w.book.Serving.SeasonEnd == "lapses":
			r.Lapses[p.ID] += one.Left
		case one.Left > 0:
			r.Owed[p.ID] += one.Left
		}
		if one.Ruling || one.Left > 0 {
			last = len(w.serving) - 1
		}
	}
	if last >= 0 {
		r.miss(w, p, games, taken, w.begun(r.Earned[earned[0]]), last)
	}
}

// one finds the games for one suspension, and returns the place of the last.
func (r *Result) one(w *work, p Person, one *Suspension, games []int, taken map[int]bool) int {
	one.Takes, one.Left = nil, one.Games
	begun, last := w.begun(*one), -1
	for _, at := range games {
		if at <= begun || !one.Ruling && one.Left <= 0 {
			continue
		}
		if taken[at] && w.book.Serving.Several != "together" || !w.serves(*one, p, w.serving[at]) {
			continue
		}
		game := w.serving[at].ID
		if w.Played[game][p.ID] || w.TookPart != nil && w.TookPart(game, p.ID) {
			r.use(w, game, p.ID)
			continue
		}
		taken[at] = true
		last = at
		one.Takes = append(one.Takes, game)
		one.Left--
	}
	if one.Ruling {
		one.Left = 0
	}
	return last
}

// miss lists the games that somebody must miss: those that serve, and until then all
// others where that is the rule.
func (r *Result) miss(w *work, p Person, games []int, taken map[int]bool, first, last int) {
	coach := p.Coach && w.book.Serving.Coaches == "no_team"
	blocksAll := w.book.Serving.Elsewhere == "no_game" || r.Open[p.ID] || coach
	for _, at := range games {
		if at <= first || at > last {
			continue
		}
		game := w.serving[at]
		blocked := blocksAll && slices.Contains(p.Teams, game.Team) && game.Status != Cancelled && !w.Played[game.ID][p.ID] && game.After == ""
		if taken[at] || blocked {
			r.Misses[p.ID] = append(r.Misses[p.ID], game.ID)
		}
	}
}

func (r *Result) use(w *work, game, who string) {
	if one := (Used{game, who}); !w.noted[one] {
		w.noted[one] = true
		r.Used = append(r.Used, one)
		w.used[game] = true
	}
}

// begun is the place after which a suspension can be served.
func (w *work) begun(one Suspension) int {
	if at, known := w.servedAt[cmp.Or(one.serves, one.Game)]; known {
		return at
	}
	return -1
}

// gamesOf lists the places of the games of a person's teams, and of those with which
// something was earned.
func (w *work) gamesOf(p Person, all []Suspension, earned []int) []int {
	teams := slices.Clone(p.Teams)
	for _, i := range earned {
		teams = append(teams, all[i].Team)
	}
	slices.Sort(teams)
	var places []int
	for _, team := range slices.Compact(teams) {
		places = append(places, w.ofTeam[team]...)
	}
	slices.Sort(places)
	return places
}

// serves says whether a game serves a suspension: of the right team and kind, on the
// schedule when it was earned, and played.
func (w *work) serves(one Suspension, p Person, game Game) bool {
	says := w.book.Serving
	ours := slices.Contains(p.Teams, game.Team)
	switch {
	case one.AnyTeam || says.Team == "any":
	case says.Team == "first":
		ours = game.Team == p.Teams[0]
	case one.Team != "": // otherwise it comes from before the season
		ours = game.Team == one.Team
	}
	earned := w.game(one.Game)
	added := game.After != "" && says.AddedLater == "does_not_serve" && w.game(game.After).when() >= earned.when()
	apart := says.Playoffs == "apart" && (game.Kind == playoff) != (earned.Kind == playoff)
	unplayed := game.Status == Cancelled ||
		game.Status == Forfeited && says.Forfeit == "does_not_serve" ||
		game.Status == Abandoned && says.Abandoned == "does_not_serve"
	return ours && !added && !apart && !unplayed && slices.Contains(says.Kinds, game.Kind)
}

const playoff = "playoff"
