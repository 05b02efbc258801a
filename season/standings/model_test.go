package standings_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"whistlestop/season/standings"
)

// A second model of the ranking, slow and obvious: it counts every game anew for
// every value, and compares with math/big. It shares nothing with the package but the
// words of the ladders.

type model struct {
	p     standings.Procedure
	games []standings.Game
	given standings.Given
	teams []standings.Team
}

// tally counts the games of a team against some others (nil: all).
func (m model) tally(team standings.Team, others []standings.Team, cut int, odd bool) (pts, possible, w, rw, row, gf, ga, first int) {
	seen := map[string]int{}
	homes := map[string]int{}
	key := func(g standings.Game) string {
		pair := []string{string(g.Home), string(g.Away)}
		slices.Sort(pair)
		return fmt.Sprint(pair)
	}
	for _, g := range m.games {
		if g.How != standings.Unplayed && g.How != standings.Abandoned {
			homes[key(g)+"@"+string(g.Home)]++
		}
	}
	for _, g := range m.games {
		other := g.Away
		if g.Away == team {
			other = g.Home
		}
		if g.Home != team && g.Away != team || g.How == standings.Unplayed || g.How == standings.Abandoned {
			continue
		}
		if others != nil && !slices.Contains(others, other) {
			continue
		}
		if odd {
			town := key(g) + "@" + string(g.Home)
			more := homes[town] - homes[key(g)+"@"+string(g.Away)]
			if seen[town]++; seen[town] <= more {
				continue
			}
		}
		possible += m.p.Points.Most()
		if g.How == standings.Void {
			continue
		}
		mine, theirs := g.HomeGoals, g.AwayGoals
		if g.Away == team {
			mine, theirs = theirs, mine
		}
		won, drawn := mine > theirs, mine == theirs
		if cut > 0 && mine > theirs+cut {
			mine = theirs + cut
		}
		if cut > 0 && theirs > mine+cut {
			theirs = mine + cut
		}
		gf, ga = gf+mine, ga+theirs
		if g.First == team {
			first++
		}
		switch {
		case drawn:
			pts += m.p.Points.Draw
		case won && g.How == standings.Overtime:
			w, row, pts = w+1, row+1, pts+m.p.Points.OvertimeWin
		case won && g.How == standings.ShootOut:
			w, pts = w+1, pts+m.p.Points.ShootOutWin
		case won:
			w, rw, row, pts = w+1, rw+1, row+1, pts+m.p.Points.RegulationWin
		case g.How == standings.Overtime:
			pts += m.p.Points.OvertimeLoss
		case g.How == standings.ShootOut:
			pts += m.p.Points.ShootOutLoss
		}
	}
	return
}

// score is what a word of a ladder gives a team; nil where it says nothing.
func (m model) score(word string, team standings.Team, group, direct []standings.Team) []*big.Rat {
	one := func(n int) []*big.Rat { return []*big.Rat{big.NewRat(int64(n), 1)} }
	over := func(n, d int) []*big.Rat { return []*big.Rat{big.NewRat(int64(n), int64(d))} }
	var others []standings.Team
	name := word
	if len(word) > 4 && word[:4] == "h2h." {
		others, name = direct, word[4:]
	}
	end := len(name)
	for end > 0 && name[end-1] >= '0' && name[end-1] <= '9' {
		end--
	}
	cut, _ := strconv.Atoi(name[end:])
	name = name[:end]
	pts, possible, w, rw, row, gf, ga, first := m.tally(team, others, cut, name == "odd")
	switch name {
	case "pts":
		return one(pts)
	case "share", "odd":
		if possible == 0 {
			if name == "odd" {
				return nil
			}
			return one(0)
		}
		return over(pts, possible)
	case "w":
		return one(w)
	case "rw":
		return one(rw)
	case "row":
		return one(row)
	case "gd":
		return one(gf - ga)
	case "gf":
		return one(gf)
	case "ga":
		return one(-ga)
	case "firstgoal":
		return one(first)
	case "ratio":
		if gf+ga == 0 {
			return nil
		}
		return over(gf, gf+ga)
	case "quot":
		switch {
		case ga == 0 && gf == 0:
			return nil
		case ga == 0:
			return []*big.Rat{big.NewRat(1, 1), big.NewRat(int64(gf), 1)}
		}
		return []*big.Rat{big.NewRat(0, 1), big.NewRat(int64(gf), int64(ga))}
	case "pim":
		minutes, known := m.given.Minutes[team]
		if !known {
			return nil
		}
		return one(-minutes)
	case "seeding":
		at := slices.Index(m.given.Seeding, team)
		if at < 0 {
			return nil
		}
		return one(-at)
	}
	panic("the model does not know " + word)
}

