package rules_test

import (
	"bufio"
	"compress/gzip"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"

	"whistlestop/entry"
	"whistlestop/rulebook"
	"whistlestop/rules"
)

// The replay plays real games, given as anonymous facts, from their penalties
// and goals alone, and compares the class of every goal, and the skaters where
// the data has them. Source of the data: sportsdataverse/fastRhockey-pwhl-raw
// (MIT), a women's professional league, seasons 2023-24 and 2024-25. The folder
// can be set by WHISTLESTOP_PBP; games of other leagues in the same form are
// played under the code that their feed is known to follow.

type pbpGame struct {
	Game  string `json:"game"`
	Feed  string `json:"feed"`
	Type  string `json:"type"`
	Flag  any    `json:"flag"`
	Rules struct {
		Overtime       int  `json:"ot"`
		OvertimeLength int  `json:"ot_len"`
		ShortGoalFrees bool `json:"sh_goal_ends_minor"`
	} `json:"rules"`
	Events []pbpEvent `json:"events"`
}

type pbpEvent struct {
	Period   int    `json:"p"`
	Second   int    `json:"t"`
	Kind     string `json:"k"`
	Team     string `json:"team"`
	Who      string `json:"who"`
	Served   string `json:"served"`
	Minutes  int    `json:"min"`
	Severity string `json:"sev"`
	Keeper   bool   `json:"gk"`
	Class    string `json:"class"`
	EmptyNet bool   `json:"empty_net"`
	Sit      string `json:"sit"`
	Shot     bool   `json:"ps"`
	ShootOut bool   `json:"so"`
}

func pbpFolder() string {
	if folder := os.Getenv("WHISTLESTOP_PBP"); folder != "" {
		return folder
	}
	return "../../shared/data/pbp"
}

// readLines reads a gzipped JSON Lines file.
func readLines[T any](tb testing.TB, file string) []T {
	raw, err := os.Open(file)
	if err != nil {
		tb.Fatal(err)
	}
	defer raw.Close()
	unzipped, err := gzip.NewReader(raw)
	if err != nil {
		tb.Fatal(err)
	}
	var list []T
	lines := bufio.NewScanner(unzipped)
	lines.Buffer(nil, 1<<24)
	for lines.Scan() {
		var v T
		if err := json.Unmarshal(lines.Bytes(), &v); err != nil {
			tb.Fatalf("%s: %v", file, err)
		}
		list = append(list, v)
	}
	if err := lines.Err(); err != nil {
		tb.Fatalf("%s: %v", file, err)
	}
	return list
}

// pbpGames reads every season of the folder, or skips.
func pbpGames(tb testing.TB) []pbpGame {
	files, _ := filepath.Glob(filepath.Join(pbpFolder(), "*.jsonl.gz"))
	files = slices.DeleteFunc(files, func(f string) bool { return strings.HasPrefix(filepath.Base(f), "hard-") })
	if len(files) == 0 {
		tb.Skipf("SKIPPED: no open play-by-play in %s; set WHISTLESTOP_PBP to the folder that has it", pbpFolder())
	}
	var games []pbpGame
	for _, file := range files {
		games = append(games, readLines[pbpGame](tb, file)...)
	}
	return games
}

// pbpSide: the feeds call the visitors A, for away.
func pbpSide(team string) entry.Side {
	if team == "A" {
		return entry.Visitors
	}
	return entry.Home
}

// pbpJersey turns an id such as "H12" into a sweater; ids hold inside one game.
func pbpJersey(id string) entry.Jersey {
	if len(id) < 2 || id[0] != 'H' && id[0] != 'A' {
		return ""
	}
	return entry.Jersey(id[1:])
}

// pbpCode returns the code that a feed follows where the two bodies differ.
func pbpCode(feed string) string {
	if feed == "W" || feed == "I" {
		return "iihf"
	}
	return "nhl"
}

func (p pbpGame) ledger(tb testing.TB) *game {
	code, _ := rulebook.CodeByID(pbpCode(p.Feed))
	overtime := p.Rules.OvertimeLength
	if overtime == 0 {
		overtime = 300
	}
	d := rulebook.Division{
		ID: "open-data", Name: "Open data", Code: code.ID, Skaters: 5, Lengths: code.Lengths,
		Periods:        []entry.Millis{entry.Clock(20, 0), entry.Clock(20, 0), entry.Clock(20, 0)},
		Intermissions:  []entry.Millis{entry.Clock(15, 0), entry.Clock(15, 0)},
		Overtime:       overtimeOf(entry.Millis(overtime)*1000, max(3, p.Rules.Overtime), true),
		ShortGoalFrees: p.Rules.ShortGoalFrees,
	}
	g := openGame(tb, d)
	begun := 0
	for _, e := range p.Events {
		if e.Kind == "so" || e.ShootOut || e.Kind == "pshot" {
			continue
		}
		for begun < e.Period {
			begun++
			g.begin(begun)
		}
		at := entry.At{Period: e.Period, Elapsed: entry.Millis(e.Second) * 1000}
		switch e.Kind {
		case "fo":
			g.post(at, entry.ClockStopped{Elapsed: at.Elapsed})
		case "goal":
			goal := entry.Goal{Side: pbpSide(e.Team), EmptyNet: e.EmptyNet}
			if e.Shot {
				goal.On = entry.OnPenaltyShot
			}
			g.post(at, goal)
		case "penalty":
			if penalty, ok := e.penalty(); ok {
				g.post(at, penalty)
			}
		}
	}
	return g
}

