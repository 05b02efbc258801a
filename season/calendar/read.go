package calendar

import (
	"bytes"
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"whistlestop/game/message"
)

// What a calendar file may have at most.
const (
	FileMost  = 8 << 20 // bytes
	eventMost = 20_000
	lineBytes = 20_000 // of an unfolded line
	zonesMost = 50
)

// Found is an event as a file has it, with the line on which it begins.
type Found struct {
	Event
	Line int
}

// Fault is what is wrong with a file, by line.
type Fault struct {
	Line int
	Say  message.Say
}

// Read reads the events of a calendar file (RFC 5545). Times without a zone, and those
// of a zone of the given name, are the given zone's; those of another zone go by the
// rules that the file has for it. What cannot be read is named by line and left out.
func Read(text []byte, zone *time.Location) ([]Found, []Fault) {
	r := &reader{zone: zone, zones: map[string]*rules{}}
	if len(text) > FileMost {
		r.fault(1, "calendar.large", "most", strconv.Itoa(FileMost>>20))
		return nil, r.faults
	}
	lines := r.unfold(text)
	if len(lines) == 0 || !strings.EqualFold(lines[0].text, "BEGIN:VCALENDAR") {
		r.fault(1, "calendar.none")
		return nil, r.faults
	}
	for _, l := range lines { // rules of zones may stand behind what needs them
		r.zoneLine(l)
	}
	r.within = nil
	for _, l := range lines {
		r.eventLine(l)
	}
	if len(r.within) > 0 {
		r.fault(lines[len(lines)-1].at, "calendar.open", "part", r.within[len(r.within)-1])
	}
	return r.events, r.faults
}

type reader struct {
	zone   *time.Location
	zones  map[string]*rules
	rules  *rules
	onset  *onset
	within []string
	event  *Found
	length time.Duration // DURATION of the event
	wrong  bool          // something of the event cannot be read
	events []Found
	faults []Fault
}

type contentLine struct {
	text string
	at   int
}

func (r *reader) fault(line int, key string, pairs ...string) {
	if len(r.faults) < 200 {
		r.faults = append(r.faults, Fault{line, message.Say{Key: key, Args: message.Pairs(pairs...)}})
	}
}

// unfold joins folded lines, octet by octet: some writers fold within a character.
func (r *reader) unfold(text []byte) (lines []contentLine) {
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	var raw [][]byte
	var at []int
	number := 0
	for line := range bytes.SplitSeq(text, []byte("\n")) {
		number++
		line = bytes.TrimSuffix(line, []byte("\r"))
		if len(line) > 0 && (line[0] == ' ' || line[0] == '\t') && len(raw) > 0 {
			if last := len(raw) - 1; len(raw[last]) < lineBytes {
				raw[last] = append(raw[last], line[1:]...)
			}
			continue
		}
		if len(line) > 0 {
			raw, at = append(raw, slices.Clone(line)), append(at, number)
		}
	}
	for i, line := range raw {
		switch {
		case len(line) >= lineBytes:
			r.fault(at[i], "calendar.long")
		case !utf8.Valid(line):
			r.fault(at[i], "calendar.letters")
		default:
			lines = append(lines, contentLine{string(line), at[i]})
		}
	}
	return lines
}

// property takes a content line apart.
func property(text string) (name string, params map[string]string, value string, ok bool) {
	params = map[string]string{}
	quoted, from := false, 0
	key := ""
	for i := 0; i < len(text); i++ {
		c := text[i]
		switch {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '=' && key == "" && name != "":
			key, from = strings.ToUpper(text[from:i]), i+1
		case c == ';' || c == ':':
			if name == "" {
				name = strings.ToUpper(text[from:i])
			} else if key != "" {
				params[key] = strings.Trim(text[from:i], `"`)
			}
			key, from = "", i+1
			if c == ':' {
				return name, params, text[from:], name != ""
			}
		}
	}
	return "", nil, "", false
}

// step follows BEGIN and END, and says whether the line was one.
func (r *reader) step(name, value string) bool {
	switch name {
	case "BEGIN":
		r.within = append(r.within, strings.ToUpper(value))
		return true
	case "END":
		if n := len(r.within); n > 0 {
			r.within = r.within[:n-1]
		}
		return true
	}
	return false
}