// split divides a group by a word; one part where the word says nothing.
func (m model) split(word string, group, direct []standings.Team) [][]standings.Team {
	scores := map[standings.Team][]*big.Rat{}
	for _, team := range group {
		if scores[team] = m.score(word, team, group, direct); scores[team] == nil {
			return [][]standings.Team{group}
		}
	}
	left := slices.Clone(group)
	var parts [][]standings.Team
	for len(left) > 0 {
		var best []standings.Team
		for _, team := range left {
			order := 1
			if len(best) > 0 {
				order = slices.CompareFunc(scores[team], scores[best[0]], func(a, b *big.Rat) int { return a.Cmp(b) })
			}
			if order > 0 {
				best = nil
			}
			if order >= 0 {
				best = append(best, team)
			}
		}
		parts = append(parts, best)
		left = slices.DeleteFunc(left, func(team standings.Team) bool { return slices.Contains(best, team) })
	}
	return parts
}

func (m model) words(size int) (list []string) {
	ladder := m.p.Two
	if size > 2 && len(m.p.More) > 0 {
		ladder = m.p.More
	}
	for _, step := range ladder {
		if text := step.String(); text != "outside" && text != "topdown" {
			list = append(list, text)
		}
	}
	return list
}

func (m model) met(a, b standings.Team) bool {
	return slices.ContainsFunc(m.games, func(g standings.Game) bool {
		both := g.Home == a && g.Away == b || g.Home == b && g.Away == a
		return both && g.How != standings.Unplayed && g.How != standings.Abandoned
	})
}

func (m model) order(group []standings.Team, words []string, direct []standings.Team, wasDirect bool) [][]standings.Team {
	if len(group) == 1 || len(words) == 0 {
		return [][]standings.Team{group}
	}
	isDirect := words[0][:min(4, len(words[0]))] == "h2h."
	if isDirect && !wasDirect {
		direct = group
	}
	skip := false
	if isDirect && m.p.DirectAll {
		for _, a := range group {
			for _, b := range group {
				skip = skip || a != b && !m.met(a, b)
			}
		}
	}
	parts := [][]standings.Team{group}
	if !skip {
		parts = m.split(words[0], group, direct)
	}
	if len(parts) == 1 || m.p.Way == standings.AllAtOnce && len(parts) < len(group) {
		return m.order(group, words[1:], direct, isDirect)
	}
	var all [][]standings.Team
	for _, part := range parts {
		if m.p.Way == standings.Restart || m.p.Way == standings.TwoLeft && len(part) == 2 {
			all = append(all, m.order(part, m.words(len(part)), nil, false)...)
		} else {
			all = append(all, m.order(part, words[1:], direct, isDirect)...)
		}
	}
	return all
}

// best takes the best of each step to the next, until one is left or the ladder ends;
// everybody else begins again.
func (m model) best(group []standings.Team) [][]standings.Team {
	best, direct, wasDirect := group, group, false
	for _, word := range m.words(len(group)) {
		isDirect := word[:min(4, len(word))] == "h2h."
		if isDirect && !wasDirect {
			direct = best
		}
		wasDirect = isDirect
		if len(best) > 1 {
			best = m.split(word, best, direct)[0]
		}
	}
	var rest []standings.Team
	for _, team := range group {
		if !slices.Contains(best, team) {
			rest = append(rest, team)
		}
	}
	if len(rest) == 0 {
		return [][]standings.Team{best}
	}
	return append([][]standings.Team{best}, m.best(rest)...)
}

