package rows

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/record/audit"
	"whistlestop/record/typed"
)

// notListed is the status of somebody who took part and is on no roster.
const notListed = "not_on_roster"

// DivisionID returns the id of the division that a report names, or nothing.
func DivisionID(list []Fact) string {
	for _, f := range list {
		if f.Get(Record) == "head" && f.Get(Key) == "division_id" {
			return f.Get(Text)
		}
	}
	return ""
}

// Sheet reads the facts of a report as a sheet that can be audited: all that it
// says is a claim. Times have whole seconds, so it is played from its lines. Row
// says in which row of its file a fact stands. The error is a *typed.Fault.
func Sheet(list []Fact, division rulebook.Division, times rulebook.ReportTimes, row func(index int) int) (audit.Sheet, error) {
	r := &sheetReader{s: audit.Sheet{Division: division, Times: times}, parts: map[string]int{}}
	for i, f := range list {
		r.fact, r.row = f, row(i)
		r.read()
		if r.fault != nil {
			return audit.Sheet{}, r.fault
		}
	}
	if r.decided == "shoot_out" {
		r.s.ShootOut = entry.Home
		if r.score[1] > r.score[0] {
			r.s.ShootOut = entry.Visitors
		}
	}
	r.join()
	return r.s, nil
}

// sheetReader is a sheet under way.
type sheetReader struct {
	s       audit.Sheet
	fact    Fact
	row     int
	parts   map[string]int // lines of each call, by entry
	score   [2]int
	decided string
	fault   *typed.Fault
}

// bad refuses a cell. The first one is said.
func (r *sheetReader) bad(c Column, key string) {
	if r.fault == nil {
		r.fault = &typed.Fault{Row: r.row, Column: string(c), Say: rules.Say{Key: key, Args: rules.Pairs(
			"text", r.fact.Get(c), "row", strconv.Itoa(r.row), "column", string(c))}}
	}
}

func (r *sheetReader) read() {
	switch r.fact.Get(Record) {
	case "head":
		r.head()
	case "period":
		r.s.Periods = append(r.s.Periods, audit.SheetPeriod{Period: r.count(Period), Length: r.clock(Time)})
	case "total":
		r.total()
	case "player":
		r.player()
	case "goal":
		r.goal()
	case "penalty":
		r.penalty()
	case "shots":
		r.s.Shots = append(r.s.Shots, audit.SheetShots{
			Row: r.row, Period: r.count(Period), Side: r.side(), Goalkeeper: r.jersey(Goalkeeper), Count: r.count(Shots),
		})
	case "goalkeeper":
		time, against := r.clock(Time), r.count(Goals)
		r.s.Goalkeepers = append(r.s.Goalkeepers, audit.SheetGoalkeeper{
			Row: r.row, Side: r.side(), Number: r.jersey(Number), Time: &time, GoalsAgainst: &against,
			Shots: r.known(Shots), Saves: r.known(Saves),
		})
	case "change_in_goal":
		c := audit.SheetChange{Place: r.place()}
		if r.fact.Get(Number) != "nobody" {
			c.Number = r.jersey(Number)
		}
		r.s.Changes = append(r.s.Changes, c)
	case "time_out":
		if r.fact.Get(Side) != "" { // otherwise it is the officials' own
			r.s.TimeOuts = append(r.s.TimeOuts, audit.SheetTimeOut{Place: r.place()})
		}
	case "attempt":
		shootOut := r.fact.Get(On) == string(entry.ShootOutAttempt)
		r.s.Attempts = append(r.s.Attempts, audit.SheetAttempt{
			Place: r.place(), Player: r.jersey(Number), Scored: r.fact.Get(Scored) != "", ShootOut: shootOut,
		})
	}
}