func (r *reader) in(part string) bool {
	return len(r.within) > 0 && r.within[len(r.within)-1] == part
}

func (r *reader) eventLine(l contentLine) {
	name, params, value, ok := property(l.text)
	if !ok {
		r.fault(l.at, "calendar.line")
		return
	}
	if name == "END" && strings.EqualFold(value, "VEVENT") && r.event != nil {
		r.endEvent()
	}
	if r.step(name, value) {
		if name == "BEGIN" && r.in("VEVENT") {
			r.event, r.length, r.wrong = &Found{Line: l.at, Event: Event{Status: Confirmed}}, 0, false
		}
		return
	}
	if r.event == nil || !r.in("VEVENT") {
		return
	}
	e := r.event
	switch name {
	case "UID":
		e.UID = unescape(value)
	case "SUMMARY":
		e.Summary = unescape(value)
	case "LOCATION":
		e.Location = unescape(value)
	case "DESCRIPTION":
		e.Description = unescape(value)
	case "SEQUENCE":
		e.Sequence, _ = strconv.Atoi(value)
	case "STATUS":
		e.Status = Status(strings.ToUpper(value))
	case "DTSTART":
		e.Start = r.time(l, params, value)
	case "DTEND":
		e.End = r.time(l, params, value)
	case "DURATION":
		length, known := duration(value)
		if r.length = length; !known {
			r.fault(l.at, "calendar.duration", "text", message.Plain(value))
			r.wrong = true
		}
	case "RRULE", "RDATE", "RECURRENCE-ID":
		r.fault(l.at, "calendar.repeats")
		r.wrong = true
	}
}

func (r *reader) endEvent() {
	e := r.event
	r.event = nil
	if e.End.IsZero() && !e.Start.IsZero() {
		e.End = e.Start.Add(r.length)
	}
	switch {
	case r.wrong:
	case len(r.events) >= eventMost:
		r.fault(e.Line, "calendar.many", "most", strconv.Itoa(eventMost))
	case e.UID == "" || e.Start.IsZero():
		r.fault(e.Line, "calendar.event")
	case e.End.Before(e.Start):
		r.fault(e.Line, "calendar.backwards")
	default:
		r.events = append(r.events, *e)
	}
}

// time reads a time (RFC 5545, 3.3.5). A day without a time is no time of a game.
func (r *reader) time(l contentLine, params map[string]string, value string) time.Time {
	refuse := func(key string) time.Time {
		r.fault(l.at, key, "text", message.Plain(value))
		r.wrong = true
		return time.Time{}
	}
	if at, err := time.Parse(utcForm, value); err == nil {
		return at
	}
	local, err := time.Parse(localForm, value)
	if err != nil {
		if _, err := time.Parse("20060102", value); err == nil {
			return refuse("calendar.day")
		}
		return refuse("calendar.time")
	}
	name := params["TZID"]
	if name != "" && name != r.zone.String() {
		if z := r.zones[name]; z != nil {
			return local.Add(-z.offset(local))
		}
		return refuse("calendar.zone")
	}
	at := time.Date(local.Year(), local.Month(), local.Day(), local.Hour(), local.Minute(), local.Second(), 0, r.zone)
	if at.Hour() != local.Hour() || at.Minute() != local.Minute() {
		return refuse("calendar.no_such_time") // the night in which the clocks go forward
	}
	return at
}

// rules are those of a zone that a file brings along.
type rules struct{ onsets []onset }

// onset is one change of the clocks: once, or every year on a weekday of a month.
type onset struct {
	at       time.Time // by the clock before the change
	from, to time.Duration
	month    int // 0: once
	weekday  time.Weekday
	nth      int // -1: the last
}

// offset is how far a zone is from UTC at a local time.
func (z *rules) offset(local time.Time) time.Duration {
	var last time.Time
	found := time.Duration(0)
	if len(z.onsets) > 0 {
		found = z.onsets[0].from
	}
	for _, o := range z.onsets {
		for _, year := range []int{local.Year() - 1, local.Year()} {
			at := o.at
			if o.month > 0 {
				at = o.in(year)
			}
			if !at.Before(o.at) && !at.After(local) && !at.Before(last) {
				last, found = at, o.to
			}
		}
	}
	return found
}

