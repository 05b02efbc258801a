package rules_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/openplay"
)

// The worked checks are published examples of the rule books and cases that a
// book's words settle, one JSON file for each book and table; each names its
// source. Their form is described in testdata/checks/FORMAT.md. The folder can
// be set by WHISTLESTOP_CHECKS.

type check struct {
	ID       string       `json:"id"`
	Source   string       `json:"source"`
	Rules    string       `json:"rules"`
	Title    string       `json:"title"`
	AgeClass string       `json:"age_class"`
	PeriodS  int          `json:"period_s"`
	Period   any          `json:"period"`
	Prior    []checkEvent `json:"prior_period_3"`
	Events   []checkEvent `json:"events"`
	Expect   []struct {
		At          string         `json:"at"`
		Period      any            `json:"period"`
		Returns     *[]string      `json:"returns"`
		Strength    map[string]int `json:"strength"`
		OnClock     *[]string      `json:"on_clock"`
		Substituted *[]string      `json:"substituted"`
		Cancelled   *[]string      `json:"cancelled"`
		Choice      []string       `json:"choice"`
		Starts      []string       `json:"starts"`
		Release     string         `json:"release"`
		When        string         `json:"when"`
	} `json:"expect"`
}

type checkEvent struct {
	At          string            `json:"at"`
	Kind        string            `json:"kind"`
	Team        string            `json:"team"`
	Player      int               `json:"player"`
	Parts       []entry.Part      `json:"parts"`
	Minutes     []float64         `json:"minutes"`
	ServedBy    int               `json:"served_by"`
	SignalledAt string            `json:"signalled_at"`
	On          string            `json:"on"`
	OwnGoal     bool              `json:"own_goal"`
	Disallowed  bool              `json:"disallowed"`
	Period      any               `json:"period"`
	Skaters     int               `json:"skaters"`
	Carried     []string          `json:"carried"`
	Remaining   map[string]string `json:"remaining"`
}

const overtimePeriod = 4

// periodNumber reads a period as the files write it: a number, "OT", or nothing.
func periodNumber(v any, otherwise int) int {
	switch v := v.(type) {
	case float64:
		return int(v)
	case string:
		if strings.EqualFold(v, "ot") {
			return overtimePeriod
		}
		if n, err := strconv.Atoi(v); err == nil {
			return n
		}
	}
	return otherwise
}

func TestChecks(t *testing.T) {
	folder := os.Getenv("WHISTLESTOP_CHECKS")
	if folder == "" {
		folder = "testdata/checks"
	}
	folder = openplay.FromRoot(folder)
	files, err := filepath.Glob(filepath.Join(folder, "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no checks in %s: %v", folder, err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var checks []check
		if err := json.Unmarshal(raw, &checks); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			for _, c := range checks {
				t.Run(c.ID, func(t *testing.T) { c.run(t) })
			}
		})
	}
}

// code returns the code that a check is about.
func (c check) code(t *testing.T) *rulebook.Code {
	id := map[string]string{
		"iihf": "iihf", "iihf-2017": "iihf-2017", "nhl": "nhl", "usah": "usah-youth", "hc": "hockey-canada",
		"nfhs": "nfhs",
	}[c.Rules]
	if c.Rules == "usah" && c.AgeClass == "adult" {
		id = "usah-adult"
	}
	code, ok := rulebook.CodeByID(id)
	if !ok {
		t.Fatalf("no code for %q", c.Rules)
	}
	return code
}

// tape builds a ledger.
type tape struct {
	t       *testing.T
	entries []entry.Entry
	periodS int
}

func (l *tape) add(at entry.At, body entry.Body) string {
	id := fmt.Sprintf("01TEST%020d", len(l.entries)+1)
	l.entries = append(l.entries, entry.Entry{
		ID: id, Game: "g", Seq: len(l.entries) + 1, At: at, Seat: entry.Solo, Body: body,
	})
	return id
}

