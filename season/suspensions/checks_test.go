package suspensions_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/proof/openplay"
	"whistlestop/season/suspensions"
)

// The checks are published rulings and examples, and cases made from rule text, each
// with its source in the file (testdata/checks-season/FORMAT.md).
// WHISTLESTOP_SEASON_CHECKS names another folder of the same form.

type check struct {
	ID      string            `json:"id"`
	Kind    string            `json:"kind"`
	Rules   string            `json:"rules"`
	Edition string            `json:"edition"`
	Age     string            `json:"age_class"`
	Says    map[string]string `json:"league_says"`
	People  []struct {
		ID    string   `json:"id"`
		Role  string   `json:"role"`
		Teams []string `json:"teams"`
	} `json:"people"`
	Schedule []struct {
		Game    string `json:"game"`
		Team    string `json:"team"`
		Date    string `json:"date"`
		Comp    string `json:"comp"`
		Status  string `json:"status"`
		MovedTo string `json:"moved_to"`
		After   string `json:"scheduled_after"`
	} `json:"schedule"`
	Events []event `json:"events"`
	Expect struct {
		Earned []struct {
			Who   string `json:"who"`
			Games *int   `json:"games"`
		} `json:"earned"`
		Out  map[string][]string `json:"out"`
		Free map[string][]string `json:"free"`
	} `json:"expect"`
}

type event struct {
	Game        string       `json:"game"`
	Who         string       `json:"who"`
	Team        string       `json:"team"`
	Parts       []entry.Part `json:"parts"`
	Aggressive  bool         `json:"aggressive"`
	Fighting    bool         `json:"fighting"`
	Conduct     int          `json:"unsportsmanlike"`
	At          string       `json:"at"`
	Left        string       `json:"left"`
	Minimum     int          `json:"minimum"`
	Penalties   int          `json:"team_penalties"`
	Majors      int          `json:"team_majors"`
	Shots       int          `json:"penalty_shot_infractions"`
	Played      bool         `json:"played"`
	FoundAfter  string       `json:"found_after"`
	RulingAfter string       `json:"ruling_after"`
	Games       int          `json:"games"`
	MinutesAt   string       `json:"season_minutes_before"`
	Minutes     int          `json:"minutes"`
	CountAt     string       `json:"season_misconducts_before"`
	Count       int          `json:"count"`
}

func clock(t *testing.T, text string) entry.Millis {
	t.Helper()
	minutes, seconds, _ := strings.Cut(text, ":")
	m, err := strconv.Atoi(minutes)
	s, err2 := strconv.Atoi(seconds)
	if err != nil || err2 != nil {
		t.Fatalf("%q is no time", text)
	}
	return entry.Clock(m, s)
}

func (c check) book(t *testing.T) suspensions.Book {
	t.Helper()
	id := c.Rules
	if id == "usah" && strings.Contains(c.Edition, "before 2021") {
		id = "usah-2017"
	}
	if id == "parameter" {
		id = "usah"
	}
	b, known := suspensions.Books()[id]
	if !known {
		t.Fatalf("%s: there is no book %q", c.ID, id)
	}
	for question, answer := range c.Says {
		switch question {
		case "postponed":
			b.Serving.Postponed = answer
		case "forfeit":
			b.Serving.Forfeit = answer
		case "exhibition":
			if answer == "serves" {
				b.Serving.Kinds = append(slices.Clone(b.Serving.Kinds), "exhibition")
			}
		case "while_suspended":
			b.Serving.Elsewhere = "may_play"
			if answer == "no_game" {
				b.Serving.Elsewhere = answer
			}
		case "team":
			b.Serving.Team = answer
		case "added_later":
			b.Serving.AddedLater = answer
		default:
			t.Fatalf("%s: the league says something of %q", c.ID, question)
		}
	}
	return b
}