func (m model) rank() [][]standings.Team {
	var all [][]standings.Team
	for _, part := range m.split(m.p.First.String(), m.teams, nil) {
		if m.p.Way == standings.BestOnly {
			all = append(all, m.best(part)...)
			continue
		}
		all = append(all, m.order(part, m.words(len(part)), nil, false)...)
	}
	return all
}

// made is a random league that ties often.
func made(random *rand.Rand) ([]standings.Team, []standings.Game, standings.Given) {
	teams := []standings.Team{"A", "B", "C", "D", "E", "F"}[:2+random.IntN(5)]
	var games []standings.Game
	ways := []standings.How{
		standings.Regulation, standings.Regulation, standings.Regulation, standings.Overtime, standings.ShootOut,
		standings.Forfeit, standings.Void, standings.Unplayed, standings.Abandoned,
	}
	for range random.IntN(3 * len(teams)) {
		home, away := teams[random.IntN(len(teams))], teams[random.IntN(len(teams))]
		if home == away {
			continue
		}
		g := standings.Game{
			ID: fmt.Sprint(len(games)), Home: home, Away: away, How: ways[random.IntN(len(ways))],
			HomeGoals: random.IntN(3), AwayGoals: random.IntN(3), First: home,
		}
		if random.IntN(12) == 0 {
			g.HomeGoals += 10
		}
		if (g.How == standings.Overtime || g.How == standings.ShootOut) && g.HomeGoals == g.AwayGoals {
			g.HomeGoals++
		}
		games = append(games, g)
	}
	given := standings.Given{Minutes: map[standings.Team]int{}}
	for _, team := range teams {
		given.Minutes[team] = random.IntN(3)
	}
	if random.IntN(2) == 0 {
		given.Seeding = slices.Clone(teams)
		random.Shuffle(len(teams), func(i, j int) { given.Seeding[i], given.Seeding[j] = given.Seeding[j], given.Seeding[i] })
	}
	return teams, games, given
}

// tiers are the groups of a table that stand on one place.
func tiers(table standings.Table) (list [][]standings.Team) {
	for i, placed := range table.Places {
		if i == 0 || placed.Place != table.Places[i-1].Place {
			list = append(list, nil)
		}
		list[len(list)-1] = append(list[len(list)-1], placed.Team)
	}
	return list
}

// withoutOutside is a ladder without the steps that look outside the group,
// which the model leaves out.
func withoutOutside(p standings.Procedure) standings.Procedure {
	outside := func(step standings.Step) bool {
		return step.Measure == standings.MeasureOutside || step.Measure == standings.MeasureTopDown
	}
	p.Two = slices.DeleteFunc(slices.Clone(p.Two), outside)
	p.More = slices.DeleteFunc(slices.Clone(p.More), outside)
	return p
}

// ladder is a procedure that no league has: any steps, any way. Steps that look outside
// the group are in it where they are wanted.
func ladder(random *rand.Rand, outside bool) standings.Procedure {
	p := standings.Procedures()[[]string{"iihf", "nhl-2019"}[random.IntN(2)]]
	p.Way = []standings.Way{standings.Restart, standings.Continue, standings.TwoLeft, standings.BestOnly, standings.AllAtOnce}[random.IntN(5)]
	p.Cap = 0
	var known []standings.Step
	for _, word := range append(standings.Words(), "gd1", "h2h.gd2", "h2h.quot1", "ratio2", "gf1") {
		var step standings.Step
		if err := step.UnmarshalText([]byte(word)); err != nil {
			panic(err)
		}
		looks := step.Measure == standings.MeasureOutside || step.Measure == standings.MeasureTopDown
		if step.Measure != standings.MeasurePerGame && (outside || !looks) {
			known = append(known, step)
		}
	}
	steps := func(most int) (list []standings.Step) {
		for range random.IntN(most) {
			list = append(list, known[random.IntN(len(known))])
		}
		return list
	}
	p.Two, p.More = steps(6), steps(6)
	return p
}

