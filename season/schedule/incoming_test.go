package schedule_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/dates"
	"whistlestop/season/calendar"
	"whistlestop/season/schedule"
)

func table(text string) (rows [][]string) {
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		rows = append(rows, strings.Split(line, "|"))
	}
	return rows
}

func keys(findings []schedule.Finding) (list []string) {
	for _, f := range findings {
		list = append(list, f.Say.Key)
	}
	return list
}

// Days in the usual spellings; one that could be two days is refused.
func TestDaysAndTimesAsPeopleWriteThem(t *testing.T) {
	l := harbour(t)
	want, _ := dates.Parse("2026-11-28")
	for _, c := range []struct{ day, start, fault string }{
		{"2026-11-28", "18:30", ""}, {"28.11.2026", "18.30", ""}, {"28/11/2026", "6:30 pm", ""}, {"11/28/2026", "6:30PM", ""},
		{"Sat 28 Nov 2026", "18:30:00", ""}, {"November 28th, 2026", "6:30 p.m.", ""}, {"2026/11/28", "18:30", ""},
		{"03/04/2026", "18:30", "incoming.day_two_ways"}, {"28.11.26", "18:30", "incoming.day_year"}, {"31.11.2026", "18:30", "incoming.day"},
		{"next Saturday", "18:30", "incoming.day"}, {"2026-11-28", "half past six", "incoming.time"}, {"2026-11-28", "25:00", "incoming.time"},
		{"2026-11-28", "13:00 pm", "incoming.time"}, {"2026-11-28", "1830", "incoming.time"},
	} {
		rows, findings := schedule.FromTable(l, [][]string{{"Home team", "Away", "Date", "Time", "Venue", "Ice"}, {"Kelp Bay", "Millrace", c.day, c.start, "saltworks arena", "2"}})
		if c.fault != "" {
			if !slices.Equal(keys(findings), []string{c.fault}) || len(rows) != 0 {
				t.Errorf("%s %s: %v %v", c.day, c.start, rows, keys(findings))
			}
			continue
		}
		if len(rows) != 1 || len(findings) != 0 || rows[0].Place.Day != want || rows[0].Place.Start != 18*60+30 || rows[0].Place.Rink != "saltworks" || rows[0].Place.Sheet != 2 {
			t.Errorf("%s %s: %+v %v", c.day, c.start, rows, findings)
		}
	}
}

// A schedule that is read again: a game keeps who it is, what differs is a change, a
// new game counts as added, and what the file does not have stays.
func TestReadAgainIsAChange(t *testing.T) {
	l := harbour(t)
	rows, findings := schedule.FromTable(l, table(`
No|Division|Home|Visitors|Date|Start|Rink|Luck
u14-001|Under 14|Kelp Bay|Millrace|2026-11-28|10:00|Saltworks Arena, sheet 1|x
u14-002|u14|Northmole|Lanternside|2026-11-29|10:30|Ropewalk Rink|
|Under 14|Northmole|Nobody|2026-11-29|10:30|Ropewalk Rink|
||Northmole|Millrace|2026-11-29|10:30|Ropewalk Rink|
`))
	if !slices.Equal(keys(findings), []string{"incoming.column"}) {
		t.Fatalf("%v", findings)
	}
	first, findings := schedule.Update(l, nil, rows, "made", nil)
	if !slices.Equal(keys(findings), []string{"incoming.teams", "incoming.which_division"}) || len(first) != 2 || first[0].ID != "u14-001" || first[0].Place.Minutes != 75 {
		t.Fatalf("%+v %v", first, findings)
	}
	rows, _ = schedule.FromTable(l, table(`
Game number|Division|Home|Visitors|Date|Start|Rink|Status
U14-001|Under 14|Kelp Bay|Millrace|2026-12-05|10:00|Saltworks Arena, sheet 1|
|Under 14|Millrace|Kelp Bay|2026-12-12|10:00|Saltworks Arena|confirmed
u14-001|Under 14|Kelp Bay|Millrace|2026-12-06|10:00|Saltworks Arena, sheet 1|
`))
	day := dates.Day(20000)
	again, findings := schedule.Update(l, first, rows, "read again", &day)
	if !slices.Equal(keys(findings), []string{"incoming.twice", "incoming.not_there"}) || len(again) != 3 {
		t.Fatalf("%+v %v", again, findings)
	}
	if g := again[0]; g.Sequence() != 1 || g.Was[0].Why != "read again" || g.Place.Day.String() != "2026-12-05" || g.State != schedule.Scheduled {
		t.Errorf("%+v", g)
	}
	if again[1].Sequence() != 0 || again[2].ID != "u14-003" || again[2].Added == nil {
		t.Errorf("%+v", again[1:])
	}
	text, err := schedule.Keep(l, again)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := schedule.Read(text, l); err != nil {
		t.Error(err)
	}
}

