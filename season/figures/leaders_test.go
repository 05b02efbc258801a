package figures_test

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"testing"

	"whistlestop/season/figures"
)

// night is a game between a and b in which people score, and somebody keeps each net
// for so many seconds.
func night(id string, scorers map[string][2]int, keepers ...figures.Keeper) figures.Game {
	g := figures.Game{ID: id, Stage: "s", Teams: [2]figures.Team{"a", "b"}, Decided: figures.Drawn, Keepers: keepers, Seconds: 3600}
	for who, did := range scorers {
		g.Skaters = append(g.Skaters, figures.Skater{Who: figures.Person(who)})
		for range did[0] {
			g.Goals = append(g.Goals, figures.Goal{By: figures.Person(who), At: figures.At{Period: 1, Second: 60}})
		}
		for range did[1] {
			g.Goals = append(g.Goals, figures.Goal{Assists: []figures.Person{figures.Person(who)}, At: figures.At{Period: 1, Second: 60}})
		}
	}
	return g
}

func keeper(who string, seconds, shots, against int) figures.Keeper {
	return figures.Keeper{Side: figures.Visitors, Who: figures.Person(who), Seconds: seconds, Shots: shots, Against: against}
}

// shown is a list in one line: place, = where equal, who, value.
func shown(s *figures.Season, t figures.Terms, by figures.By) (line []string) {
	for _, l := range s.Leaders(t) {
		if l.By != by {
			continue
		}
		for _, one := range l.Rows {
			equal := ""
			if one.Equal {
				equal = "="
			}
			line = append(line, fmt.Sprintf("%d%s %s %d", one.Place, equal, one.Who, one.Value))
		}
	}
	return line
}

func TestLeaders(t *testing.T) {
	s := figures.New()
	// nell, ines and olaf: four points each, with 3, 2 and 2 goals; pim scored in one game only.
	s.Add(night("1", map[string][2]int{"nell": {2, 0}, "ines": {1, 1}, "olaf": {1, 1}, "pim": {1, 0}}, keeper("kai", 1439, 10, 0), keeper("lou", 2161, 20, 2)))
	s.Add(night("2", map[string][2]int{"nell": {1, 1}, "ines": {1, 1}, "olaf": {1, 1}}, keeper("mo", 3600, 30, 3)))
	for _, test := range []struct {
		what  string
		by    figures.By
		terms figures.Terms
		want  []string
	}{
		{"equal points: more goals first, equal ones share a place", figures.ByPoints, figures.Terms{}, []string{"1 nell 4", "2= ines 4", "2= olaf 4", "4 pim 1"}},
		{"equal goals: fewer games first", figures.ByGoals, figures.Terms{}, []string{"1 nell 3", "2= ines 2", "2= olaf 2", "4 pim 1"}},
		{"half of the team's games is not more than half", figures.ByGoals, figures.Terms{SkaterGames: 50}, []string{"1 nell 3", "2= ines 2", "2= olaf 2", "4 pim 1"}},
		{"51 hundredths of two games are two", figures.ByGoals, figures.Terms{SkaterGames: 51}, []string{"1 nell 3", "2= ines 2", "2= olaf 2"}},
		{"whoever is equal with the last place is in the list", figures.ByGoals, figures.Terms{Places: 2}, []string{"1 nell 3", "2= ines 2", "2= olaf 2"}},
		{"no least share", figures.BySaveShare, figures.Terms{}, []string{"1 kai 1000", "2= lou 900", "2= mo 900"}},
		{"1,439 of 7,200 seconds are under 20 hundredths", figures.BySaveShare, figures.Terms{KeeperMinutes: 20}, []string{"1= lou 900", "1= mo 900"}},
		{"2,161 of 7,200 are 30 and not 31", figures.ByAverage, figures.Terms{KeeperMinutes: 30}, []string{"1 mo 3000", "2 lou 3332"}},
		{"2,161 of 7,200 are 30 and not 31", figures.ByAverage, figures.Terms{KeeperMinutes: 31}, []string{"1 mo 3000"}},
		{"shorter games", figures.ByAverage, figures.Terms{KeeperMinutes: 31, GameMinutes: 45}, []string{"1 mo 2250"}},
		{"counts of goalkeepers need no minutes", figures.ByShutouts, figures.Terms{KeeperMinutes: 90}, nil},
		{"nobody has any", figures.ByPlusMinus, figures.Terms{}, nil},
	} {
		if got := shown(s, test.terms, test.by); !slices.Equal(got, test.want) {
			t.Errorf("%s: %v, want %v", test.what, got, test.want)
		}
	}
}

