package people

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"whistlestop/game/dates"
)

// What a list may have at most.
const (
	listMost  = 1 << 20 // bytes
	linesMost = 5000
	fieldMost = 400 // bytes
)

// The columns of a list by their titles. Titles are read without regard to case.
const (
	colName      = "name"
	colFamily    = "family"
	colTeams     = "teams"
	colDays      = "days"
	colAway      = "away"
	colNotBefore = "not before"
	colDayMost   = "most a day"
	colMost      = "most"
	colAge       = "age"
	colScreened  = "screened until"
	colFar       = "far"
	colOneFree   = "one free"
	colSince     = "new since"
	colReach     = "reach"
)

var columns = []string{colName, colFamily, colTeams, colDays, colAway, colNotBefore, colDayMost, colMost, colAge, colScreened, colFar, colOneFree, colSince, colReach}

// private are parts of titles whose columns are never kept.
var private = []string{"phone", "mobile", "mail", "address", "birth", "born", "dob", "health", "criminal"}

// Read reads a list of people: columns divided by tabs, semicolons or commas, the
// first line their titles. Every seat of seats may be a column with a level.
func Read(text []byte, seats []string) ([]Person, []Finding) {
	if len(text) > listMost {
		return nil, []Finding{{Line: 1, Kind: TooLong}}
	}
	if !utf8.Valid(text) {
		return nil, []Finding{{Line: 1, Kind: BadTable}}
	}
	r := reader{seats: seats, seen: map[string]bool{}}
	table := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	table.Comma, table.FieldsPerRecord = divider(text), -1
	for {
		fields, err := table.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var parse *csv.ParseError
			line := r.line + 1
			if errors.As(err, &parse) {
				line = parse.Line
			}
			r.found = append(r.found, Finding{Line: line, Kind: BadTable})
			break
		}
		r.line, _ = table.FieldPos(0)
		if r.titles == nil {
			if !r.head(fields) {
				break
			}
			continue
		}
		if len(r.people) >= linesMost {
			r.say("", TooLong, "")
			break
		}
		r.person(fields)
	}
	if r.titles == nil && len(r.found) == 0 {
		r.found = append(r.found, Finding{Line: 1, Kind: NoTitles})
	}
	return r.people, r.found
}

// divider is the sign that divides the first line: as spreadsheets paste (tabs), or
// as they save (semicolons, commas).
func divider(text []byte) rune {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	for _, sign := range "\t;" {
		if bytes.ContainsRune(first, sign) {
			return sign
		}
	}
	return ','
}

type reader struct {
	seats  []string
	titles []string // of each column; "" is left out
	line   int
	people []Person
	seen   map[string]bool
	found  []Finding
}

func (r *reader) say(column string, kind Kind, text string) {
	if len(text) > 60 {
		text = strings.ToValidUTF8(text[:60], "") + "…"
	}
	r.found = append(r.found, Finding{Line: r.line, Column: column, Kind: kind, Text: text})
}

// head reads the titles.
func (r *reader) head(fields []string) bool {
	r.titles = make([]string, 0, len(fields))
	for _, field := range fields {
		title := titleOf(field)
		switch {
		case slices.ContainsFunc(private, func(part string) bool { return strings.Contains(title, part) }):
			r.say(title, NotKept, "")
			title = ""
		case slices.Contains(r.titles, title) && title != "":
			r.say(title, Twice, "")
			title = ""
		case title != "" && !slices.Contains(columns, title) && !slices.Contains(r.seats, title):
			r.say(title, Unknown, "")
			title = ""
		}
		r.titles = append(r.titles, title)
	}
	if !slices.Contains(r.titles, colName) {
		r.titles = nil
		r.found = []Finding{{Line: r.line, Kind: NoTitles}}
		return false
	}
	return true
}