func (c check) season(t *testing.T) suspensions.Season {
	t.Helper()
	s := suspensions.Season{Adult: c.Age == "adult", Played: map[string]map[string]bool{}}
	for _, p := range c.People {
		s.People = append(s.People, suspensions.Person{ID: p.ID, Coach: p.Role == "head_coach", Teams: p.Teams})
	}
	for _, g := range c.Schedule {
		s.Games = append(s.Games, suspensions.Game{
			ID: g.Game, Team: g.Team, Date: g.Date, MovedTo: g.MovedTo, Kind: g.Comp, Status: suspensions.Status(g.Status), After: g.After,
		})
	}
	for _, e := range c.Events {
		switch {
		case e.FoundAfter != "":
			s.Found = e.FoundAfter
		case e.RulingAfter != "":
			s.Rules = append(s.Rules, suspensions.Ruling{Who: e.Who, Games: e.Games})
		case e.MinutesAt != "" || e.CountAt != "":
			s.Priors = append(s.Priors, suspensions.Prior{Who: e.Who, Minutes: e.Minutes, Misconducts: e.Count})
		case e.Played:
			s.Played[e.Game] = map[string]bool{e.Who: true}
		default:
			left := entry.Clock(60, 0)
			if e.At != "" {
				left -= clock(t, e.At)
			}
			if e.Left != "" {
				left = clock(t, e.Left)
			}
			s.Calls = append(s.Calls, suspensions.Call{
				Game: e.Game, Who: e.Who, Team: e.Team, Parts: e.Parts, Fighting: e.Fighting, Aggressive: e.Aggressive,
				Unsportsmanlike: e.Conduct > 0, Left: left, Listed: e.Minimum, Penalties: e.Penalties + e.Shots, Majors: e.Majors,
			})
		}
	}
	return s
}

func TestChecks(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(folder(), "suspensions", "*.json"))
	if err != nil || len(files) == 0 {
		t.Skipf("no checks of suspensions in %s: %v", folder(), err)
	}
	right, all := map[string]int{}, map[string]int{}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var checks []check
		if err := json.Unmarshal(raw, &checks); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for _, c := range checks {
			all[c.Kind]++
			if c.hold(t) {
				right[c.Kind]++
			}
		}
	}
	sumRight, sum := 0, 0
	for _, kind := range slices.Sorted(maps.Keys(all)) {
		fmt.Printf("suspensions, %s: %d of %d\n", kind, right[kind], all[kind])
		sumRight, sum = sumRight+right[kind], sum+all[kind]
	}
	fmt.Printf("suspensions: %d of %d\n", sumRight, sum)
}

func folder() string {
	if named := os.Getenv("WHISTLESTOP_SEASON_CHECKS"); named != "" {
		return openplay.FromRoot(named)
	}
	return openplay.FromRoot("testdata/checks-season")
}

func (c check) hold(t *testing.T) bool {
	t.Helper()
	r, err := suspensions.Work(c.season(t), c.book(t))
	if err != nil {
		t.Errorf("%s: %v", c.ID, err)
		return false
	}
	good := true
	fail := func(format string, arguments ...any) {
		good = false
		t.Errorf(c.ID+": "+format, arguments...)
	}
	var got, want []string
	for _, s := range r.Earned {
		games := strconv.Itoa(s.Games)
		if s.Ruling {
			games = "until ruled"
		}
		got = append(got, s.Who+" "+games)
	}
	for _, e := range c.Expect.Earned {
		games := "until ruled"
		if e.Games != nil {
			games = strconv.Itoa(*e.Games)
		}
		want = append(want, e.Who+" "+games)
	}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		fail("earned %v, want %v", got, want)
	}
	for _, p := range c.People {
		out, listed := c.Expect.Out[p.ID]
		if (listed || len(c.Expect.Free) > 0) && !slices.Equal(r.Misses[p.ID], out) {
			fail("%s misses %v, want %v", p.ID, r.Misses[p.ID], out)
		}
		for _, free := range c.Expect.Free[p.ID] {
			if slices.Contains(r.Misses[p.ID], free) {
				fail("%s may play %s", p.ID, free)
			}
		}
	}
	return good
}