func tries(t *testing.T, usual int) int {
	if n, err := strconv.Atoi(os.Getenv("WHISTLESTOP_TRIES")); err == nil {
		return n
	}
	if testing.Short() {
		return usual / 10
	}
	return usual
}

func TestAgreesWithTheModel(t *testing.T) {
	names := []string{
		"iihf", "iihf-210", "nhl-2010", "nhl-2019", "usah-nationals", "ontario-rr", "alberta-rr", "sweden-short",
		"sweden-series", "hockey-east-2008", "bc-junior", "ontario-women-rr", "pwhl",
	}
	for i := range tries(t, 20_000) {
		random := rand.New(rand.NewPCG(uint64(i), 1))
		teams, games, given := made(random)
		name := names[i%len(names)]
		p := withoutOutside(standings.Procedures()[name])
		if i%3 == 0 {
			name, p = "a ladder of its own", ladder(random, false)
		}
		table, err := standings.Rank(teams, games, p, given)
		if err != nil {
			t.Fatalf("seed %d: %v", i, err)
		}
		want := model{p: p, games: games, given: given, teams: teams}.rank()
		for _, tier := range want {
			slices.Sort(tier)
		}
		if got := tiers(table); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("seed %d, %s: ranked %v, the model has %v\n%v\n%v %v, %s", i, name, got, want, games, p.Two, p.More, p.Way)
		}
	}
}

// Every way ends, places every team once, and depends neither on names nor on the
// order in which teams and games are listed.
func TestOrderOfInputAndNamesChangeNothing(t *testing.T) {
	ways := []standings.Way{standings.Restart, standings.Continue, standings.TwoLeft, standings.BestOnly, standings.AllAtOnce}
	for i := range tries(t, 5_000) {
		random := rand.New(rand.NewPCG(uint64(i), 2))
		teams, games, given := made(random)
		p := standings.Procedures()["iihf"]
		if i%2 == 0 {
			p = standings.Procedures()["usah-nationals"]
		}
		p.Way = ways[i%len(ways)]
		if i%3 == 0 {
			p = ladder(random, true)
		}
		first, err := standings.Rank(teams, games, p, given)
		if err != nil {
			t.Fatal(err)
		}
		other := func(team standings.Team) standings.Team { return standings.Team(rune('Z' - (team[0] - 'A'))) }
		var renamed []standings.Team
		for _, team := range teams {
			renamed = append(renamed, other(team))
		}
		var replayed []standings.Game
		for _, g := range games {
			g.Home, g.Away, g.First = other(g.Home), other(g.Away), other(g.First)
			replayed = append(replayed, g)
		}
		again := standings.Given{Minutes: map[standings.Team]int{}}
		for team, minutes := range given.Minutes {
			again.Minutes[other(team)] = minutes
		}
		for _, team := range given.Seeding {
			again.Seeding = append(again.Seeding, other(team))
		}
		random.Shuffle(len(renamed), func(i, j int) { renamed[i], renamed[j] = renamed[j], renamed[i] })
		second, err := standings.Rank(renamed, replayed, p, again)
		if err != nil {
			t.Fatal(err)
		}
		if placed := slices.Sorted(slices.Values(first.Order())); !slices.Equal(placed, slices.Sorted(slices.Values(teams))) {
			t.Fatalf("seed %d, %s: %v is placed of %v", i, p.Way, placed, teams)
		}
		want := tiers(first)
		for _, tier := range want {
			for k := range tier {
				tier[k] = other(tier[k])
			}
			slices.Sort(tier)
		}
		got := tiers(second)
		for _, tier := range got {
			slices.Sort(tier)
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("seed %d, %s: %v under other names is %v", i, p.Way, want, got)
		}
	}
}
