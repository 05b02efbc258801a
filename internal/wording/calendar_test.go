package wording_test

import (
	"bytes"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/internal/locale"
	"whistlestop/internal/wording"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// event is what an independent parser reads of a game or a duty.
type event struct {
	sequence int
	status   string
	start    string
}

// feed reads a calendar with an independent parser (emersion/go-ical), and holds it
// against RFC 5545: lines of 75 octets at most that end in CR LF (3.1), one id for an
// event (3.8.4.7), a sequence (3.8.7.4), and the rules of the zone that its times name
// (3.6.5).
func feed(t *testing.T, c calendar.Calendar) map[string]event {
	t.Helper()
	text := calendar.Write(c)
	if !bytes.HasSuffix(text, []byte("\r\n")) || bytes.Count(text, []byte("\n")) != bytes.Count(text, []byte("\r\n")) {
		t.Error("a line does not end in CR LF")
	}
	for line := range strings.SplitSeq(string(text), "\r\n") {
		if len(line) > 75 {
			t.Errorf("a line of %d octets: %q", len(line), line)
		}
	}
	parsed, err := ical.NewDecoder(bytes.NewReader(text)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	zones := map[string]bool{}
	for _, child := range parsed.Children {
		if child.Name == ical.CompTimezone {
			zones[child.Props.Get("TZID").Value] = len(child.Children) > 0
		}
	}
	events := map[string]event{}
	for _, e := range parsed.Events() {
		uid, sequence, start := e.Props.Get("UID").Value, e.Props.Get("SEQUENCE"), e.Props.Get("DTSTART")
		number, err := strconv.Atoi(sequence.Value)
		if _, twice := events[uid]; err != nil || twice || len(uid) != 36 {
			t.Errorf("%s, sequence %s", uid, sequence.Value)
		}
		if zone := start.Params.Get("TZID"); zone != "Europe/Oslo" || !zones[zone] {
			t.Errorf("a start in %q, and the file knows %v", zone, zones)
		}
		status, err := e.Status()
		if err != nil {
			t.Error(err)
		}
		events[uid] = event{number, string(status), start.Value}
	}
	return events
}

func oslo(t *testing.T) *time.Location {
	zone, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Skip("no zones here: ", err)
	}
	return zone
}

// The calendars of the league, a team and a rink: whoever follows one sees a game that
// moved, was put off or called off as the same game with a higher number, and every other
// as it was.
func TestCalendarsOfASeason(t *testing.T) {
	zone := oslo(t)
	text, err := os.ReadFile("../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	say := wording.Season{Words: locale.English(), League: l}
	read := func(games []schedule.Game, team, rink string) map[string]event {
		t.Helper()
		return feed(t, say.Calendar(schedule.Of(games, team, rink), zone, time.Date(2026, 9, 1, 12, 0, 0, 0, time.UTC), l.TeamName(team), l.RinkName(rink)))
	}
	one := plan.Games[0]
	for _, of := range [][2]string{{}, {one.Home, ""}, {one.Visitors, ""}, {"", one.Place.Rink}} {
		before := read(plan.Games, of[0], of[1])
		if len(before) == 0 || of == [2]string{} && len(before) != len(plan.Games) {
			t.Fatalf("%v: %d games", of, len(before))
		}
		at := calendar.UID(l.Name, l.Season, one.ID)
		if before[at] != (event{0, "CONFIRMED", before[at].start}) {
			t.Errorf("%v: %+v", of, before[at])
		}
		later := *one.Place
		later.Start += 30
		for _, step := range []struct {
			state  schedule.State
			place  *schedule.Place
			status string
			start  string
		}{
			{schedule.Scheduled, &later, "CONFIRMED", later.Start.String()},
			{schedule.ToBeConfirmed, &later, "TENTATIVE", later.Start.String()},
			{schedule.Postponed, nil, "CANCELLED", one.Place.Start.String()},
			{schedule.Cancelled, one.Place, "CANCELLED", one.Place.Start.String()},
		} {
			changed, err := one.Change(step.state, step.place, "heating")
			if err != nil {
				t.Fatal(err)
			}
			games := append([]schedule.Game{changed}, plan.Games[1:]...)
			after := read(games, of[0], of[1])
			want := event{1, step.status, strings.ReplaceAll(one.Place.Day.String(), "-", "") + "T" + strings.ReplaceAll(step.start, ":", "") + "00"}
			if after[at] != want {
				t.Errorf("%v, %s: %+v, want %+v", of, step.state, after[at], want)
			}
			delete(after, at)
			for uid, e := range after {
				if before[uid] != e {
					t.Errorf("%v, %s: another game is %+v and was %+v", of, step.state, e, before[uid])
				}
			}
			if len(after) != len(before)-1 {
				t.Errorf("%v, %s: %d games, and %d before", of, step.state, len(after)+1, len(before))
			}
		}
	}
}

// The calendar of an official of the bench: a duty keeps its id as long as it is theirs;
// each thing that happens to it raises the number; one that is no longer theirs is
// cancelled and does not vanish.
func TestTheCalendarOfAnOfficial(t *testing.T) {
	zone := oslo(t)
	d := atDesk(t, seating.Rules{})
	read := func(person int) (event, int) {
		t.Helper()
		for _, e := range feed(t, wording.OfDesk(locale.English(), d).Calendar(person, zone)) {
			return e, 1
		}
		return event{}, 0
	}
	const at = "20261004T094500"
	first, n := read(0)
	if n != 1 || first != (event{first.sequence, "TENTATIVE", at}) {
		t.Fatalf("%+v", first)
	}
	d.Sent(d.Due())
	asked, _ := read(0)
	if asked.sequence <= first.sequence || asked.status != "TENTATIVE" {
		t.Errorf("asked: %+v after %+v", asked, first)
	}
	d.Take(d.Log.Code(d.Duties[0], duties.SayYes))
	yes, _ := read(0)
	if yes.sequence <= asked.sequence || yes.status != "CONFIRMED" {
		t.Errorf("accepted: %+v after %+v", yes, asked)
	}
	// Somebody else has the duty.
	d.Duties[0].Who, d.Who[0] = duties.Who{}, rota.Nobody
	d.Sent(d.Due())
	off, n := read(0)
	if n != 1 || off.sequence <= yes.sequence || off.status != "CANCELLED" || off.start != at {
		t.Errorf("released: %d, %+v after %+v", n, off, yes)
	}
	d.Plan.People = append(d.Plan.People, people.Person{Name: "Ida Vik", Family: "Vik"})
	if _, n := read(1); n != 0 {
		t.Error("somebody without a duty has one in the calendar")
	}
}
