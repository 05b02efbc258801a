package suspensions

import (
	"cmp"
	"slices"
)

// work is a season laid out so that each person costs their own calls and games.
type work struct {
	Season
	book     Book
	order    []Game            // by the dates on which they were really played
	at       map[string]int    // place in order
	serving  []Game            // in the order in which they serve
	servedAt map[string]int    // place in serving
	ofTeam   map[string][]int  // places in serving, rising
	inTeam   map[string][]int  // places in order, rising
	calls    map[string][]Call // by person, in the order of the games
	inGame   map[string][]Call
	coach    map[string]string // by team
	noted    map[Used]bool
	used     map[string]bool // games in which somebody took part who was suspended
}

func newWork(s Season, b Book) *work {
	b.Serving = b.Serving.filled()
	w := &work{
		Season: s, book: b, at: map[string]int{}, servedAt: map[string]int{}, ofTeam: map[string][]int{}, inTeam: map[string][]int{},
		calls: map[string][]Call{}, inGame: map[string][]Call{}, coach: map[string]string{}, used: map[string]bool{}, noted: map[Used]bool{},
	}
	w.order = sorted(s.Games, Game.when)
	for i, g := range w.order {
		w.at[g.ID] = i
		w.inTeam[g.Team] = append(w.inTeam[g.Team], i)
	}
	w.serving = w.order
	if b.Serving.Postponed == "that_game" {
		// A postponed game keeps its place where the suspension moves with it.
		w.serving = sorted(s.Games, func(g Game) string { return g.Date })
	}
	for i, g := range w.serving {
		w.servedAt[g.ID] = i
		w.ofTeam[g.Team] = append(w.ofTeam[g.Team], i)
	}
	for _, c := range s.Calls {
		w.inGame[c.Game] = append(w.inGame[c.Game], c)
		if c.Who != "" {
			w.calls[c.Who] = append(w.calls[c.Who], c)
		}
	}
	for _, list := range w.calls {
		slices.SortStableFunc(list, func(a, b Call) int { return cmp.Compare(w.place(a.Game), w.place(b.Game)) })
	}
	for i := len(s.People) - 1; i >= 0; i-- { // the first of a team counts
		if p := s.People[i]; p.Coach {
			w.coach[p.Teams[0]] = p.ID
		}
	}
	return w
}

// sorted is games in the order of a time; those of one time stay as they are.
func sorted(games []Game, by func(Game) string) []Game {
	at := make([]int, len(games))
	for i := range at {
		at[i] = i
	}
	slices.SortFunc(at, func(a, b int) int { return cmp.Or(cmp.Compare(by(games[a]), by(games[b])), a-b) })
	list := make([]Game, len(games))
	for i, from := range at {
		list[i] = games[from]
	}
	return list
}

// place is where a game stands in the order; what was before the season comes first.
func (w *work) place(game string) int {
	if i, known := w.at[game]; known {
		return i
	}
	return -1
}

func (w *work) game(id string) Game {
	if i, known := w.at[id]; known {
		return w.order[i]
	}
	return Game{ID: id}
}

// headCoach is who answers for a team's game.
func (w *work) headCoach(g Game) string { return cmp.Or(g.Coach, w.coach[g.Team]) }

// byGame sorts suspensions by the games in which they were earned.
func (w *work) byGame(all []Suspension) {
	slices.SortStableFunc(all, func(a, b Suspension) int { return cmp.Compare(w.place(a.Game), w.place(b.Game)) })
}

// adult says whether the rules for adults hold in a game.
func (w *work) adult(g Game) bool { return w.Adult || g.Adult }

// applies says whether a trigger is for the age of a game.
func (w *work) applies(t Trigger, g Game) bool {
	return !(t.Age == "youth" && w.adult(g) || t.Age == "adult" && !w.adult(g))
}