// in is when a yearly change is in a year.
func (o onset) in(year int) time.Time {
	at := time.Date(year, time.Month(o.month), 1, o.at.Hour(), o.at.Minute(), o.at.Second(), 0, time.UTC)
	if o.nth < 0 {
		at = at.AddDate(0, 1, -1)
		return at.AddDate(0, 0, -(int(at.Weekday()-o.weekday+7) % 7))
	}
	at = at.AddDate(0, 0, int(o.weekday-at.Weekday()+7)%7)
	return at.AddDate(0, 0, 7*(o.nth-1))
}

func (r *reader) zoneLine(l contentLine) {
	name, _, value, ok := property(l.text)
	if !ok {
		return
	}
	if r.step(name, value) {
		switch {
		case name == "BEGIN" && r.in("VTIMEZONE"):
			r.rules = &rules{}
		case name == "BEGIN" && (r.in("STANDARD") || r.in("DAYLIGHT")):
			r.onset = &onset{}
		case name == "END" && r.onset != nil && r.rules != nil && (strings.EqualFold(value, "STANDARD") || strings.EqualFold(value, "DAYLIGHT")):
			r.rules.onsets = append(r.rules.onsets, *r.onset)
			r.onset = nil
		}
		return
	}
	switch {
	case r.in("VTIMEZONE") && name == "TZID" && len(r.zones) < zonesMost:
		r.zones[value] = r.rules
	case r.onset == nil:
	case name == "DTSTART":
		r.onset.at, _ = time.Parse(localForm, value)
	case name == "TZOFFSETFROM":
		r.onset.from = offsetOf(value)
	case name == "TZOFFSETTO":
		r.onset.to = offsetOf(value)
	case name == "RRULE":
		r.onset.every(value)
	}
}

// every reads the yearly rules that zones have: FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU.
func (o *onset) every(rule string) {
	days := map[string]time.Weekday{"SU": 0, "MO": 1, "TU": 2, "WE": 3, "TH": 4, "FR": 5, "SA": 6}
	for part := range strings.SplitSeq(strings.ToUpper(rule), ";") {
		key, value, _ := strings.Cut(part, "=")
		switch {
		case key == "BYMONTH":
			if n, err := strconv.Atoi(value); err == nil && n >= 1 && n <= 12 {
				o.month = n
			}
		case key == "BYDAY" && len(value) > 2:
			n, err := strconv.Atoi(value[:len(value)-2])
			if day, known := days[value[len(value)-2:]]; known && err == nil && n >= -1 && n <= 4 {
				o.nth, o.weekday = cmp.Or(n, 1), day
			}
		}
	}
	if o.nth == 0 {
		o.month = 0
	}
}

func offsetOf(text string) time.Duration {
	if len(text) < 5 || text[0] != '+' && text[0] != '-' {
		return 0
	}
	hours, _ := strconv.Atoi(text[1:3])
	minutes, _ := strconv.Atoi(text[3:5])
	d := time.Duration(hours)*time.Hour + time.Duration(minutes)*time.Minute
	if text[0] == '-' {
		return -d
	}
	return d
}

// duration reads a DURATION (RFC 5545, 3.3.6) of at most a few days.
func duration(text string) (time.Duration, bool) {
	rest, ok := strings.CutPrefix(strings.TrimPrefix(text, "+"), "P")
	units := map[byte]time.Duration{'W': 7 * 24 * time.Hour, 'D': 24 * time.Hour, 'H': time.Hour, 'M': time.Minute, 'S': time.Second}
	sum, number, digits := time.Duration(0), 0, 0
	for i := 0; i < len(rest) && ok; i++ {
		switch c := rest[i]; {
		case c >= '0' && c <= '9' && digits < 6:
			number, digits = 10*number+int(c-'0'), digits+1
		case c == 'T' && digits == 0:
		case units[c] > 0 && digits > 0:
			sum += time.Duration(number) * units[c]
			number, digits = 0, 0
		default:
			ok = false
		}
	}
	return sum, ok && digits == 0 && sum > 0 && sum < 30*24*time.Hour
}

var plain = strings.NewReplacer(`\\`, `\`, `\;`, ";", `\,`, ",", `\n`, "\n", `\N`, "\n")

// unescape reads TEXT (RFC 5545, 3.3.11).
func unescape(text string) string { return plain.Replace(text) }