func (r *sheetReader) head() {
	text := r.fact.Get(Text)
	number := func() int {
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 {
			r.bad(Text, "sheet.count")
		}
		return n
	}
	switch r.fact.Get(Key) {
	case "times":
		if r.s.Times == rulebook.TimesUnsaid {
			r.s.Times = rulebook.ReportTimes(text)
		}
	case "home":
		r.s.Teams[0].Name = text
	case "visitors":
		r.s.Teams[1].Name = text
	case "home_score":
		r.score[0] = number()
		r.s.Totals = append(r.s.Totals, audit.SheetTotal{Row: r.row, Total: audit.TotalScore, Side: entry.Home, Count: r.score[0]})
	case "visitors_score":
		r.score[1] = number()
		r.s.Totals = append(r.s.Totals, audit.SheetTotal{Row: r.row, Total: audit.TotalScore, Side: entry.Visitors, Count: r.score[1]})
	case "finished_ms":
		r.s.Finished = true
	case "decided":
		r.decided = text
	}
}

// ofTotal are the totals that are held against the lines.
var ofTotal = map[string]audit.Total{
	"penalties": audit.TotalPenalties, "power_plays": audit.TotalChances, "power_play_goals": audit.TotalPowerPlayGoals,
	"shots": audit.TotalShots, "penalty_minutes": audit.TotalMinutes,
}

func (r *sheetReader) total() {
	total, held := ofTotal[r.fact.Get(Key)]
	if !held {
		return
	}
	count := 0
	if total == audit.TotalMinutes {
		count = int(r.clock(Text) / entry.Clock(1, 0))
	} else {
		count = r.count(Text)
	}
	r.s.Totals = append(r.s.Totals, audit.SheetTotal{Row: r.row, Total: total, Side: r.side(), Count: count})
}

func (r *sheetReader) player() {
	side, status := r.side(), r.fact.Get(Status)
	if r.fault != nil {
		return
	}
	number := r.jersey(Number)
	if status != notListed {
		m := audit.SheetMember{
			Row: r.row, Number: number, Name: r.fact.Get(Name), Goalkeeper: r.fact.Get(Position) == string(entry.Keeps),
			Captain: r.fact.Get(Letter) == "C", Alternate: r.fact.Get(Letter) == "A",
		}
		if s := entry.PlayerStatus(status); !s.Plays() {
			m.Away = status
		}
		t := &r.s.Teams[side.Index()]
		t.Players = append(t.Players, m)
	}
	r.s.Players = append(r.s.Players, audit.SheetPlayer{
		Row: r.row, Side: side, Number: number, Goals: r.count(Goals), Assists: r.count(Assists), Minutes: r.clock(Minutes),
	})
}

func (r *sheetReader) goal() {
	g := audit.SheetGoal{
		Place: r.place(), Scorer: r.jersey(Number), Class: rules.Class(r.fact.Get(Class)), On: entry.GoalOn(r.fact.Get(On)),
		EmptyNet: r.fact.Get(EmptyNet) != "", OwnGoal: r.fact.Get(OwnGoal) != "", Goalkeeper: r.jersey(Goalkeeper),
	}
	g.Entry = "" // a row is named by its number
	switch g.Class {
	case "", rules.EvenStrength, rules.PowerPlay, rules.ShortHanded:
	default:
		r.bad(Class, "sheet.class")
	}
	switch g.On {
	case entry.OnPlay, entry.OnPenaltyShot, entry.OnAwarded:
	default:
		r.bad(On, "sheet.class")
	}
	for _, c := range []Column{Assist1, Assist2} {
		if r.fact.Get(c) != "" {
			g.Assists = append(g.Assists, r.jersey(c))
		}
	}
	for i, c := range []Column{OnIceHome, OnIceAway} {
		for _, text := range strings.Fields(r.fact.Get(c)) {
			j := entry.Jersey(text)
			if !j.Valid() {
				r.bad(c, "sheet.number")
			}
			g.OnIce[i] = append(g.OnIce[i], j)
		}
	}
	r.s.Goals = append(r.s.Goals, g)
}

