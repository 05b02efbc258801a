package season_test

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/api/season"
	"whistlestop/internal/bench"
	"whistlestop/internal/intake"
	"whistlestop/internal/store/memory"
)

// shelf is files in memory; full says that the disk takes nothing.
type shelf struct {
	league, schedule, decisions, handed []byte
	before                              []byte // the schedule of the season before
	decisionsBefore                     []byte
	full                                bool
}

var errFull = errors.New("no space left on device")

func (f *shelf) League() ([]byte, error)    { return f.league, nil }
func (f *shelf) Schedule() ([]byte, error)  { return f.schedule, nil }
func (f *shelf) Decisions() ([]byte, error) { return f.decisions, nil }

func (f *shelf) HandedIn() ([]byte, error) { return f.handed, nil }

func (f *shelf) KeepHandedIn(text []byte) error {
	if f.full {
		return errFull
	}
	f.handed = text
	return nil
}

func (f *shelf) KeepDecisions(text []byte) error {
	if f.full {
		return errFull
	}
	f.decisions = text
	return nil
}

func (f *shelf) KeepLeague(text []byte) error {
	if f.full {
		return errFull
	}
	f.league = text
	return nil
}

func (f *shelf) KeepScheduleBefore(text []byte) error {
	if f.full {
		return errFull
	}
	f.before = text
	return nil
}

func (f *shelf) KeepDecisionsBefore(text []byte) error {
	if f.full {
		return errFull
	}
	f.decisionsBefore = text
	return nil
}

func (f *shelf) KeepSchedule(text []byte) error {
	if f.full {
		return errFull
	}
	f.schedule = text
	return nil
}

// plain shows a sentence by its key.
type plain struct{}

func (plain) Text(key string, args rules.Args) string {
	return key + args.Get("home") + args.Get("league") + args.Get("who")
}

func (plain) Language() string { return "en" }

// office is a bench with a season, asked as the shells ask it.
type office struct {
	t     *testing.T
	kept  *shelf
	live  *bench.Bench
	s     *season.Service
	now   entry.Millis
	guest bool
	teams []entry.Team
	count int    // entries posted
	last  string // the newest that is no edit
}

func newOffice(t *testing.T) *office {
	quiet := slog.New(slog.DiscardHandler)
	o := &office{t: t, kept: &shelf{}, now: entry.Millis(time.Date(2026, 11, 28, 23, 30, 0, 0, time.UTC).UnixMilli())}
	o.live = bench.New(memory.New(), bench.SteadyClock(), bench.ULIDs(), quiet)
	t.Cleanup(o.live.Close)
	o.s = &season.Service{ReadGames: intake.Schedule, Kept: o.kept, Live: o.live, Logger: quiet, Teams: func() ([]entry.Team, error) { return o.teams, nil },
		KeepTeam: func(team entry.Team) error {
			o.teams = append(slices.DeleteFunc(o.teams, func(one entry.Team) bool { return one.Name == team.Name }), team)
			return nil
		}}
	return o
}

// ask asks an operation of the table, and returns why it was refused by the key.
func (o *office) ask(method, path, body string, into any) (no string) {
	o.t.Helper()
	address, query, _ := strings.Cut(path, "?")
	for _, op := range o.s.Operations() {
		part, fits := op.Fits(address)
		if op.Method != method || !fits {
			continue
		}
		c := &api.Call{
			Context: context.Background(), Caller: api.Caller{Here: !o.guest}, Common: &api.Common{Live: o.live}, Words: plain{}, Now: o.now,
			Part: part, Body: func() ([]byte, error) { return []byte(body), nil },
			Query: func(name string) string {
				for _, pair := range strings.Split(query, "&") {
					if key, value, _ := strings.Cut(pair, "="); key == name {
						return value
					}
				}
				return ""
			},
		}
		if err := op.Admit(c); err != nil {
			return keyOf(o.t, err)
		}
		_, file, err := op.Run(c)
		if err != nil {
			return keyOf(o.t, err)
		}
		if text, is := into.(*string); is {
			*text = string(file.Raw)
		} else if err := json.Unmarshal(file.Raw, into); err != nil {
			o.t.Fatalf("%s %s: %v: %s", method, path, err, file.Raw)
		}
		return ""
	}
	o.t.Fatalf("%s %s is not in the table", method, path)
	return ""
}