func mustClock(t *testing.T, s string) entry.Millis {
	m, err := entry.ParseClock(s)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func sideOf(team string) entry.Side {
	if team == "B" {
		return entry.Visitors
	}
	return entry.Home
}

func jersey(n int) entry.Jersey {
	if n == 0 {
		return ""
	}
	return entry.Jersey(strconv.Itoa(n))
}

func (l *tape) penalty(e checkEvent, at entry.At) {
	p := entry.Penalty{
		Side: sideOf(e.Team), Player: jersey(e.Player), Parts: e.Parts, ServedBy: jersey(e.ServedBy),
		Signalled: e.SignalledAt != "", Call: "other",
	}
	if e.Player == 0 {
		p.Bench = true
	}
	if slices.Contains(e.Parts, entry.BenchMinor) && e.Player != 0 {
		p.Bench, p.Player, p.ServedBy = true, "", jersey(e.Player)
	}
	for _, m := range e.Minutes {
		p.Lengths = append(p.Lengths, entry.Millis(m*60_000))
	}
	l.add(at, p)
}

// ledger turns a check into a game.
func (c check) ledger(t *testing.T) *tape {
	code := c.code(t)
	period := entry.Millis(c.PeriodS) * 1000
	regular := period
	d := rulebook.Division{
		ID: "check", Name: "check", Code: code.ID, Skaters: 5, Lengths: code.Lengths,
		Intermissions: []entry.Millis{60_000, 60_000},
	}
	overtime := false
	for _, e := range c.Events {
		if e.Kind == "period_start" && periodNumber(e.Period, 0) == overtimePeriod {
			overtime = true
			regular = entry.Clock(20, 0)
			d.Overtime = overtimeOf(period, e.Skaters, false)
		}
	}
	d.Periods = []entry.Millis{regular, regular, regular}
	raw, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	opened := entry.GameOpened{Division: raw, Home: entry.Team{Name: "A"}, Visitors: entry.Team{Name: "B"}}
	for _, e := range c.Events {
		if c.goalkeeper(e) {
			team := &opened.Home
			if e.Team == "B" {
				team = &opened.Visitors
			}
			if !slices.ContainsFunc(team.Players, func(p entry.Player) bool { return p.Number == jersey(e.Player) }) {
				team.Players = append(team.Players, entry.Player{Number: jersey(e.Player), Goalkeeper: true})
			}
		}
	}
	l := &tape{t: t, periodS: c.PeriodS}
	l.add(entry.At{}, opened)
	for _, e := range c.Prior {
		l.penalty(e, entry.At{Period: 3, Elapsed: mustClock(t, e.At)})
	}
	now := periodNumber(c.Period, 1)
	for _, e := range c.Events {
		now = periodNumber(e.Period, now)
		at := entry.At{Period: now, Elapsed: mustClock(t, e.At)}
		switch e.Kind {
		case "period_start":
			if overtime && len(c.Prior) == 0 {
				l.carried(e, code, regular)
			}
			l.add(at, entry.StageBegun{Stage: stageOf(now), Length: lengthOf(d, now)})
		case "penalty":
			l.penalty(e, at)
		case "goal":
			if e.Disallowed {
				continue
			}
			l.add(at, entry.Goal{Side: sideOf(e.Team), Scorer: "90", On: entry.GoalOn(e.On), OwnGoal: e.OwnGoal})
		case "stoppage":
			l.add(at, entry.StageBegun{Stage: stageOf(now), Length: lengthOf(d, now)})
			l.add(at, entry.ClockStopped{Elapsed: at.Elapsed})
		default:
			t.Fatalf("unknown event %q", e.Kind)
		}
	}
	return l
}

func stageOf(period int) entry.Stage {
	if period >= overtimePeriod {
		return entry.Stage{Kind: entry.Overtime, Number: period - overtimePeriod + 1}
	}
	return entry.Stage{Kind: entry.Period, Number: period}
}

func lengthOf(d rulebook.Division, period int) entry.Millis {
	if period >= overtimePeriod {
		return d.Overtime.Periods[0].Length
	}
	return d.Periods[period-1]
}

// goalkeeper tells whether the player of an event keeps goal: the files say so
// in the title and use the numbers that goalkeepers wear.
func (c check) goalkeeper(e checkEvent) bool {
	says := strings.Contains(strings.ToLower(c.Title), "goalkeeper") || strings.Contains(c.ID, "-gk") ||
		strings.Contains(c.ID, "server-offends")
	return e.Kind == "penalty" && says && (e.Player == 1 || e.Player == 30 || e.Player == 31 || e.Player == 35)
}

// carried posts the penalties that a check carries into overtime in the third
// period, early enough to have the stated time left (1:00 where none is stated).
func (l *tape) carried(e checkEvent, code *rulebook.Code, period entry.Millis) {
	type one struct {
		event checkEvent
		at    entry.Millis
	}
	var list []one
	for _, text := range e.Carried {
		who, part, _ := strings.Cut(text, ":")
		number, err := strconv.Atoi(who[1:])
		if err != nil {
			l.t.Fatal(err)
		}
		length := code.Lengths.Minor
		if entry.Part(part) == entry.Major {
			length = code.Lengths.Major
		}
		left := entry.Clock(1, 0)
		if text, ok := e.Remaining[who]; ok {
			left = mustClock(l.t, text)
		}
		list = append(list, one{
			event: checkEvent{Team: who[:1], Player: number, Parts: []entry.Part{entry.Part(part)}},
			at:    period - length + left,
		})
	}
	for i, o := range list {
		// A pair at one stoppage would cancel; without stated times a second apart is as good.
		at := o.at
		if len(e.Remaining) == 0 {
			at += entry.Millis(i) * 1000
		}
		l.penalty(o.event, entry.At{Period: 3, Elapsed: at})
	}
}

func (c check) run(t *testing.T) {
	l := c.ledger(t)
	state, err := rules.Fold(l.entries)
	if err != nil {
		t.Fatal(err)
	}
	fail := func(format string, args ...any) {
		t.Helper()
		t.Errorf("%s\n%s\n"+format, append([]any{c.Title, c.Source}, args...)...)
	}
	period := periodNumber(c.Period, 1)
	for _, e := range c.Events {
		if e.Kind == "period_start" {
			period = periodNumber(e.Period, period)
		}
	}
	for _, want := range c.Expect {
		in := periodNumber(want.Period, period)
		abs := state.Periods[in-1].Abs + mustClock(t, want.At)
		if want.Strength != nil {
			got := skatersAt(state, abs)
			for team, n := range want.Strength {
				if got[sideOf(team).Index()] != n {
					fail("at %s %s plays with %d skaters, not %d", want.At, team, got[sideOf(team).Index()], n)
				}
			}
		}
		if want.Returns != nil {
			same(t, fail, want.At+" returns", *want.Returns, returnsAt(state, abs))
		}
		if want.OnClock != nil {
			same(t, fail, want.At+" on the clock", *want.OnClock, onClockAt(state, abs))
		}
		if want.Substituted != nil {
			same(t, fail, want.At+" substituted", *want.Substituted, c.substitutedAt(state, abs))
		}
		if want.Cancelled != nil {
			same(t, fail, want.At+" wiped out", *want.Cancelled, wipedAt(state, abs))
		}
		if want.Starts != nil {
			got := startsAt(state, abs)
			for _, s := range want.Starts {
				if !slices.Contains(got, s) {
					fail("at %s starts %v, without %s", want.At, got, s)
				}
			}
		}
		if want.Choice != nil && !asked(state, abs, want.Choice) {
			fail("at %s nobody is asked to choose among %v: %+v", want.At, want.Choice, state.Asked)
		}
		if want.Release != "" && !freeAt(state, abs, want.Release) {
			fail("at %s %s is not free to leave at the next whistle: %+v", want.At, want.Release, state.Releases)
		}
	}
}

func same(t *testing.T, fail func(string, ...any), what string, want, got []string) {
	t.Helper()
	want, got = slices.Clone(want), slices.Clone(got)
	slices.Sort(want)
	slices.Sort(got)
	got = slices.Compact(got)
	if !slices.Equal(want, got) {
		fail("%s: got %v, want %v", what, got, want)
	}
}

func letter(s entry.Side) string {
	if s == entry.Visitors {
		return "B"
	}
	return "A"
}

func number(j entry.Jersey) string {
	if j == "" {
		return "0"
	}
	return string(j)
}

func skatersAt(s rules.State, abs entry.Millis) (n [2]int) {
	for _, step := range s.Strength {
		if step.From.Abs <= abs {
			n = step.Skaters
		}
	}
	return n
}

func returnsAt(s rules.State, abs entry.Millis) []string {
	costs := map[string]bool{}
	for _, term := range s.Terms {
		costs[term.ID] = term.Costs
	}
	var out []string
	for _, r := range s.Releases {
		comesOut := r.Door == rules.AtEnd || r.Door == rules.AtWhistle && costs[r.Term]
		if r.Moment.Abs == abs && comesOut && r.Sits != "" {
			out = append(out, letter(r.Side)+string(r.Sits))
		}
	}
	return out
}

func onClockAt(s rules.State, abs entry.Millis) []string {
	var out []string
	for _, term := range s.Terms {
		if term.OnClock && term.Ended != rules.Wiped && term.Start.Abs <= abs && abs < term.End.Abs {
			out = append(out, letter(term.Side)+number(term.Player)+":"+string(term.Part))
		}
	}
	return out
}

// substitutedAt lists the players whose penalties were cancelled at a stoppage.
// Where none was, it lists those cancelled before and still serving: example G5
// of the IIHF's Table 14 is written down so, F14 the other way.
func (c check) substitutedAt(s rules.State, abs entry.Millis) []string {
	var fresh, serving []string
	for _, call := range s.Calls {
		for _, term := range s.Terms {
			if term.Entry != call.Entry || !term.Matched || term.Costs {
				continue
			}
			// Nobody takes an ejected goalkeeper's seat, so nobody is substituted for.
			if term.Ended == rules.NotServed && c.goalkeeper(checkEvent{Kind: "penalty", Player: atoi(term.Player)}) {
				continue
			}
			who := letter(term.Side) + number(term.Player)
			switch {
			case call.Moment.Abs == abs:
				fresh = append(fresh, who)
			case call.Moment.Abs < abs && abs < term.End.Abs:
				serving = append(serving, who)
			}
		}
	}
	if len(fresh) > 0 {
		return fresh
	}
	return serving
}

func atoi(j entry.Jersey) int {
	n, _ := strconv.Atoi(string(j))
	return n
}

func wipedAt(s rules.State, abs entry.Millis) []string {
	var out []string
	for _, term := range s.Terms {
		if term.Ended == rules.Wiped && term.Start.Abs == abs {
			out = append(out, letter(term.Side)+number(term.Player))
		}
	}
	return out
}

func startsAt(s rules.State, abs entry.Millis) []string {
	var out []string
	for _, term := range s.Terms {
		began := term.Start.Abs == abs || term.Resumed != nil && term.Resumed.Abs == abs
		if began && term.Ended != rules.Wiped && term.End.Abs > term.Start.Abs {
			out = append(out, letter(term.Side)+number(term.Player)+":"+string(term.Part))
		}
	}
	return out
}

func asked(s rules.State, abs entry.Millis, players []string) bool {
	for _, q := range s.Asked {
		var got []string
		for _, p := range q.Players {
			got = append(got, letter(q.Side)+number(p))
		}
		slices.Sort(got)
		want := slices.Clone(players)
		slices.Sort(want)
		if q.Moment.Abs == abs && slices.Equal(got, want) {
			return true
		}
	}
	return false
}

func freeAt(s rules.State, abs entry.Millis, who string) bool {
	return slices.ContainsFunc(s.Releases, func(r rules.Release) bool {
		return r.Moment.Abs == abs && r.Door == rules.NextWhistle && letter(r.Side)+string(r.Sits) == who
	})
}