// penalty turns a logged penalty into a call. Consecutive lines for one player
// at one second become one row in the fold by themselves.
func (e pbpEvent) penalty() (entry.Penalty, bool) {
	p := entry.Penalty{
		Side: pbpSide(e.Team), Player: pbpJersey(e.Who), ServedBy: pbpJersey(e.Served), Call: "other",
	}
	if p.Player == "" {
		p.Bench = true
	}
	if p.ServedBy == p.Player {
		p.ServedBy = ""
	}
	minor := entry.Minor
	if p.Bench {
		minor = entry.BenchMinor
	}
	switch e.Severity {
	case "minor", "bench_minor":
		p.Parts = []entry.Part{minor}
		if e.Minutes == 4 {
			p.Parts = []entry.Part{minor, minor}
		}
	case "double_minor":
		p.Parts = []entry.Part{minor, minor}
	case "major":
		p.Parts = []entry.Part{entry.Major}
	case "match":
		p.Parts = []entry.Part{entry.Match}
	case "misconduct":
		p.Parts = []entry.Part{entry.Misconduct}
	case "game_misconduct":
		p.Parts = []entry.Part{entry.GameMisconduct}
	case "penalty_shot":
		p.Parts = []entry.Part{entry.PenaltyShot}
	default:
		return p, false
	}
	return p, true
}

// skatersOf reads a situation code: visiting goalkeeper, visiting skaters, home
// skaters, home goalkeeper. An extra attacker for the goalkeeper is not counted.
func skatersOf(code string) (n [2]int, ok bool) {
	if len(code) != 4 {
		return n, false
	}
	visitors, home := int(code[1]-'0'), int(code[2]-'0')
	if code[0] == '0' {
		visitors--
	}
	if code[3] == '0' {
		home--
	}
	return [2]int{home, visitors}, true
}

var pbpClass = map[string]rules.Class{
	"EV": rules.EvenStrength, "PP": rules.PowerPlay, "SH": rules.ShortHanded,
}

func TestReplayOfOpenData(t *testing.T) {
	type hard struct {
		Game   string `json:"game"`
		Period int    `json:"p"`
		Second int    `json:"t"`
		Team   string `json:"team"`
	}
	games := pbpGames(t)
	isHard := map[hard]bool{}
	if file := filepath.Join(pbpFolder(), "hard-goals.jsonl.gz"); exists(file) {
		for _, h := range readLines[hard](t, file) {
			isHard[h] = true
		}
	}
	var goals, right, hards, hardRight, sits, sitRight int
	var wrong []string
	for _, p := range games {
		state, err := rules.Fold(p.ledger(t).ledger)
		if err != nil {
			t.Fatalf("%s: %v", p.Game, err)
		}
		got := state.Goals
		for _, e := range p.Events {
			if e.Kind != "goal" || e.ShootOut {
				continue
			}
			g := got[0]
			got = got[1:]
			goals++
			match := pbpClass[e.Class] == g.Class
			if match {
				right++
			} else {
				wrong = append(wrong, describe(p, e, g))
			}
			if isHard[hard{p.Game, e.Period, e.Second, e.Team}] {
				hards++
				if match {
					hardRight++
				}
			}
			if want, ok := skatersOf(e.Sit); ok {
				sits++
				if want == g.Skaters {
					sitRight++
				} else if match {
					wrong = append(wrong, describe(p, e, g))
				}
			}
		}
	}
	sort.Strings(wrong)
	for _, w := range wrong {
		t.Log(w)
	}
	t.Logf("goals reproduced: %d of %d", right, goals)
	t.Logf("strength reproduced: %d of %d", sitRight, sits)
	t.Logf("hard goals reproduced: %d of %d", hardRight, hards)
	if goals == 0 || float64(right) < 0.99*float64(goals) {
		t.Errorf("only %d of %d goals have the class that the league gave them", right, goals)
	}
}

func exists(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}

func describe(p pbpGame, e pbpEvent, g rules.Goal) string {
	return p.Game + " period " + string(rune('0'+e.Period)) + " " + (entry.Millis(e.Second) * 1000).String() + " " +
		e.Team + ": the league says " + e.Class + " " + e.Sit + ", the fold " + string(g.Class) + " " +
		string(rune('0'+g.Skaters[0])) + " against " + string(rune('0'+g.Skaters[1]))
}
