package calendar_test

import (
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"whistlestop/season/calendar"
)

func oslo(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

// What is written comes back: folded lines, escapes, the zone's own times, cancelled games.
func TestWhatIsWrittenComesBack(t *testing.T) {
	zone := oslo(t)
	events := []calendar.Event{
		{UID: "a", Sequence: 2, Start: time.Date(2026, 10, 24, 10, 0, 0, 0, zone), End: time.Date(2026, 10, 24, 11, 30, 0, 0, zone), Summary: "Kelp Bay – Lanternside; one, two \\ three, and a line that is folded because it has more than 75 octets: ÆØÅ", Location: "Saltworks Arena, sheet 2", Description: "first\nsecond", Status: calendar.Confirmed},
		{UID: "b", Start: time.Date(2026, 10, 25, 10, 0, 0, 0, zone), End: time.Date(2026, 10, 25, 11, 0, 0, 0, zone), Summary: "cancelled: x", Status: calendar.Cancelled},
	}
	text := calendar.Write(calendar.Calendar{Name: "x", Product: "y", Zone: zone, Stamp: time.Unix(0, 0), Events: events})
	// By the zone's own name, and by the rules in the file where nobody knows the name.
	for _, known := range []*time.Location{zone, time.UTC} {
		found, faults := calendar.Read(text, known)
		if len(faults) > 0 || len(found) != 2 {
			t.Fatalf("%v %v", found, faults)
		}
		for i, e := range found {
			if !e.Start.Equal(events[i].Start) || !e.End.Equal(events[i].End) || e.Summary != events[i].Summary || e.Status != events[i].Status ||
				e.Location != events[i].Location || e.Description != events[i].Description || e.Sequence != events[i].Sequence {
				t.Errorf("%+v, want %+v", e, events[i])
			}
		}
	}
}

// What stands in other people's files: yearly rules, DURATION, a character folded in the
// middle; and what cannot be a game's time, by line.
func TestOtherPeoplesCalendars(t *testing.T) {
	text := strings.ReplaceAll("BEGIN:VCALENDAR\nBEGIN:VTIMEZONE\nTZID:Eastern\nBEGIN:DAYLIGHT\nDTSTART:20070311T020000\nRRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU\nTZOFFSETFROM:-0500\nTZOFFSETTO:-0400\nEND:DAYLIGHT\n"+
		"BEGIN:STANDARD\nDTSTART:20071104T020000\nRRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=1SU\nTZOFFSETFROM:-0400\nTZOFFSETTO:-0500\nEND:STANDARD\nEND:VTIMEZONE\n"+
		"BEGIN:VEVENT\nUID:1\nDTSTART;TZID=Eastern:20261031T100000\nDURATION:PT1H15M\nSUMMARY:A\nBEGIN:VALARM\nSUMMARY:not this\nEND:VALARM\nEND:VEVENT\n"+
		"BEGIN:VEVENT\nUID:2\nDTSTART;TZID=Eastern:20261101T100000\nDURATION:PT1H\nSUMMARY:\xc3\n \x86\nEND:VEVENT\n"+
		"BEGIN:VEVENT\nUID:3\nDTSTART;VALUE=DATE:20261101\nEND:VEVENT\nBEGIN:VEVENT\nUID:4\nDTSTART;TZID=Moon:20261101T100000\nEND:VEVENT\n"+
		"BEGIN:VEVENT\nUID:5\nDTSTART:20270328T023000\nEND:VEVENT\nBEGIN:VEVENT\nDTSTART:20261101T100000Z\nEND:VEVENT\n"+
		"BEGIN:VEVENT\nUID:6\nDTSTART:20261101T100000Z\nRRULE:FREQ=WEEKLY\nEND:VEVENT\nEND:VCALENDAR\n", "\n", "\r\n")
	found, faults := calendar.Read([]byte(text), oslo(t))
	if len(found) != 2 || !found[0].Start.Equal(time.Date(2026, 10, 31, 14, 0, 0, 0, time.UTC)) || found[0].End.Sub(found[0].Start) != 75*time.Minute ||
		!found[1].Start.Equal(time.Date(2026, 11, 1, 15, 0, 0, 0, time.UTC)) || found[1].Summary != "Æ" || found[0].Summary != "A" {
		t.Errorf("%+v", found)
	}
	var said []string
	for _, f := range faults {
		said = append(said, f.Say.Key)
	}
	if got := strings.Join(said, " "); got != "calendar.day calendar.zone calendar.no_such_time calendar.event calendar.repeats" {
		t.Errorf("%s %+v", got, faults)
	}
	if faults[0].Line != 35 {
		t.Errorf("line %d", faults[0].Line)
	}
}

func FuzzRead(f *testing.F) {
	zone := oslo(f)
	f.Add([]byte("BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:1\r\nDTSTART:20261031T100000\r\nDURATION:PT1H15M\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"))
	f.Add([]byte("BEGIN:VCALENDAR\nBEGIN:VTIMEZONE\nTZID:E\nBEGIN:DAYLIGHT\nDTSTART:20070311T020000\nRRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU\nTZOFFSETTO:-0400\nEND:DAYLIGHT\nEND:VTIMEZONE\nBEGIN:VEVENT\nUID:1\nDTSTART;TZID=E:20261031T100000\nEND:VEVENT\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		found, _ := calendar.Read(text, zone)
		for _, e := range found {
			if e.UID == "" || e.Start.IsZero() || e.End.Before(e.Start) {
				t.Fatalf("%+v", e)
			}
		}
	})
}