func (r *sheetReader) penalty() {
	c := audit.SheetCall{
		Place: r.place(), Call: r.fact.Get(Call), ServedBy: r.jersey(ServedBy), Wiped: r.fact.Get(How) == "wiped",
		Signalled: r.fact.Get(Signalled) != "", Start: r.moment(StartPeriod, Start), End: r.moment(EndPeriod, End), On: r.moment(BackPeriod, Back),
	}
	if r.fact.Get(Number) == "bench" {
		c.Bench = true
	} else {
		c.Player = r.jersey(Number)
	}
	part := entry.Part(r.fact.Get(Part))
	if !slices.Contains(entry.Parts, part) {
		r.bad(Part, "sheet.penalty")
	}
	c.Parts = []entry.Part{part}
	if r.fact.Get(Minutes) != "" {
		charged := r.clock(Minutes)
		c.Charged = &charged
		if r.fact.Get(Given) != "" {
			c.Given = charged
		}
	}
	r.s.Calls = append(r.s.Calls, c)
}

// join puts the parts of one call behind one another, in the order in which they
// are served, whatever the order of the rows.
func (r *sheetReader) join() {
	rank := func(c audit.SheetCall) int { return slices.Index(entry.Parts, c.Parts[0]) }
	start := func(c audit.SheetCall) entry.At {
		if c.Start == nil {
			return entry.At{}
		}
		return *c.Start
	}
	slices.SortStableFunc(r.s.Calls, func(x, y audit.SheetCall) int {
		if x.Entry == "" || x.Entry != y.Entry {
			return strings.Compare(x.Entry, y.Entry)
		}
		return cmp.Or(rank(x)-rank(y), start(x).Compare(start(y)))
	})
	for i := range r.s.Calls {
		if c := &r.s.Calls[i]; c.Entry != "" {
			c.First = r.parts[c.Entry]
			r.parts[c.Entry]++
		}
	}
}

// place is where a line stands.
func (r *sheetReader) place() audit.Place {
	p := audit.Place{Row: r.row, Entry: r.fact.Get(Entry), Side: r.side(), At: entry.At{}}
	p.At.Period = r.count(Period)
	if r.fact.Get(Elapsed) == "" {
		p.NoTime = true
	} else {
		p.At.Elapsed = r.clock(Elapsed)
	}
	return p
}

func (r *sheetReader) side() entry.Side {
	side := entry.Side(r.fact.Get(Side))
	if !side.Valid() {
		r.bad(Side, "sheet.team")
	}
	return side
}

// jersey reads a number; an empty cell is one that is missing.
func (r *sheetReader) jersey(c Column) entry.Jersey {
	j := entry.Jersey(r.fact.Get(c))
	if j != "" && !j.Valid() {
		r.bad(c, "sheet.number")
	}
	return j
}

// most is how large a count of a game may be.
const most = 9999

// count reads a count; an empty cell is none.
func (r *sheetReader) count(c Column) int {
	text := r.fact.Get(c)
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > most {
		r.bad(c, "sheet.count")
	}
	return n
}

func (r *sheetReader) known(c Column) *int {
	if r.fact.Get(c) == "" {
		return nil
	}
	n := r.count(c)
	return &n
}

// clock reads minutes and seconds; an empty cell is nought.
func (r *sheetReader) clock(c Column) entry.Millis {
	text := r.fact.Get(c)
	if text == "" {
		return 0
	}
	m, ok := clock(text)
	if !ok {
		r.bad(c, "sheet.time")
	}
	return m
}

// clock reads minutes and seconds. A total may have many minutes.
func clock(text string) (entry.Millis, bool) {
	minutes, seconds, colon := strings.Cut(text, ":")
	m, err := strconv.Atoi(minutes)
	s, bad := strconv.Atoi(seconds)
	if !colon || err != nil || bad != nil || m < 0 || m > most || s < 0 || s > 59 || len(seconds) != 2 {
		return 0, false
	}
	return entry.Clock(m, s), true
}

// moment reads a period and a time. Older reports have both in one cell, such as
// "2 4:48".
func (r *sheetReader) moment(periodIn, c Column) *entry.At {
	text := r.fact.Get(c)
	if text == "" {
		return nil
	}
	period, time, both := strings.Cut(text, " ")
	if !both {
		period, time = r.fact.Get(periodIn), text
	}
	n, err := strconv.Atoi(period)
	m, ok := clock(time)
	if err != nil || !ok || n < 1 || n > most {
		r.bad(c, "sheet.time")
		return nil
	}
	return &entry.At{Period: n, Elapsed: m}
}
