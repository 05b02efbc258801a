package schedule

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
)

// Row is a game as a file from outside has it.
type Row struct {
	Line  int
	UID   string // by which the file knows it
	ID    string // of the schedule, or the league's number
	Teams [2]string
	In    string // division, where the file says so
	State State
	Place *Place
}

// Finding is what is wrong with a line of such a file.
type Finding struct {
	Line int
	Say  message.Say
}

// Incoming is what was read of a file of games.
type Incoming struct {
	Rows     []Row
	Findings []Finding
	Columns  []Column // of a table, by its first row
}

// findings collects what is wrong, bounded.
type findings []Finding

func (f *findings) add(line int, key string, pairs ...string) {
	if len(*f) < 300 {
		*f = append(*f, Finding{line, message.Say{Key: key, Args: message.Pairs(pairs...)}})
	}
}

// titles are the names that columns have, by what they hold.
var titles = map[string][]string{
	"id":       {"game", "game id", "game number", "game no", "number", "no", "id", "match"},
	"uid":      {"uid"},
	"in":       {"division", "age group", "group", "level", "class"},
	"home":     {"home", "home team"},
	"visitors": {"visitors", "visitor", "visiting team", "away", "away team", "guest", "guests"},
	"day":      {"day", "date", "game date"},
	"start":    {"start", "time", "start time", "begins"},
	"minutes":  {"minutes", "length", "duration"},
	"rink":     {"rink", "venue", "arena", "location", "facility", "place"},
	"sheet":    {"sheet", "ice", "pad", "surface"},
	"state":    {"state", "status"},
}

// needed are the columns without which a table is no schedule.
var needed = []string{"home", "visitors", "day", "start"}

// Column is a column of a table: its title, and which part of a game it holds; empty:
// none that is known.
type Column struct{ Title, Holds string }

// name is the title as it is looked up.
func (c Column) name() string {
	return strings.ToLower(strings.Join(strings.Fields(strings.Trim(c.Title, "\ufeff.: ")), " "))
}

// Columns says what the columns of a table hold, by its first row.
func Columns(first []string) []Column {
	list := make([]Column, len(first))
	for i, title := range first {
		list[i].Title = title
		for holds, names := range titles {
			if slices.Contains(names, list[i].name()) {
				list[i].Holds = holds
			}
		}
	}
	return list
}

// FromTable reads the games of a table whose first row names its columns. Lines that
// cannot be read are named and left out.
func FromTable(l league.League, table [][]string) ([]Row, []Finding) {
	var f findings
	if len(table) == 0 {
		f.add(1, "incoming.empty")
		return nil, f
	}
	columns := map[string]int{}
	for i, column := range Columns(table[0]) {
		_, twice := columns[column.Holds]
		switch {
		case column.Holds == "" && column.name() == "":
		case column.Holds == "":
			f.add(1, "incoming.column", "column", message.Plain(column.Title))
		case twice:
			f.add(1, "incoming.column_twice", "column", message.Plain(column.Title))
		default:
			columns[column.Holds] = i
		}
	}
	for _, column := range needed {
		if _, has := columns[column]; !has {
			f.add(1, "incoming.needed", "column", column, "known", strings.Join(titles[column], ", "))
			return nil, f
		}
	}
	var rows []Row
	for i, line := range table[1:] {
		cell := func(column string) string {
			at, has := columns[column]
			if !has || at >= len(line) {
				return ""
			}
			return strings.TrimSpace(line[at])
		}
		if strings.TrimSpace(strings.Join(line, "")) == "" {
			continue
		}
		if len(rows) >= gamesMost {
			f.add(i+2, "incoming.many", "most", strconv.Itoa(gamesMost))
			break
		}
		if row, ok := rowOf(l, i+2, cell, &f); ok {
			rows = append(rows, row)
		}
	}
	return rows, f
}

