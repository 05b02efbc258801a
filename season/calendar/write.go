package calendar

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"
)

// Status of an event (RFC 5545, 3.8.1.11).
type Status string

// The three that an event can have.
const (
	Tentative Status = "TENTATIVE"
	Confirmed Status = "CONFIRMED"
	Cancelled Status = "CANCELLED"
)

// Event is a game in a calendar.
type Event struct {
	UID         string
	Sequence    int // up by one with each change that counts
	Start, End  time.Time
	Summary     string
	Location    string
	Description string
	Status      Status
}

// Calendar is a feed of events.
type Calendar struct {
	Name    string
	Product string         // who wrote it, as PRODID
	Zone    *time.Location // of the rinks' clocks
	Stamp   time.Time      // when it was written
	Refresh time.Duration  // how often to look again, a hint; nought: none
	Events  []Event
}

// UID is an id for what the parts name, the same each time and nobody else's: a UUID
// of version 8 (RFC 9562, 5.8) from their SHA-256, because RFC 7986 (5.3) asks for
// a UUID rather than a host's name.
func UID(parts ...string) string {
	h := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	h[6], h[8] = h[6]&0x0f|0x80, h[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", h[0:4], h[4:6], h[6:8], h[8:10], h[10:16])
}

// Write is the calendar as a file: UTF-8, lines that end in CR LF, folded at 75
// octets and never within a character (RFC 5545, 3.1).
func Write(c Calendar) []byte {
	w := &writer{zone: c.Zone}
	w.line("BEGIN", "VCALENDAR")
	w.line("VERSION", "2.0")
	w.line("PRODID", escape(c.Product))
	w.line("CALSCALE", "GREGORIAN")
	w.line("NAME", escape(c.Name))
	if c.Refresh > 0 {
		w.line("REFRESH-INTERVAL;VALUE=DURATION", fmt.Sprintf("PT%dM", int(c.Refresh/time.Minute)))
	}
	w.zoneRules(c.Events)
	for _, e := range c.Events {
		w.line("BEGIN", "VEVENT")
		w.line("UID", escape(e.UID))
		w.line("DTSTAMP", c.Stamp.UTC().Format(utcForm))
		w.line("SEQUENCE", fmt.Sprint(e.Sequence))
		w.time("DTSTART", e.Start)
		w.time("DTEND", e.End)
		w.line("SUMMARY", escape(e.Summary))
		w.some("LOCATION", e.Location)
		w.some("DESCRIPTION", e.Description)
		w.line("STATUS", string(e.Status))
		w.line("END", "VEVENT")
	}
	w.line("END", "VCALENDAR")
	return w.out.Bytes()
}

const (
	localForm = "20060102T150405"
	utcForm   = localForm + "Z"
	lineMost  = 75 // octets, without the end of the line
)

type writer struct {
	out  bytes.Buffer
	zone *time.Location
}

// line writes a content line, folded where it is long.
func (w *writer) line(name, value string) {
	rest := name + ":" + value
	room := lineMost
	for len(rest) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(rest[cut]) {
			cut--
		}
		w.out.WriteString(rest[:cut] + "\r\n ")
		rest = rest[cut:]
		room = lineMost - 1 // the blank counts
	}
	w.out.WriteString(rest + "\r\n")
}

func (w *writer) some(name, text string) {
	if text != "" {
		w.line(name, escape(text))
	}
}

func (w *writer) time(name string, at time.Time) {
	if w.utc() {
		w.line(name, at.UTC().Format(utcForm))
		return
	}
	w.line(name+";TZID="+w.zone.String(), at.In(w.zone).Format(localForm))
}

func (w *writer) utc() bool { return w.zone == nil || w.zone == time.UTC || w.zone.String() == "UTC" }

// zoneRules writes the VTIMEZONE that local times need (RFC 5545, 3.6.5): each
// change of the clocks from before the first event until after the last.
func (w *writer) zoneRules(events []Event) {
	if w.utc() || len(events) == 0 {
		return
	}
	first := slices.MinFunc(events, func(a, b Event) int { return a.Start.Compare(b.Start) }).Start
	last := slices.MaxFunc(events, func(a, b Event) int { return a.End.Compare(b.End) }).End
	w.line("BEGIN", "VTIMEZONE")
	w.line("TZID", w.zone.String())
	at := first.In(w.zone)
	_, before := at.Zone()
	for {
		begin, end := at.ZoneBounds()
		name, offset := at.Zone()
		from := begin
		if begin.IsZero() { // the zone never changed before
			from = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)
		} else if at.Equal(first) {
			_, before = begin.Add(-time.Second).Zone()
		}
		part := "STANDARD"
		if at.IsDST() {
			part = "DAYLIGHT"
		}
		w.line("BEGIN", part)
		// The moment of the change by the clock as it was before it.
		w.line("DTSTART", from.UTC().Add(time.Duration(before)*time.Second).Format(localForm))
		w.line("TZOFFSETFROM", offsetText(before))
		w.line("TZOFFSETTO", offsetText(offset))
		w.line("TZNAME", escape(name))
		w.line("END", part)
		if end.IsZero() || end.After(last) {
			break
		}
		at, before = end, offset
	}
	w.line("END", "VTIMEZONE")
}

func offsetText(seconds int) string {
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	return fmt.Sprintf("%c%02d%02d", sign, seconds/3600, seconds/60%60)
}

var escapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`)

// escape writes TEXT (RFC 5545, 3.3.11). Control characters are not allowed in it.
func escape(text string) string {
	text = strings.ToValidUTF8(text, "\uFFFD")
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, escapes.Replace(text))
}
