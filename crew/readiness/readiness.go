package readiness

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/practice/progress"
)

// Held is a seat that somebody really had at a game.
type Held struct {
	duties.Who
	Seat string // its kind
	Day  dates.Day
}

// Known is what is known of what people can do.
type Known struct {
	Results []progress.Result
	Bar     progress.Bar // the zero value: progress.DefaultBar
	Held    []Held
	Today   dates.Day
}

// Why is why a level is another one now.
type Why string

// Why levels change.
const (
	Practised Why = "practised" // for the first time, or up to the bar
	HeldOften Why = "held"      // ready, and had the seat often enough to lead a learner
	Faded     Why = "faded"     // neither practised nor had it for three months
)

// Change is a level that is another one now.
type Change struct {
	Person  int // of the list
	Seat    string
	Was, Is people.Level
	Why     Why
	Last    dates.Day // when they practised it or had it last
}

// guideGames is how often somebody who is ready has to have had a seat to lead a
// learner: ours.
const guideGames = 5

// practiceDays are the days between the first of a practice's and of everybody's:
// 1 January 1970 to 1 January 2020.
const practiceDays dates.Day = 18262

// PracticeDay is a day as practice counts it.
func PracticeDay(day dates.Day) progress.Day { return progress.Day(day - practiceDays) }

// seats are the kinds that practice has; others are learnt at games.
var seats = map[string]entry.Seat{"clock": entry.ClockSeat, "book": entry.BookSeat, "box": entry.BoxSeat}

// Work says whose levels are other ones now, in the order of the list. A practice
// makes a learner, the bar makes ready, five games in the seat beside that a guide;
// three months with neither make a learner again of whoever is known to have done any.
func Work(list []people.Person, kinds []string, known Known) []Change {
	bar := known.Bar
	if bar.Games == 0 {
		bar = progress.DefaultBar
	}
	held := map[Held][]dates.Day{} // by who and seat
	for _, h := range known.Held {
		key := Held{Who: h.Who, Seat: h.Seat}
		held[key] = append(held[key], h.Day)
	}
	var changes []Change
	for i, one := range list {
		for _, kind := range kinds {
			var practised progress.Readiness
			if seat, any := seats[kind]; any {
				practised = progress.ReadinessOf(known.Results, one.Name, seat, bar, PracticeDay(known.Today))
			}
			c := level(one.Levels[kind], practised, held[Held{Who: duties.Who{Name: one.Name, Family: one.Family}, Seat: kind}], known.Today)
			if c.Is != c.Was {
				c.Person, c.Seat = i, kind
				changes = append(changes, c)
			}
		}
	}
	return changes
}

func level(was people.Level, practised progress.Readiness, held []dates.Day, today dates.Day) Change {
	c := Change{Was: was, Is: was}
	if practised.Last > 0 {
		c.Last = practiceDays + dates.Day(practised.Last)
	}
	for _, day := range held {
		c.Last = max(c.Last, day)
	}
	if c.Last == 0 {
		return c // only the coordinator knows
	}
	if practised.Last > 0 && c.Is == people.Not {
		c.Is, c.Why = people.Learner, Practised
	}
	if c.Is == people.Learner && practised.Status != "" && practised.Status != progress.NotYet {
		c.Is, c.Why = people.Ready, Practised
	}
	if c.Is == people.Ready && len(held) >= guideGames {
		c.Is, c.Why = people.Guide, HeldOften
	}
	if today-c.Last >= dates.Day(progress.Idle) && (c.Is == people.Ready || c.Is == people.Guide) {
		c.Is, c.Why = people.Learner, Faded
	}
	return c
}

// Seats are the seats that people had, by what the log says of who came. Kind is that
// of a seat by its id, or nothing.
func Seats(log duties.Log, kind func(seat string) string) []Held {
	var list []Held
	for _, d := range log.Work().Came() {
		if k := kind(d.Seat); k != "" && d.Name != duties.Nameless {
			list = append(list, Held{Who: d.Who, Seat: k, Day: d.Day})
		}
	}
	return list
}

// codeForm is how a code of a result looks: groups of five letters or digits with
// hyphens between, after which a mail program may have broken the line.
var codeForm = regexp.MustCompile(`(?i)\b[0-9a-z]{5}(?:-\s*[0-9a-z]{1,5}){4,}\b`)

// Code is what looks like the code of a result in a text.
type Code struct {
	Line   int // from 1
	Text   string
	Result progress.Result
	Err    error // why it is none
}

// Find finds the codes of results in what people sent, pasted whole, each once.
func Find(text string) []Code {
	var list []Code
	seen := map[string]bool{}
	for _, at := range codeForm.FindAllStringIndex(text, -1) {
		c := Code{Line: 1 + strings.Count(text[:at[0]], "\n"), Text: strings.ToUpper(strings.Join(strings.Fields(text[at[0]:at[1]]), ""))}
		if seen[c.Text] {
			continue
		}
		seen[c.Text] = true
		c.Result, c.Err = progress.DecodeResult(c.Text)
		list = append(list, c)
	}
	return list
}

// Codes reads the codes of results in what people sent, pasted whole. What looks like
// one and is not is given back.
func Codes(text string) (results []progress.Result, bad []string) {
	for _, c := range Find(text) {
		if c.Err == nil {
			results = append(results, c.Result)
		} else {
			bad = append(bad, c.Text)
		}
	}
	return results, bad
}

// Apply is a list with its changes made. Whoever practised their way to a first seat is
// new from that day on, unless they had a seat before.
func Apply(list []people.Person, changes []Change, held []Held) []people.Person {
	list = slices.Clone(list)
	for _, c := range changes {
		one := &list[c.Person]
		one.Levels = maps.Clone(one.Levels)
		if one.Levels == nil {
			one.Levels = map[string]people.Level{}
		}
		one.Levels[c.Seat] = c.Is
		if Fresh(list[c.Person], c, held) {
			day := c.Last
			one.Since = &day
		}
	}
	return list
}

// Fresh says whether a change makes somebody new.
func Fresh(one people.Person, c Change, held []Held) bool {
	who := duties.Who{Name: one.Name, Family: one.Family}
	return c.Why == Practised && one.Since == nil && !slices.ContainsFunc(held, func(h Held) bool { return h.Who == who })
}

// Strangers are the names of results that nobody of a list has, each once.
func Strangers(results []progress.Result, list []people.Person) []string {
	known := map[string]bool{}
	for _, p := range list {
		known[strings.ToLower(strings.TrimSpace(p.Name))] = true
	}
	var names []string
	for _, r := range results {
		key := strings.ToLower(strings.TrimSpace(r.Name))
		if !known[key] {
			known[key] = true
			names = append(names, r.Name)
		}
	}
	return names
}
