package standings

import (
	"cmp"
	"slices"
)

// outlookOf proves how far down and up a team can still get by the first rank, and
// looks for results that bring it there.
func (v *view) outlookOf(i int) {
	pts := v.p.Points
	// Where a defeat in the periods could be worth more than another end, or a win
	// less, it is not clear what is worst for a team: nothing is proven then.
	for _, e := range v.endings {
		if e.home < pts.RegulationLoss || e.home > pts.RegulationWin || e.away < pts.RegulationLoss || e.away > pts.RegulationWin {
			return
		}
	}
	if v.worst[i].found < v.worst[i].proven {
		v.reach(i, true)
	}
	if v.best[i].found > v.best[i].proven {
		v.reach(i, false)
	}
}

// reach looks at a team that loses all its games (down) or wins them, and at how
// many of the others can come above it, or stay below.
func (v *view) reach(i int, down bool) {
	others := len(v.teams) - 1
	for _, ties := range []bool{true, false} { // with those who are equal, and without
		s := v.search(i, down, ties)
		most, exact := s.most()
		switch {
		case down && ties && exact:
			v.worst[i].proven = min(v.worst[i].proven, most+1)
		case !down && ties && exact:
			v.best[i].proven = max(v.best[i].proven, others-most+1)
		}
		s.witness()
	}
}

// search is the question how many teams can reach a number of points, or stay at one.
type search struct {
	view  *view
	team  int
	down  bool // the others have to reach what they need; otherwise to stay at it
	need  []int
	inner []int  // games to come between two who are chosen
	in    []bool // who is chosen
	sure  []bool // whatever happens
	moves int
	ends  []ending // of the inner games
	best  []bool   // the largest choice that can be
	bestE map[int]ending
}

func (v *view) search(team int, down, ties bool) *search {
	s := &search{view: v, team: team, down: down, need: make([]int, len(v.teams)), sure: make([]bool, len(v.teams)), in: make([]bool, len(v.teams)), moves: v.outlook.Moves / 10}
	pts := v.p.Points
	own, final := v.teams[team], pts.RegulationLoss
	if !down {
		final = pts.RegulationWin
	}
	num, den := v.final(own, v.running.rows[own].Points+v.toCome[own]*final)
	for u, name := range v.teams {
		// x points are enough where x*den >= num*denU, or >; they stay below likewise.
		_, denU := v.final(name, 0)
		limit := num * denU
		switch {
		case down && ties:
			s.need[u] = (limit + den - 1) / den
		case down:
			s.need[u] = limit/den + 1
		case ties:
			s.need[u] = limit / den
		default:
			s.need[u] = (limit+den-1)/den - 1
		}
		if num < 0 { // points taken away: whole division rounds towards nought
			s.need[u] = floor(limit, den)
			if down && (limit%den != 0 || !ties) {
				s.need[u]++
			} else if !down && !ties && limit%den == 0 {
				s.need[u]--
			}
		}
		s.need[u] -= v.running.rows[name].Points
	}
	return s
}

func floor(a, b int) int {
	q := a / b
	if a%b != 0 && a < 0 {
		q--
	}
	return q
}

// final is a team's first rank at the end as a fraction, with so many points.
func (v *view) final(team Team, points int) (num, den int) {
	row := v.running.rows[team]
	if v.p.First.Measure == MeasureShare {
		return points, max(1, row.possible+v.toCome[team]*v.p.Points.Most())
	}
	if v.p.First.Measure == MeasurePerGame {
		return points, max(1, row.Played+v.toCome[team])
	}
	return points, 1
}

// extreme is what a team gets of a game that it may have for itself.
func (s *search) extreme() int {
	if s.down {
		return s.view.p.Points.RegulationWin
	}
	return s.view.p.Points.RegulationLoss
}

// most is how many can, and whether no more can.
func (s *search) most() (int, bool) {
	v := s.view
	count := 0
	var maybe []int
	opposite := v.p.Points.RegulationWin
	if s.down {
		opposite = v.p.Points.RegulationLoss
	}
	for u, name := range v.teams {
		if u == s.team {
			continue
		}
		// Against the team itself the end is given.
		vs := 0
		for _, g := range v.open {
			if own := v.teams[s.team]; g.Home == own && g.Away == name || g.Away == own && g.Home == name {
				vs++
			}
		}
		alone := v.toCome[name] * s.extreme()
		against := vs*s.extreme() + (v.toCome[name]-vs)*opposite
		switch {
		case s.enough(s.need[u] - against):
			s.sure[u] = true
			count++
		case s.enough(s.need[u] - alone):
			maybe = append(maybe, u)
		}
	}
	// Those who need least come first, so that a large choice is found soon.
	slices.SortStableFunc(maybe, func(a, b int) int {
		if s.down {
			return cmp.Compare(s.need[a], s.need[b])
		}
		return cmp.Compare(s.need[b], s.need[a])
	})
	for size := len(maybe); size > 0; size-- {
		found, exact := s.choose(maybe, size, 0)
		if found {
			return count + size, true
		}
		if !exact {
			return count + size, false
		}
	}
	s.best, s.bestE = make([]bool, len(v.teams)), map[int]ending{}
	return count, true
}