// Shares are compared as they are, not as they are shown: 2 of 3 is less than 667 of 1,000.
func TestLeadersAreNotRounded(t *testing.T) {
	s := figures.New()
	s.Add(night("1", nil, keeper("a", 100, 3, 1)))
	s.Add(night("2", nil, keeper("b", 100, 1000, 333)))
	if got, want := shown(s, figures.Terms{}, figures.BySaveShare), []string{"1 b 667", "2 a 667"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// Where a game's shots were not counted there is no share, and nobody leads by it.
func TestNoShotsNoShare(t *testing.T) {
	s := figures.New()
	k := keeper("a", 3600, 2, 2)
	k.Uncounted = true
	s.Add(night("1", nil, k))
	s.Add(night("2", nil, keeper("a", 3600, 20, 2)))
	if _, has := s.Keepers()[0].SaveShare(); has || len(shown(s, figures.Terms{}, figures.BySaveShare)) != 0 {
		t.Error("a share was made of shots that nobody counted")
	}
	if got := shown(s, figures.Terms{}, figures.ByAverage); !slices.Equal(got, []string{"1 a 2000"}) {
		t.Errorf("%v", got)
	}
}

// Whoever played for two teams is one, with the sums of both and the longer one's games.
func TestLeadersOfTwoTeams(t *testing.T) {
	s := figures.New()
	for i := range 4 {
		s.Add(night(fmt.Sprint(i), map[string][2]int{"nell": {1, 0}}))
	}
	moved := night("9", map[string][2]int{"nell": {2, 0}})
	moved.Teams = [2]figures.Team{"c", "d"}
	s.Add(moved)
	lists := s.Leaders(figures.Terms{SkaterGames: 100})
	if len(lists) == 0 || lists[0].Rows[0].Value != 6 || !slices.Equal(lists[0].Rows[0].Teams, []figures.Team{"a", "c"}) || len(lists[0].Rows) != 1 {
		t.Errorf("%+v", lists)
	}
	if lines := s.Teams(); len(lines) != 4 || lines[0] != (figures.TeamLine{Team: "a", Stage: "s", Games: 4, Seconds: 4 * 3600}) {
		t.Errorf("%+v", lines)
	}
}

// Of whole seasons: the order of the games changes nothing, nor does what people are
// called, and a season that went on game by game is the one that was added up at once.
func TestLeadersOfOpenSeasons(t *testing.T) {
	terms := figures.Terms{SkaterGames: 25, KeeperMinutes: 40, PlusMinus: true}
	games := openGames(t)
	atOnce, backwards, renamed := figures.New(), figures.New(), figures.New()
	for i := range games {
		g := games[i].game()
		atOnce.Add(g)
		other := games[len(games)-1-i].game()
		short := other
		short.Goals = short.Goals[:len(short.Goals)/2]
		backwards.Add(short)
		backwards.Remove(short.ID)
		backwards.Add(other)
		renamed.Add(turned(g))
	}
	lists := atOnce.Leaders(terms)
	if len(lists) == 0 || !reflect.DeepEqual(lists, backwards.Leaders(terms)) {
		t.Fatal("game by game other people lead")
	}
	again := renamed.Leaders(terms)
	for i, l := range lists {
		places := func(l figures.Leaders) (all [][3]int) {
			for _, one := range l.Rows {
				all = append(all, [3]int{one.Place, one.Value, one.Of.Played})
			}
			slices.SortFunc(all, func(a, b [3]int) int { return cmp.Or(a[0]-b[0], a[1]-b[1], a[2]-b[2]) })
			return all
		}
		if len(l.Rows) == 0 || !slices.Equal(places(l), places(again[i])) {
			t.Errorf("%s by %s: %v, by other names %v", l.Stage, l.By, places(l), places(again[i]))
		}
	}
}

// turned is a game in which everybody has another name, in another order.
func turned(g figures.Game) figures.Game {
	name := func(who figures.Person) figures.Person {
		letters := []byte(who)
		for i := range letters {
			letters[i] = '0' + '9' - letters[i]
		}
		return figures.Person(letters)
	}
	all := func(list []figures.Person) (out []figures.Person) {
		for _, who := range list {
			out = append(out, name(who))
		}
		return out
	}
	g.Goals, g.Nets, g.Keepers, g.Skaters = slices.Clone(g.Goals), slices.Clone(g.Nets), slices.Clone(g.Keepers), slices.Clone(g.Skaters)
	for i := range g.Goals {
		one := &g.Goals[i]
		one.By, one.Assists, one.Plus, one.Minus = name(one.By), all(one.Assists), all(one.Plus), all(one.Minus)
	}
	for i := range g.Nets {
		g.Nets[i].Who = name(g.Nets[i].Who)
	}
	for i := range g.Keepers {
		g.Keepers[i].Who = name(g.Keepers[i].Who)
	}
	for i := range g.Skaters {
		g.Skaters[i].Who = name(g.Skaters[i].Who)
	}
	return g
}
