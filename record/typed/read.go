package typed

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/record/audit"
)

// Options say how a sheet is to be read.
type Options struct {
	Division rulebook.Division
	Times    rulebook.ReportTimes // how the sheet writes times; empty: as the division says, or elapsed
}

// Read reads a file. The error is a *Fault that says where and why, and what to
// do.
func Read(text []byte, o Options) (audit.Sheet, error) {
	t, err := readTable(text)
	if err != nil {
		return audit.Sheet{}, err
	}
	r := &reader{table: t, s: audit.Sheet{
		Division: o.Division, Times: cmp.Or(o.Times, o.Division.ReportTimes, rulebook.TimesElapsed), Finished: true,
		Teams: [2]audit.SheetTeam{{Name: "Home"}, {Name: "Visitors"}},
	}}
	// Names of teams and lengths of periods first: other rows need them.
	for _, first := range []bool{true, false} {
		for _, one := range t.rows {
			k, known := kindOf(one.get(colWhat))
			if !known {
				return audit.Sheet{}, fault(one.number, string(colWhat), "sheet.kind", "text", short(one.get(colWhat)), "kinds", kindNames())
			}
			if first != (k == aTeam || k == aPeriod) {
				continue
			}
			if err := r.read(k, one); err != nil {
				return audit.Sheet{}, err
			}
		}
	}
	if len(r.s.Periods) > 0 {
		r.regulation()
	}
	r.placeOn()
	return r.s, nil
}

// reader is a sheet under way.
type reader struct {
	table *table
	s     audit.Sheet
	ons   []onText
}

// onText is a written time of a penalty's start or end, to be placed when all
// periods are known.
type onText struct {
	call int
	end  bool
	row  row
	at   entry.At
	said bool // the period was written
}

func (r *reader) read(k kind, one row) error {
	switch k {
	case aTeam:
		return r.team(one)
	case aPlayer:
		return r.player(one)
	case aPeriod:
		return r.period(one)
	case aGoal:
		return r.goal(one)
	case aPenalty:
		return r.penalty(one)
	case aGoalkeeper:
		return r.goalkeeper(one)
	case aFigure:
		return r.figures(one)
	case aShots:
		return r.shots(one)
	case aTimeOut:
		place, err := r.place(one)
		r.s.TimeOuts = append(r.s.TimeOuts, audit.SheetTimeOut{Place: place})
		return err
	case aShootOut:
		return r.shootOut(one)
	case aTotal:
		return r.total(one)
	default:
		return nil
	}
}

// bad refuses a cell.
func bad(one row, c column, key string, pairs ...string) error {
	return fault(one.number, string(c), key, append(pairs, "text", short(one.get(c)))...)
}

// side reads which team a row is about.
func (r *reader) side(one row) (entry.Side, error) {
	text := plain(one.get(colTeam))
	switch text {
	case "home", "h":
		return entry.Home, nil
	case "visitors", "visitor", "visiting", "away", "v", "a", "guest", "guests":
		return entry.Visitors, nil
	}
	for i, side := range entry.Sides {
		if text != "" && text == plain(r.s.Teams[i].Name) {
			return side, nil
		}
	}
	return "", bad(one, colTeam, "sheet.team")
}

func (r *reader) team(one row) error {
	side, err := r.side(one)
	if err != nil {
		return err
	}
	if name := one.get(colName); name != "" {
		r.s.Teams[side.Index()].Name = name
	}
	return nil
}

// periodOf reads the period of a row.
func (r *reader) periodOf(one row) (int, error) {
	n, ok := period(one.get(colPeriod), len(r.s.Division.Periods))
	if !ok {
		return 0, bad(one, colPeriod, "sheet.period")
	}
	return n, nil
}

func (r *reader) period(one row) error {
	n, err := r.periodOf(one)
	if err != nil {
		return err
	}
	p := audit.SheetPeriod{Period: n}
	if text := one.get(colTime); text != "" {
		if p.Length, err = entry.ParseClock(text); err != nil || p.Length == 0 {
			return bad(one, colTime, "sheet.time")
		}
	}
	if slices.ContainsFunc(r.s.Periods, func(o audit.SheetPeriod) bool { return o.Period == n }) {
		return bad(one, colPeriod, "sheet.period_twice")
	}
	r.s.Periods = append(r.s.Periods, p)
	return nil
}