// enough says whether a need is met when so much of it is left.
func (s *search) enough(left int) bool {
	if s.down {
		return left <= 0
	}
	return left >= 0
}

// choose tries all choices of so many; it is not exact where the moves ran out.
func (s *search) choose(maybe []int, size, from int) (found, exact bool) {
	if size == 0 {
		return s.feasible()
	}
	exact = true
	for i := from; i+size <= len(maybe); i++ {
		s.in[maybe[i]] = true
		ok, ex := s.choose(maybe, size-1, i+1)
		s.in[maybe[i]] = false
		if ok {
			return true, true
		}
		if exact = exact && ex; s.moves <= 0 {
			return false, false
		}
	}
	return false, exact
}

// feasible looks for ends of the games between those who are chosen.
func (s *search) feasible() (found, exact bool) {
	v := s.view
	need := slices.Clone(s.need)
	left := make([]int, len(v.teams)) // games to come between the chosen
	s.inner = s.inner[:0]
	for i, g := range v.open {
		home, _ := slices.BinarySearch(v.teams, g.Home)
		away, _ := slices.BinarySearch(v.teams, g.Away)
		switch {
		case s.in[home] && s.in[away]:
			s.inner = append(s.inner, i)
			left[home]++
			left[away]++
		case s.in[home]:
			need[home] -= s.extreme()
		case s.in[away]:
			need[away] -= s.extreme()
		}
	}
	s.ends = make([]ending, len(s.inner))
	failed := map[string]bool{}
	ok := s.assign(0, need, left, failed)
	if ok {
		s.best, s.bestE = slices.Clone(s.in), map[int]ending{}
		for n, i := range s.inner {
			s.bestE[i] = s.ends[n]
		}
	}
	return ok, ok || s.moves > 0
}

// assign ends the inner games one by one.
func (s *search) assign(n int, need, left []int, failed map[string]bool) bool {
	if s.moves--; s.moves <= 0 {
		return false
	}
	for u := range need {
		if s.in[u] && !s.enough(need[u]-left[u]*s.extreme()) {
			return false
		}
	}
	if n == len(s.inner) {
		return true
	}
	key := s.key(n, need)
	if failed[key] {
		return false
	}
	g := s.view.open[s.inner[n]]
	home, _ := slices.BinarySearch(s.view.teams, g.Home)
	away, _ := slices.BinarySearch(s.view.teams, g.Away)
	left[home]--
	left[away]--
	for _, e := range s.order(need[home], need[away]) {
		need[home] -= e.home
		need[away] -= e.away
		s.ends[n] = e
		ok := s.assign(n+1, need, left, failed)
		need[home] += e.home
		need[away] += e.away
		if ok {
			return true
		}
	}
	left[home]++
	left[away]++
	failed[key] = true
	return false
}

// order is the ends of a game, each sum of points once, those first that help who
// needs it more.
func (s *search) order(home, away int) []ending {
	var list []ending
	for _, e := range s.view.endings {
		if !slices.ContainsFunc(list, func(o ending) bool { return o.home == e.home && o.away == e.away }) {
			list = append(list, e)
		}
	}
	bad := func(e ending) int {
		a, b := home-e.home, away-e.away
		if !s.down {
			a, b = -a, -b
		}
		return max(a, 0)*max(a, 0) + max(b, 0)*max(b, 0)
	}
	slices.SortStableFunc(list, func(a, b ending) int { return bad(a) - bad(b) })
	return list
}

func (s *search) key(n int, need []int) string {
	text := make([]byte, 0, 2+3*len(need))
	text = append(text, byte(n), byte(n>>8))
	for u, x := range need {
		if s.in[u] {
			if s.enough(x) && s.down {
				x = 0
			}
			text = append(text, byte(x), byte(x>>8), byte(x>>16))
		}
	}
	return string(text)
}

// witness plays the ends that were found, with different goals, and keeps the places
// that they lead to.
func (s *search) witness() {
	if s.best == nil {
		return
	}
	v := s.view
	for _, m := range margins {
		for _, late := range margins[:1] {
			for i, g := range v.open {
				e := s.endOf(i, g)
				goals := m
				if e.how != Regulation {
					goals = late
				}
				if e.won == Drawn {
					goals = [2]int{m[1], m[1]}
				}
				if own := v.teams[s.team]; g.Home == own || g.Away == own {
					goals = margins[1]
				}
				v.running.put(e.game(g, goals[0], goals[1]))
			}
			v.look(v.running.Table())
		}
	}
	for _, g := range v.open {
		v.running.Remove("open/" + g.ID)
	}
}

// endOf is how a game ends in what was found.
func (s *search) endOf(i int, g Open) ending {
	if e, inner := s.bestE[i]; inner {
		return e
	}
	v := s.view
	own := v.teams[s.team]
	home, _ := slices.BinarySearch(v.teams, g.Home)
	away, _ := slices.BinarySearch(v.teams, g.Away)
	homeWins := s.best[home] == s.down
	switch {
	case g.Home == own:
		homeWins = !s.down
	case g.Away == own:
		homeWins = s.down
	case s.best[away]:
		homeWins = !s.down
	case !s.best[home]:
		homeWins = s.need[home] < s.need[away]
	}
	if homeWins {
		return v.endings[0]
	}
	return v.endings[1]
}