// person reads a line.
func (r *reader) person(fields []string) {
	p := Person{Levels: map[string]Level{}}
	for i, field := range fields {
		field = strings.TrimSpace(field)
		if i >= len(r.titles) || r.titles[i] == "" || field == "" {
			continue
		}
		if len(field) > fieldMost {
			r.say(r.titles[i], TooLong, field)
			continue
		}
		if !r.field(&p, r.titles[i], field) {
			r.say(r.titles[i], Unreadable, field)
		}
	}
	if p.Family == "" {
		p.Family = p.Name
	}
	key := strings.ToLower(p.Name + "\x00" + p.Family)
	switch {
	case p.Name == "":
		if strings.TrimSpace(strings.Join(fields, "")) != "" {
			r.say(colName, NoName, "")
		}
	case !printable(p.Name) || !printable(p.Family):
		r.say(colName, BadLetters, "")
	case r.seen[key]:
		r.say(colName, Twice, p.Name)
	default:
		r.seen[key] = true
		r.people = append(r.people, p)
	}
}

// printable reports whether a name has only signs that are seen, and no blanks but
// the usual one: direction marks and signs of no width make two names look alike.
func printable(text string) bool {
	return !strings.ContainsFunc(text, func(c rune) bool {
		return !unicode.IsGraphic(c) || unicode.Is(unicode.Cf, c) || unicode.IsSpace(c) && c != ' '
	})
}

// field reads one field; false: it cannot be read.
func (r *reader) field(p *Person, title, text string) bool {
	switch title {
	case colName:
		p.Name = strings.Join(strings.Fields(text), " ")
	case colFamily:
		p.Family = strings.Join(strings.Fields(text), " ")
	case colTeams:
		p.Teams = words(text)
	case colFar:
		p.Far = words(text)
	case colDays:
		return days(text, &p.Days)
	case colAway:
		return spans(text, &p.Away)
	case colNotBefore:
		var at dates.Clock
		if at.UnmarshalText([]byte(text)) != nil {
			return false
		}
		p.NotBefore = &at
	case colDayMost:
		return number(text, 1, 10, &p.DayMost)
	case colMost:
		return number(text, 0, 400, &p.Most)
	case colAge:
		return number(text, 1, 120, &p.Age)
	case colScreened:
		return day(text, &p.Screened)
	case colSince:
		return day(text, &p.Since)
	case colOneFree:
		return yes(text, &p.OneFree)
	case colReach:
		p.Reach = text
		return printable(text)
	default:
		level := Level(strings.ToLower(text))
		if !slices.Contains([]Level{Learner, Ready, Guide}, level) {
			return level == "no" || level == "-"
		}
		p.Levels[title] = level
	}
	return true
}

func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(c rune) bool { return c == ',' || c == ';' || unicode.IsSpace(c) })
}

func number(text string, least, most int, into *int) bool {
	n, err := strconv.Atoi(text)
	if err != nil || n < least || n > most {
		return false
	}
	*into = n
	return true
}

func day(text string, into **dates.Day) bool {
	at, err := dates.Parse(text)
	if err == nil {
		*into = &at
	}
	return err == nil
}

func yes(text string, into *bool) bool {
	switch strings.ToLower(text) {
	case "yes", "y", "x", "1":
		*into = true
	case "no", "n", "0", "-":
	default:
		return false
	}
	return true
}

// days reads weekdays by their names or first three letters.
func days(text string, into *[]dates.Weekday) bool {
	for _, word := range words(text) {
		found := false
		for _, name := range []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"} {
			if word == name || word == name[:3] {
				var day dates.Weekday
				if day.UnmarshalText([]byte(name)) != nil {
					return false
				}
				*into = append(*into, day)
				found = true
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// spans reads days and spans of days: 2026-12-24 2027-02-01/2027-02-07.
func spans(text string, into *[]Span) bool {
	for _, word := range words(text) {
		first, last, span := strings.Cut(word, "/")
		from, err := dates.Parse(first)
		if err != nil {
			return false
		}
		to := from
		if span {
			if to, err = dates.Parse(last); err != nil || to < from {
				return false
			}
		}
		*into = append(*into, Span{from, to})
	}
	return true
}