// regulation adds the periods that the sheet does not list, so that listing one
// is enough to say how long it was.
func (r *reader) regulation() {
	last := len(r.s.Division.Periods)
	for _, p := range r.s.Periods {
		last = max(last, p.Period)
	}
	for n := 1; n <= last; n++ {
		if !slices.ContainsFunc(r.s.Periods, func(o audit.SheetPeriod) bool { return o.Period == n }) {
			r.s.Periods = append(r.s.Periods, audit.SheetPeriod{Period: n})
		}
	}
	slices.SortFunc(r.s.Periods, func(x, y audit.SheetPeriod) int { return x.Period - y.Period })
}

// length returns the length of a period as the sheet or the division has it.
func (r *reader) length(n int) entry.Millis {
	for _, p := range r.s.Periods {
		if p.Period == n && p.Length > 0 {
			return p.Length
		}
	}
	return audit.PeriodLength(r.s.Division, n)
}

// elapsed turns a written time into the time elapsed.
func (r *reader) elapsed(one row, c column, text string, n int) (entry.Millis, error) {
	m, err := entry.ParseClock(text)
	if err != nil {
		return 0, bad(one, c, "sheet.time")
	}
	if r.s.Times == rulebook.TimesRemaining {
		return r.length(n) - m, nil
	}
	return m, nil
}

// place reads where a row stands in the game.
func (r *reader) place(one row) (audit.Place, error) {
	p := audit.Place{Row: one.number}
	var err error
	if p.Side, err = r.side(one); err != nil {
		return p, err
	}
	if p.At.Period, err = r.periodOf(one); err != nil {
		return p, err
	}
	if one.get(colTime) == "" {
		p.NoTime = true
		return p, nil
	}
	p.At.Elapsed, err = r.elapsed(one, colTime, one.get(colTime), p.At.Period)
	return p, err
}

// number reads a sweater number; an empty cell is one that is missing.
func number(one row, c column) (entry.Jersey, error) {
	j, ok := jersey(one.get(c))
	if !ok {
		return "", bad(one, c, "sheet.number")
	}
	return j, nil
}

func count(one row, c column) (int, error) {
	n, err := strconv.Atoi(one.get(c))
	if err != nil || n < 0 || n > 9999 {
		return 0, bad(one, c, "sheet.count")
	}
	return n, nil
}

// placeOn works out in which period the times of penalties are that do not say
// it: the same as the call, or the next one if the time is before the call.
func (r *reader) placeOn() {
	for _, o := range r.ons {
		c := &r.s.Calls[o.call]
		at := o.at
		if !o.said && !c.NoTime && at.Elapsed < c.At.Elapsed {
			if r.s.Times == rulebook.TimesRemaining { // counted from the end of another period
				at.Elapsed += r.length(at.Period+1) - r.length(at.Period)
			}
			at.Period++
		}
		if o.end {
			c.On = &at
		} else {
			c.Start = &at
		}
	}
}

// on notes the start or the end of a penalty: "0:40", or with its period, "2/0:40".
func (r *reader) on(one row, c column, call int) error {
	text := one.get(c)
	if text == "" {
		return nil
	}
	at := entry.At{Period: r.s.Calls[call].At.Period}
	said := false
	if before, after, found := strings.Cut(strings.Replace(text, " ", "/", 1), "/"); found {
		n, ok := period(before, len(r.s.Division.Periods))
		if !ok {
			return bad(one, c, "sheet.time")
		}
		at.Period, text, said = n, after, true
	}
	var err error
	if at.Elapsed, err = r.elapsed(one, c, strings.TrimSpace(text), at.Period); err != nil {
		return err
	}
	r.ons = append(r.ons, onText{call: call, end: c == colOn, row: one, at: at, said: said})
	return nil
}