func rowOf(l league.League, line int, cell func(string) string, f *findings) (Row, bool) {
	row := Row{Line: line, UID: cell("uid"), ID: cell("id"), In: cell("in"), Teams: [2]string{cell("home"), cell("visitors")}, State: Scheduled}
	if text := strings.ToLower(cell("state")); text != "" {
		state, known := stateWords[text]
		if !known {
			f.add(line, "incoming.state", "text", message.Plain(text))
			return row, false
		}
		row.State = state
	}
	if cell("day") == "" && cell("start") == "" {
		if row.State == Scheduled {
			row.State = ToBeConfirmed
		}
		return row, true
	}
	day, fault := readDay(cell("day"))
	if fault != "" {
		f.add(line, fault, "text", message.Plain(cell("day")))
		return row, false
	}
	start, ok := readClock(cell("start"))
	if !ok {
		f.add(line, "incoming.time", "text", message.Plain(cell("start")))
		return row, false
	}
	place := Place{Day: day, Start: start}
	if text := cell("minutes"); text != "" {
		minutes, err := strconv.Atoi(strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(text, "min"), "minutes")))
		if err != nil || minutes < 1 || minutes > 600 {
			f.add(line, "incoming.minutes", "text", message.Plain(text))
			return row, false
		}
		place.Minutes = minutes
	}
	if !findRink(l, cell("rink"), cell("sheet"), &place) {
		f.add(line, "incoming.rink", "text", message.Plain(strings.TrimSpace(cell("rink")+" "+cell("sheet"))))
		return row, false
	}
	if row.State != Postponed {
		row.Place = &place
	}
	return row, true
}

var stateWords = map[string]State{
	"scheduled": Scheduled, "confirmed": Scheduled, "final": Scheduled, "played": Scheduled, "tentative": ToBeConfirmed,
	"to be confirmed": ToBeConfirmed, "to_be_confirmed": ToBeConfirmed, "tbd": ToBeConfirmed, "tbc": ToBeConfirmed,
	"postponed": Postponed, "cancelled": Cancelled, "canceled": Cancelled, "forfeited": Forfeited, "forfeit": Forfeited, "abandoned": Abandoned,
}

// findRink finds the rink and its sheet by id or name, the sheet also behind the name:
// "Saltworks Arena, sheet 2".
func findRink(l league.League, text, sheet string, place *Place) bool {
	text = strings.TrimSpace(text)
	for _, r := range l.Rinks {
		rest, found := text, strings.EqualFold(text, r.ID)
		if n := len(r.Name); !found && len(text) >= n && strings.EqualFold(text[:n], r.Name) {
			rest, found = text[n:], true
		} else if found {
			rest = ""
		}
		if !found {
			continue
		}
		number := strings.TrimLeftFunc(cmp.Or(strings.TrimSpace(sheet), strings.TrimSpace(rest)), func(c rune) bool { return c < '0' || c > '9' })
		place.Rink, place.Sheet = r.ID, 1
		if number != "" {
			n, err := strconv.Atoi(number)
			if err != nil || n < 1 || n > r.Sheets {
				return false
			}
			place.Sheet = n
		}
		return true
	}
	return false
}

var months = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// readDay reads a day in the usual spellings. One that could be two days is refused:
// 03/04/2026 is in March for some and in April for others.
func readDay(text string) (dates.Day, string) {
	text = strings.ToLower(strings.TrimSpace(text))
	if day, err := dates.Parse(text); err == nil {
		return day, ""
	}
	parts := strings.FieldsFunc(text, func(c rune) bool { return strings.ContainsRune(" .,/-", c) })
	month := 0
	var numbers []int
	for _, part := range parts {
		n, err := strconv.Atoi(strings.TrimRight(part, "abcdefghijklmnopqrstuvwxyz"))
		if err == nil {
			numbers = append(numbers, n)
			continue
		}
		at := slices.IndexFunc(months, func(m string) bool { return strings.HasPrefix(part, m) })
		if at >= 0 && month == 0 {
			month = at + 1
		} else if len(part) < 2 || !slices.ContainsFunc(weekdays, func(w string) bool { return strings.HasPrefix(w, part) || strings.HasPrefix(part, w[:3]) }) {
			return 0, "incoming.day"
		}
	}
	year, day := 0, 0
	switch {
	case month > 0 && len(numbers) == 2:
		day, year = numbers[0], numbers[1]
		if day > 31 {
			day, year = year, day
		}
	case month == 0 && len(numbers) == 3 && numbers[0] > 31: // 2026/11/28
		year, month, day = numbers[0], numbers[1], numbers[2]
	case month == 0 && len(numbers) == 3:
		a, b := numbers[0], numbers[1]
		year = numbers[2]
		switch {
		case strings.Contains(text, ".") || a == b || a > 12: // with dots the day comes first everywhere
			day, month = a, b
		case b > 12:
			month, day = a, b
		default:
			return 0, "incoming.day_two_ways"
		}
	default:
		return 0, "incoming.day"
	}
	if year < 1000 {
		return 0, "incoming.day_year"
	}
	parsed, err := dates.Parse(pad(year, 4) + "-" + pad(month, 2) + "-" + pad(day, 2))
	if err != nil {
		return 0, "incoming.day"
	}
	return parsed, ""
}

