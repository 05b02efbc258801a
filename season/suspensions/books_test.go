package suspensions_test

import (
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/season/suspensions"
)

const serving = `
[own.serving]
team = "same"
kinds = ["league"]
postponed = "next_played"
forfeit = "serves"
added_later = "serves"
elsewhere = "may_play"
abandoned = "serves"
several = "together"
playoffs = "apart"
season_end = "lapses"
coaches = "no_team"
counts = "league"
`

func TestWrongBooksAreRefused(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{strings.Replace("[own]\n"+serving, `"next_played"`, `"whenever"`, 1), `own.toml, line 1: own: serving.postponed: "whenever" is none of`},
		{strings.Replace("[own]\n"+serving, `forfeit = "serves"`, "", 1), `serving.forfeit: "" is none of`},
		{strings.Replace("[own]\n"+serving, `kinds = ["league"]`, "", 1), "no kind of game serves"},
		{strings.Replace("[own]\n"+serving, `elsewhere = "may_play"`, "", 1), `serving.elsewhere: "" is none of may_play, no_game`},
		{strings.Replace("[own]\n"+serving, `season_end = "lapses"`, "", 1), `serving.season_end: "" is none of`},
		{strings.Replace("[own]\n"+serving, `kinds = ["league"]`, `kinds = ["friendly"]`, 1), `"friendly" is no kind of game`},
		{"[own]\n" + serving + "[[own.trigger]]\ngames = 1\n", "has no why"},
		{"[own]\n" + serving + "[[own.trigger]]\nwhy = \"7\"\nparts = [\"frown\"]\ngames = 1\n", `"frown" is no part of a call`},
		{"[own]\n" + serving + "[[own.trigger]]\nwhy = \"7\"\nover_season = true\n", "do not go together"},
		{"[own]\n" + serving + "[[own.trigger]]\nwhy = \"7\"\nage = \"old\"\n", "neither youth nor adult"},
		{"[own]\nleast = { boarding = 0 }\n" + serving + "[[own.trigger]]\nwhy = \"7\"\nlisted = true\n", "boarding costs 0 games"},
		{"[own]\nleast = { boarding = 2 }\n" + serving + "[[own.trigger]]\nwhy = \"7\"\ngames = 1\n", "no rule says listed"},
		{"[own]\nluck = 1\n" + serving, `there is no setting "own.luck"`},
	} {
		_, err := suspensions.ReadBooks([]byte(test.text), "own.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), test.want) {
			t.Errorf("%q: %v, want %s", test.text, err, test.want)
		}
	}
}

// A rule that goes by the league's list costs what the list of its book says for the
// call, of several the most; what is not in the list costs nothing by it.
func TestALeaguesListSaysWhatACallCosts(t *testing.T) {
	books, err := suspensions.ReadBooks([]byte("[own]\nleast = { boarding = 2, spearing = 4 }\n"+serving+"[[own.trigger]]\nwhy = \"7\"\nlisted = true\n"), "own.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		calls []string
		want  int
	}{{[]string{"hooking"}, 0}, {[]string{"boarding"}, 2}, {[]string{"boarding", "spearing", "hooking"}, 4}} {
		s := suspensions.Season{
			People: []suspensions.Person{{ID: "A7", Teams: []string{"A"}}},
			Games:  []suspensions.Game{{ID: "g", Team: "A", Date: "2026-01-01", Kind: "league"}},
		}
		for _, call := range test.calls {
			s.Calls = append(s.Calls, suspensions.Call{Game: "g", Team: "A", Who: "A7", Parts: []entry.Part{entry.Major}, Infraction: call})
		}
		result, err := suspensions.Work(s, books["own"])
		if err != nil {
			t.Fatal(err)
		}
		games := 0
		for _, one := range result.Earned {
			games += one.Games
		}
		if games != test.want {
			t.Errorf("%v costs %d games, want %d", test.calls, games, test.want)
		}
	}
}

func FuzzBooks(f *testing.F) {
	f.Add([]byte("[own]\n" + serving))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := suspensions.ReadBooks(text, "own.toml")
		if err != nil {
			return
		}
		for id, book := range list {
			if _, err := suspensions.Work(made(rand.New(rand.NewPCG(1, 1))), book); err != nil {
				t.Errorf("%s was read and does not work: %v", id, err)
			}
		}
	})
}

// made is a season of two teams with random calls.
func made(random *rand.Rand) suspensions.Season {
	s := suspensions.Season{People: []suspensions.Person{
		{ID: "A7", Teams: []string{"A", "B"}}, {ID: "A8", Teams: []string{"A"}}, {ID: "B9", Teams: []string{"B"}},
		{ID: "A-hc", Coach: true, Teams: []string{"A"}},
	}}
	parts := []entry.Part{entry.Minor, entry.Major, entry.Misconduct, entry.GameMisconduct, entry.Match}
	for i := range 8 {
		team := string(rune('A' + i%2))
		s.Games = append(s.Games, suspensions.Game{
			ID: "g" + string(rune('0'+i)), Team: team, Date: "2026-01-0" + string(rune('1'+i)),
			Kind: []string{"league", "exhibition"}[random.IntN(4)/3],
		})
		for range random.IntN(6) {
			who := s.People[random.IntN(3)].ID
			s.Calls = append(s.Calls, suspensions.Call{
				Game: s.Games[i].ID, Team: team, Who: who, Parts: []entry.Part{parts[random.IntN(len(parts))]},
				Aggressive: random.IntN(2) == 0, Left: entry.Millis(random.IntN(3_600_000)),
			})
		}
	}
	return s
}

// The order in which games, people and calls of different games are listed changes
// nothing; nobody misses a game before earning a suspension, or one twice.
func TestTheOrderOfTheInputChangesNothing(t *testing.T) {
	for name, book := range suspensions.Books() {
		for i := range 200 {
			s := made(rand.New(rand.NewPCG(uint64(i), 3)))
			first, err := suspensions.Work(s, book)
			if err != nil {
				t.Fatal(err)
			}
			random := rand.New(rand.NewPCG(uint64(i), 4))
			random.Shuffle(len(s.Games), func(a, b int) { s.Games[a], s.Games[b] = s.Games[b], s.Games[a] })
			random.Shuffle(len(s.People), func(a, b int) { s.People[a], s.People[b] = s.People[b], s.People[a] })
			again, err := suspensions.Work(s, book)
			if err != nil || !reflect.DeepEqual(first, again) {
				t.Fatalf("%s, seed %d: %+v, then %+v (%v)", name, i, first, again, err)
			}
			earned := map[string]string{}
			for _, one := range first.Earned {
				if earned[one.Who] == "" || one.Game < earned[one.Who] {
					earned[one.Who] = one.Game
				}
			}
			for who, games := range first.Misses {
				for k, game := range games {
					if earned[who] == "" || game <= earned[who] || k > 0 && game <= games[k-1] {
						t.Fatalf("%s, seed %d: %s misses %v, earned in %s", name, i, who, games, earned[who])
					}
				}
			}
		}
	}
}