func keyOf(t *testing.T, err error) string {
	t.Helper()
	var no *api.No
	if !errors.As(err, &no) {
		t.Fatal(err)
	}
	return no.Say.Key
}

type findings []struct {
	Line    int
	Mistake bool
	Text    string
	Table   string
	At      int
	Key     string
}

type leagueFile struct {
	Text, Mark string
	Kept       bool
	Findings   findings
}

type plan struct {
	Games []struct {
		ID, Division, Home, Visitors, State, Game string
		Place                                     *struct {
			Rink, Day, Start string
			Sheet, Minutes   int
		}
		Was []struct{ State, Why string }
	}
	Mark, Today string
}

type changed struct {
	Game    struct{ State string }
	Touches []struct {
		Kind  string
		Hard  bool
		Games []string
	}
	Done bool
	Mark string
}

func harbour(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// put puts a league file in.
func (o *office) put(text string) (out leagueFile, no string) {
	o.t.Helper()
	raw, err := json.Marshal(map[string]any{"text": text})
	if err != nil {
		o.t.Fatal(err)
	}
	no = o.ask("PUT", "/api/season/league", string(raw), &out)
	return out, no
}

// seasoned is an office with the invented league and a schedule.
func seasoned(t *testing.T) *office {
	t.Helper()
	o := newOffice(t)
	if out, no := o.put(harbour(t)); no != "" || !out.Kept {
		t.Fatalf("%+v, %s", out, no)
	}
	var made struct {
		Kept  bool
		Games int
	}
	if no := o.ask("POST", "/api/season/schedule", `{"seed":3}`, &made); no != "" || !made.Kept || made.Games == 0 {
		t.Fatalf("%+v, %s", made, no)
	}
	return o
}

func (o *office) plan(query string) (p plan) {
	o.t.Helper()
	if no := o.ask("GET", "/api/season/schedule"+query, "", &p); no != "" {
		o.t.Fatal(no)
	}
	return p
}

func TestAWrongLeagueFileIsNotKept(t *testing.T) {
	o := newOffice(t)
	good := harbour(t)
	wrong := strings.Replace(good, `every = "saturday"`, `every = "caturday"`, 1)
	out, no := o.put(wrong)
	if no != "" || out.Kept || len(out.Findings) != 1 || !out.Findings[0].Mistake || out.Findings[0].Line != 1+strings.Count(wrong[:strings.Index(wrong, "caturday")], "\n") {
		t.Errorf("%+v, %s", out, no)
	}
	if o.kept.league != nil {
		t.Errorf("%s was kept", o.kept.league)
	}
	if out, no = o.put(strings.Replace(good, "Europe/Oslo", "Europe/Saltworks", 1)); no != "" || out.Kept || o.kept.league != nil {
		t.Errorf("a zone that is none: %+v, %s", out, no)
	}
	o.kept.full = true
	if _, no := o.put(good); no != "season.not_kept" {
		t.Errorf("a full disk: %s", no)
	}
}

// A league file that the schedule would not fit is refused while both stay whole,
// and so is one that was made from another version of the file.
func TestALeagueFileAndItsScheduleStayTogether(t *testing.T) {
	o := seasoned(t)
	before, games := string(o.kept.league), string(o.kept.schedule)
	out, no := o.put(strings.ReplaceAll(harbour(t), "kelp-bay-u14", "kelp-cove-u14"))
	if no != "" || out.Kept || len(out.Findings) == 0 || out.Findings[0].Text != "season.schedule_unfit" {
		t.Errorf("%+v, %s", out, no)
	}
	if string(o.kept.league) != before || string(o.kept.schedule) != games {
		t.Error("something was kept")
	}
	if no := o.ask("PUT", "/api/season/league", `{"text":"","saw":"0123"}`, &out); no != "season.league_changed" {
		t.Error(no)
	}
	if no := o.ask("POST", "/api/season/schedule", `{"seed":4}`, &out); no != "season.schedule_there" || string(o.kept.schedule) != games {
		t.Errorf("another schedule took its place: %s", no)
	}
	var kept struct {
		Kept     bool
		Findings findings
	}
	if no := o.ask("PUT", "/api/season/schedule", `{"version":1`, &kept); no != "" || kept.Kept || len(kept.Findings) != 1 || string(o.kept.schedule) != games {
		t.Errorf("half a schedule: %+v, %s", kept, no)
	}
	if no := o.ask("PUT", "/api/season/schedule", games, &kept); no != "" || !kept.Kept {
		t.Errorf("the schedule itself: %+v, %s", kept, no)
	}
}

// The day is that of the rinks: half past eleven in the evening in Greenwich is the
// next day there.
func TestTheRinksDay(t *testing.T) {
	o := seasoned(t)
	all := o.plan("")
	if all.Today != "2026-11-29" {
		t.Errorf("today is %s", all.Today)
	}
	for _, g := range o.plan("?day=today").Games {
		if g.Place == nil || g.Place.Day != "2026-11-29" {
			t.Errorf("%+v is not today", g)
		}
	}
	ours := 0
	for _, g := range all.Games {
		if g.Home == "kelp-bay-u14" || g.Visitors == "kelp-bay-u14" {
			ours++
		}
	}
	if got := len(o.plan("?team=kelp-bay-u14").Games); ours == 0 || got != ours {
		t.Errorf("%d games of a team, want %d", got, ours)
	}
}

// Before a change is made it says what it touches; one that breaks a rule is made
// only where somebody says so, and one that was made from an older schedule never.
func TestAChangeSaysWhatItTouches(t *testing.T) {
	o := seasoned(t)
	all := o.plan("")
	one, other := all.Games[0], all.Games[1]
	ask := func(more string) (out changed, no string) {
		body := `{"state":"scheduled","why":"heating","saw":"` + all.Mark + `","place":{"rink":"` + other.Place.Rink + `","sheet":` +
			string(rune('0'+other.Place.Sheet)) + `,"day":"` + other.Place.Day + `","start":"` + other.Place.Start + `","minutes":90}` + more + `}`
		no = o.ask("POST", "/api/season/schedule/"+one.ID, body, &out)
		return out, no
	}
	before := string(o.kept.schedule)
	out, no := ask("")
	same := false
	for _, touch := range out.Touches {
		same = same || touch.Kind == "same_ice" && touch.Hard
	}
	if no != "" || out.Done || !same || string(o.kept.schedule) != before {
		t.Errorf("%+v, %s", out, no)
	}
	if _, no = ask(`,"act":true`); no != "season.clashes" || string(o.kept.schedule) != before {
		t.Errorf("what breaks a rule was answered with %q", no)
	}
	if out, no = ask(`,"act":true,"anyway":true`); no != "" || !out.Done || out.Mark == all.Mark {
		t.Errorf("%+v, %s", out, no)
	}
	if got := o.plan("").Games[0]; got.Place.Start != other.Place.Start || len(got.Was) != 1 || got.Was[0].Why != "heating" {
		t.Errorf("%+v", got)
	}
	if _, no = ask(`,"act":true,"anyway":true`); no != "season.schedule_changed" {
		t.Errorf("an older schedule was answered with %q", no)
	}
	all = o.plan("")
	for _, wrong := range []struct{ body, no string }{
		{`{"state":"lost","why":"x","saw":"` + all.Mark + `"}`, "season.no_state"},
		{`{"state":"postponed","why":"","saw":"` + all.Mark + `"}`, "season.refused"},
		{`{"state":"scheduled","why":"x","saw":"` + all.Mark + `","place":{"rink":"no","sheet":1,"day":"2026-11-29","start":"10:00","minutes":60}}`, "season.no_rink"},
		{`{"state":"scheduled","why":"x","saw":"` + all.Mark + `","place":{"rink":"saltworks","sheet":1,"day":"Sunday","start":"10:00","minutes":60}}`, "season.refused"},
		{`{"state":"scheduled","why":"x","saw":"` + all.Mark + `","place":{"rink":"saltworks","sheet":1,"day":"2026-11-29","start":"ten","minutes":60}}`, "season.no_start"},
		{`{"state":"scheduled","why":"x","saw":"` + all.Mark + `","place":{"rink":"saltworks","sheet":1,"day":"2026-11-29","start":"10:00","minutes":0}}`, "season.no_minutes"},
	} {
		if no := o.ask("POST", "/api/season/schedule/"+one.ID, wrong.body, &out); no != wrong.no {
			t.Errorf("%s: %q, want %q", wrong.body, no, wrong.no)
		}
	}
	if no := o.ask("POST", "/api/season/schedule/u99-001", `{"state":"postponed","why":"x","saw":"`+all.Mark+`"}`, &out); no != "season.no_game" {
		t.Error(no)
	}
}

// Whoever follows a calendar learns that a game was called off, and guests get it.
func TestCalendars(t *testing.T) {
	o := seasoned(t)
	all := o.plan("?team=millrace-u14")
	var out changed
	if no := o.ask("POST", "/api/season/schedule/"+all.Games[0].ID, `{"state":"cancelled","why":"no referee","act":true,"saw":"`+all.Mark+`"}`, &out); no != "" {
		t.Fatal(no)
	}
	o.guest = true
	var text string
	if no := o.ask("GET", "/api/season/calendar.ics?team=millrace-u14", "", &text); no != "" {
		t.Fatal(no)
	}
	if n := strings.Count(text, "BEGIN:VEVENT"); n != len(all.Games) || strings.Count(text, "STATUS:CANCELLED") != 1 || !strings.Contains(text, "no referee") || !strings.Contains(text, "SEQUENCE:1") {
		t.Errorf("%d events:\n%s", n, text)
	}
	if no := o.ask("GET", "/api/season/calendar.ics?team=nobody", "", &text); no != "season.no_games" {
		t.Error(no)
	}
	for _, path := range []string{"/api/season/league", "/api/season/clashes"} {
		if no := o.ask("GET", path, "", &text); no != "web.bench_only" {
			t.Errorf("a guest gets %s: %q", path, no)
		}
	}
}

// What a person broke by hand is said, to the bench alone, and nothing is lost.
func TestFilesThatCannotBeUsedAreSaid(t *testing.T) {
	o := newOffice(t)
	var got struct {
		League  string
		Trouble string
	}
	if no := o.ask("GET", "/api/season", "", &got); no != "" || got.League != "" || got.Trouble != "" {
		t.Errorf("%+v, %s", got, no)
	}
	var list plan
	if no := o.ask("GET", "/api/season/schedule", "", &list); no != "season.no_league" {
		t.Error(no)
	}
	o.kept.league = []byte("name = 1")
	if no := o.ask("GET", "/api/season", "", &got); no != "" || got.Trouble == "" {
		t.Errorf("%+v, %s", got, no)
	}
	if no := o.ask("GET", "/api/season/schedule", "", &list); no != "season.bad_league" {
		t.Error(no)
	}
	o.kept.league, o.kept.schedule = []byte(harbour(t)), []byte("{}")
	if no := o.ask("GET", "/api/season/schedule", "", &list); no != "season.bad_schedule" {
		t.Error(no)
	}
	o.guest, got.Trouble = true, ""
	if no := o.ask("GET", "/api/season", "", &got); no != "" || got.Trouble != "" || got.League != "Harbour League" {
		t.Errorf("%+v, %s", got, no)
	}
}