var weekdays = []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}

func pad(n, width int) string {
	text := strconv.Itoa(n)
	return strings.Repeat("0", max(0, width-len(text))) + text
}

// readClock reads 18:30, 18.30, 6:30 pm and 6:30PM.
func readClock(text string) (dates.Clock, bool) {
	text = strings.ToLower(strings.ReplaceAll(strings.TrimSpace(text), " ", ""))
	text, pm := strings.CutSuffix(strings.ReplaceAll(text, "p.m.", "pm"), "pm")
	text, am := strings.CutSuffix(strings.ReplaceAll(text, "a.m.", "am"), "am")
	hour, minute, found := strings.Cut(strings.ReplaceAll(text, ".", ":"), ":")
	minute = strings.TrimSuffix(minute, ":00") // seconds, as workbooks write them
	if !found && (am || pm) {
		minute = "00"
	}
	h, err1 := strconv.Atoi(hour)
	m, err2 := strconv.Atoi(minute)
	half := am || pm
	if err1 != nil || err2 != nil || len(minute) != 2 || h < 0 || h > 23 || m < 0 || m > 59 || half && (h < 1 || h > 12) {
		return 0, false
	}
	if half {
		h %= 12
	}
	if pm {
		h += 12
	}
	return dates.Clock(60*h + m), true
}

// FromCalendar makes rows of a calendar's events: teams from the summary, rink and
// sheet from the location. Day and start are those of the zone that the events are in.
func FromCalendar(l league.League, events []calendar.Found, dayOf func(calendar.Found) (dates.Day, dates.Clock)) ([]Row, []Finding) {
	var f findings
	var rows []Row
	for _, e := range events {
		row := Row{Line: e.Line, UID: e.UID, State: Scheduled}
		summary := e.Summary
		if before, after, found := strings.Cut(summary, ": "); found && !between(before) {
			summary = after // a state or a competition in front
		}
		if open := strings.LastIndexByte(summary, '('); open > 0 && strings.HasSuffix(summary, ")") {
			in, id, _ := strings.Cut(summary[open+1:len(summary)-1], ",")
			summary, row.In, row.ID = strings.TrimSpace(summary[:open]), strings.TrimSpace(in), strings.TrimSpace(id)
		}
		home, visitors, found := teamsOf(summary)
		if !found {
			f.add(e.Line, "incoming.summary", "text", message.Plain(e.Summary))
			continue
		}
		row.Teams = [2]string{home, visitors}
		day, start := dayOf(e)
		place := Place{Day: day, Start: start, Minutes: int(e.End.Sub(e.Start).Minutes())}
		if place.Minutes < 1 || place.Minutes > 600 {
			place.Minutes = 0 // no length of a game: the division's counts
		}
		if !findRink(l, e.Location, "", &place) {
			f.add(e.Line, "incoming.rink", "text", message.Plain(e.Location))
			continue
		}
		row.Place = &place
		switch e.Status {
		case calendar.Cancelled:
			row.State = Cancelled
		case calendar.Tentative:
			row.State = ToBeConfirmed
		case calendar.Confirmed:
		}
		rows = append(rows, row)
	}
	return rows, f
}

var dividers = []string{" – ", " — ", " - ", " vs. ", " vs ", " v ", " @ "}

func between(text string) bool {
	return slices.ContainsFunc(dividers, func(d string) bool { return strings.Contains(text, d) })
}

// teamsOf takes a summary apart. "A @ B" has the home side last.
func teamsOf(summary string) (home, visitors string, found bool) {
	for _, d := range dividers {
		if a, b, ok := strings.Cut(summary, d); ok {
			a, b = strings.TrimSpace(a), strings.TrimSpace(b)
			if d == " @ " {
				a, b = b, a
			}
			return a, b, a != "" && b != ""
		}
	}
	return "", "", false
}
