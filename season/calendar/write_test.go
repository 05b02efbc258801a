package calendar_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"

	"whistlestop/season/calendar"
)

// some are games over a season, with texts that need escaping and folding.
func some(zone *time.Location, r *rand.Rand) []calendar.Event {
	texts := []string{
		"Kelp Bay – Lanternside", `Halle 2; Tor 3, hinten \ links`, "æøå " + strings.Repeat("Ω漢字", 40), "one\ntwo\r\nthree", "", "a:b", strings.Repeat("x", 200),
	}
	var events []calendar.Event
	for i := range 12 {
		start := time.Date(2026, 10, 3+r.IntN(180), 8+r.IntN(12), r.IntN(4)*15, 0, 0, zone)
		events = append(events, calendar.Event{
			UID: calendar.UID("Harbour League", "2026-27", fmt.Sprint(i)), Sequence: r.IntN(4), Start: start, End: start.Add(75 * time.Minute),
			Summary: texts[r.IntN(len(texts))], Location: texts[r.IntN(len(texts))], Description: texts[r.IntN(len(texts))],
			Status: []calendar.Status{calendar.Confirmed, calendar.Cancelled, calendar.Tentative}[r.IntN(3)],
		})
	}
	return events
}

// offsetAt works out a local time's distance from UTC by the rules in a file alone.
func offsetAt(t *testing.T, zone *ical.Component, local time.Time) time.Duration {
	t.Helper()
	var latest time.Time
	var offset time.Duration
	for _, rule := range zone.Children {
		onset, err := time.Parse("20060102T150405", rule.Props.Get("DTSTART").Value)
		if err != nil {
			t.Fatal(err)
		}
		if onset.After(local) || onset.Before(latest) {
			continue
		}
		value := rule.Props.Get("TZOFFSETTO").Value
		var hours, minutes int
		if _, err := fmt.Sscanf(value[1:], "%2d%2d", &hours, &minutes); err != nil {
			t.Fatal(err)
		}
		latest, offset = onset, time.Duration(hours)*time.Hour+time.Duration(minutes)*time.Minute
		if value[0] == '-' {
			offset = -offset
		}
	}
	return offset
}

// What is written is what an independent parser reads (emersion/go-ical), by RFC 5545
// 3.1 (lines), 3.3.11 (texts), 3.6.5 (zones) and 3.8.1.11 (status).
func TestWhatIsWrittenIsRead(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, name := range []string{"UTC", "Europe/Oslo", "America/St_Johns", "Australia/Lord_Howe", "Asia/Tokyo", "America/Vancouver"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Skip("no zones here: ", err)
		}
		for range 20 {
			events := some(zone, r)
			text := calendar.Write(calendar.Calendar{
				Name: "Kelp Bay, Under 14", Product: "-//Whistlestop//Season//EN", Zone: zone, Events: events,
				Stamp: time.Date(2026, 9, 1, 12, 0, 0, 0, time.UTC), Refresh: time.Hour,
			})
			for line := range strings.SplitSeq(strings.TrimSuffix(string(text), "\r\n"), "\r\n") {
				if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
					t.Fatalf("a line of %d octets: %q", len(line), line)
				}
			}
			read(t, name, text, events)
		}
	}
}

func read(t *testing.T, zoneName string, text []byte, events []calendar.Event) {
	t.Helper()
	parsed, err := ical.NewDecoder(bytes.NewReader(text)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	var zone *ical.Component
	for _, child := range parsed.Children {
		if child.Name == ical.CompTimezone {
			zone = child
		}
	}
	got := parsed.Events()
	if len(got) != len(events) || zone == nil && zoneName != "UTC" {
		t.Fatalf("%d events of %d, zone %v", len(got), len(events), zone)
	}
	for i, want := range events {
		start, err := got[i].DateTimeStart(time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		end, err := got[i].DateTimeEnd(time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		if !start.Equal(want.Start) || !end.Equal(want.End) {
			t.Errorf("%s to %s, want %s to %s", start, end, want.Start, want.End)
		}
		if zone != nil {
			local := got[i].Props.Get("DTSTART").Value
			at, err := time.Parse("20060102T150405", local)
			if err != nil {
				t.Fatal(err)
			}
			if by := at.Add(-offsetAt(t, zone, at)); !by.Equal(want.Start) {
				t.Errorf("%s in %s is %s by the file's own rules, want %s", local, zoneName, by, want.Start.UTC())
			}
		}
		for property, text := range map[string]string{"SUMMARY": want.Summary, "LOCATION": want.Location, "DESCRIPTION": want.Description, "UID": want.UID} {
			had, err := got[i].Props.Text(property)
			if err != nil || had != strings.ReplaceAll(text, "\r\n", "\n") {
				t.Errorf("%s: %q, %v, want %q", property, had, err, text)
			}
		}
		if status, err := got[i].Status(); err != nil || string(status) != string(want.Status) {
			t.Errorf("%s, %v, want %s", status, err, want.Status)
		}
	}
}

// An id is the same each time, differs for every game, and is a UUID (RFC 9562).
func TestIDsLast(t *testing.T) {
	seen := map[string]bool{}
	for i := range 1000 {
		id := calendar.UID("Harbour League", "2026-27", fmt.Sprintf("u14-%03d", i))
		if len(id) != 36 || id[14] != '8' || !strings.ContainsRune("89ab", rune(id[19])) || seen[id] {
			t.Fatalf("%s", id)
		}
		seen[id] = true
	}
	if calendar.UID("a", "bc") == calendar.UID("ab", "c") {
		t.Error("two games have one id")
	}
}

func FuzzWrite(f *testing.F) {
	f.Add("Kelp Bay", 5)
	f.Add(strings.Repeat("漢", 60)+"\x00;", 70)
	f.Fuzz(func(t *testing.T, text string, minutes int) {
		start := time.Unix(1_790_000_000, 0)
		written := calendar.Write(calendar.Calendar{Name: text, Product: "p", Zone: time.UTC, Events: []calendar.Event{{
			UID: "u", Start: start, End: start.Add(time.Duration(minutes%600) * time.Minute), Summary: text, Status: calendar.Confirmed,
		}}})
		parsed, err := ical.NewDecoder(bytes.NewReader(written)).Decode()
		if err != nil || len(parsed.Events()) != 1 {
			t.Fatalf("%v: %q", err, written)
		}
		for line := range strings.SplitSeq(strings.TrimSuffix(string(written), "\r\n"), "\r\n") {
			if len(line) > 75 || !utf8.ValidString(line) {
				t.Fatalf("%q", line)
			}
		}
	})
}