// A calendar's events are games by their UID.
func TestCalendarsAreSchedules(t *testing.T) {
	l := harbour(t)
	at := time.Date(2026, 11, 28, 10, 0, 0, 0, time.UTC)
	dayOf := func(e calendar.Found) (dates.Day, dates.Clock) {
		return dates.Day(e.Start.Unix() / 86400), dates.Clock(e.Start.Hour()*60 + e.Start.Minute())
	}
	event := func(uid, summary, location string, start time.Time, status calendar.Status) calendar.Found {
		return calendar.Found{Event: calendar.Event{UID: uid, Summary: summary, Location: location, Start: start, End: start.Add(75 * time.Minute), Status: status}, Line: 7}
	}
	rows, findings := schedule.FromCalendar(l, []calendar.Found{
		event("one", "Kelp Bay – Millrace (Under 14, u14-001)", "Saltworks Arena, sheet 2", at, calendar.Confirmed),
		event("two", "Millrace @ Northmole (Under 12)", "Ropewalk Rink", at, calendar.Confirmed),
		event("three", "Picnic", "Ropewalk Rink", at, calendar.Confirmed),
		event("four", "Kelp Bay vs Millrace (Under 14)", "the moon", at, calendar.Confirmed),
	}, dayOf)
	if !slices.Equal(keys(findings), []string{"incoming.summary", "incoming.rink"}) || len(rows) != 2 || rows[0].Place.Sheet != 2 {
		t.Fatalf("%+v %v", rows, findings)
	}
	games, findings := schedule.Update(l, nil, rows, "x", nil)
	if len(findings) != 0 || len(games) != 2 || games[1].Home != "northmole-u12" || games[1].UID != "two" {
		t.Fatalf("%+v %v", games, findings)
	}
	rows, _ = schedule.FromCalendar(l, []calendar.Found{
		event("two", "cancelled: Millrace @ Northmole (Under 12)", "Ropewalk Rink", at, calendar.Cancelled),
		event("one", "Kelp Bay – Millrace (Under 14, u14-001)", "Saltworks Arena, sheet 2", at.Add(time.Hour), calendar.Confirmed),
	}, dayOf)
	games, findings = schedule.Update(l, games, rows, "x", nil)
	if len(findings) != 0 || games[1].State != schedule.Cancelled || games[1].Place == nil || games[0].Place.Start != 11*60 || games[0].Sequence() != 1 {
		t.Errorf("%+v %v", games, findings)
	}
}

// Whatever a table has, the schedule that comes of it is one that can be kept and read.
func FuzzIncoming(f *testing.F) {
	l := harbour(f)
	f.Add("No|Division|Home|Visitors|Date|Start|Rink|Status|Minutes\nu14-001|Under 14|Kelp Bay|Millrace|2026-11-28|10:00|Saltworks Arena, sheet 1|cancelled|75")
	f.Add("Home|Away|Date|Time|Venue\nKelp Bay|Millrace|28.11.2026|6:30 pm|ropewalk")
	f.Fuzz(func(t *testing.T, text string) {
		rows, _ := schedule.FromTable(l, table(text))
		games, _ := schedule.Update(l, nil, rows, "x", nil)
		games, _ = schedule.Update(l, games, rows, "x", nil)
		kept, err := schedule.Keep(l, games)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := schedule.Read(kept, l); err != nil {
			t.Fatalf("%v\n%s", err, kept)
		}
	})
}
