package typed

import (
	"strings"

	"whistlestop/game/entry"
	"whistlestop/record/audit"
)

func (r *reader) player(one row) error {
	side, err := r.side(one)
	if err != nil {
		return err
	}
	m := audit.SheetMember{Row: one.number, Name: one.get(colName), Goalkeeper: isGoalkeeper(one.get(colPosition))}
	if m.Number, err = number(one, colNumber); err != nil {
		return err
	}
	if m.Number == "" {
		return bad(one, colNumber, "sheet.number")
	}
	letter := plain(one.get(colLetter))
	m.Captain, m.Alternate = letter == "c" || letter == "captain", letter == "a" || letter == "alternate"
	var ok bool
	if m.Away, ok = away(one.get(colStatus)); !ok {
		return bad(one, colStatus, "sheet.status")
	}
	t := &r.s.Teams[side.Index()]
	t.Players = append(t.Players, m)
	return nil
}

func (r *reader) goal(one row) error {
	place, err := r.place(one)
	if err != nil {
		return err
	}
	g := audit.SheetGoal{Place: place, Nameless: !r.table.has[colNumber]}
	if plain(one.get(colClass)) == shootOutGoal {
		r.s.ShootOut = place.Side
		return nil
	}
	set, known := classesOf(one.get(colClass))
	if !known {
		return bad(one, colClass, "sheet.class")
	}
	for _, one := range set {
		one(&g)
	}
	if set, named := classes[plain(one.get(colNumber))]; named && plain(one.get(colNumber)) != "" {
		set(&g) // "own goal" where the scorer stands
	} else if g.Scorer, err = number(one, colNumber); err != nil {
		return err
	}
	for _, c := range []column{colAssist1, colAssist2, colAssist3} {
		for _, text := range strings.Fields(strings.Join(split(one.get(c)), " ")) {
			j, ok := jersey(text)
			if !ok {
				return bad(one, c, "sheet.number")
			}
			g.Assists = append(g.Assists, j)
		}
	}
	if g.Goalkeeper, err = number(one, colGoalkeeper); err != nil {
		return err
	}
	if text := one.get(colScore); text != "" {
		var ok bool
		if g.Score, ok = score(text); !ok {
			return bad(one, colScore, "sheet.score")
		}
	}
	r.s.Goals = append(r.s.Goals, g)
	return nil
}

func (r *reader) penalty(one row) error {
	place, err := r.place(one)
	if err != nil {
		return err
	}
	c := audit.SheetCall{
		Place: place, Call: callID(one.get(colCall)), Nameless: !r.table.has[colCall], Endless: !r.table.has[colOn],
		Signalled: yes(one.get(colSignalled)), Wiped: yes(one.get(colWiped)),
	}
	c.Signalled = c.Signalled || c.Wiped
	if who := plain(one.get(colNumber)); who == "bench" || who == "team" || who == "b" {
		c.Bench = true
	} else if c.Player, err = number(one, colNumber); err != nil {
		return err
	}
	if c.ServedBy, err = number(one, colServed); err != nil {
		return err
	}
	if c.ServedBy == c.Player {
		c.ServedBy = ""
	}
	if err := r.parts(one, &c); err != nil {
		return err
	}
	r.s.Calls = append(r.s.Calls, c)
	n := len(r.s.Calls) - 1
	if err := r.on(one, colStart, n); err != nil {
		return err
	}
	return r.on(one, colOn, n)
}

// callID turns words into the id of an infraction; one that no code has stays as
// it was written.
func callID(text string) string {
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if r == '-' || r == '_' {
			return ' '
		}
		return r
	}, strings.ToLower(text))), "_")
}

// parts reads what was imposed: in words, or from the minutes.
func (r *reader) parts(one row, c *audit.SheetCall) error {
	var list []entry.Millis
	if text := one.get(colMinutes); text != "" {
		var ok bool
		if list, ok = minutes(text); !ok {
			return bad(one, colMinutes, "sheet.minutes")
		}
		sum := entry.Millis(0)
		for _, m := range list {
			sum += m
		}
		c.Charged = &sum
	}
	for _, word := range split(one.get(colPenalty)) {
		parts, known := severities[plain(word)]
		if !known {
			return bad(one, colPenalty, "sheet.penalty")
		}
		c.Parts = append(c.Parts, parts...)
	}
	if len(c.Parts) == 0 {
		for _, m := range list {
			parts, known := r.byLength(m)
			if !known {
				return bad(one, colMinutes, "sheet.minutes_unclear")
			}
			c.Parts = append(c.Parts, parts...)
		}
	}
	if len(c.Parts) == 0 || len(c.Parts) > 6 {
		return bad(one, colPenalty, "sheet.penalty")
	}
	for i, part := range c.Parts {
		if part == entry.BenchMinor {
			c.Bench = c.Player == ""
		}
		if c.Bench && part == entry.Minor {
			c.Parts[i] = entry.BenchMinor
		}
		if !c.Bench && part == entry.BenchMinor {
			c.Parts[i] = entry.Minor // called on the bench, written on a player
		}
	}
	return nil
}

// byLength tells a penalty by its minutes, where only one can be meant.
func (r *reader) byLength(m entry.Millis) ([]entry.Part, bool) {
	l := r.s.Division.Lengths
	switch m {
	case l.Minor:
		return []entry.Part{entry.Minor}, true
	case 2 * l.Minor:
		return []entry.Part{entry.Minor, entry.Minor}, true
	case l.Major:
		return []entry.Part{entry.Major}, true
	case l.Misconduct:
		return []entry.Part{entry.Misconduct}, true
	case entry.Clock(2, 0): // the books' own lengths, in a division with others
		return []entry.Part{entry.Minor}, true
	case entry.Clock(4, 0):
		return []entry.Part{entry.Minor, entry.Minor}, true
	case entry.Clock(5, 0):
		return []entry.Part{entry.Major}, true
	default:
		return nil, false
	}
}

// goalkeeper reads a change in goal; without a period it is who began.
func (r *reader) goalkeeper(one row) error {
	side, err := r.side(one)
	if err != nil {
		return err
	}
	c := audit.SheetChange{Place: audit.Place{Row: one.number, Side: side}}
	if one.get(colPeriod) != "" || one.get(colTime) != "" {
		if c.Place, err = r.place(one); err != nil {
			return err
		}
	}
	switch plain(one.get(colNumber)) {
	case "empty", "emptynet", "none", "out":
	default:
		if c.Number, err = number(one, colNumber); err != nil {
			return err
		}
	}
	r.s.Changes = append(r.s.Changes, c)
	return nil
}

func (r *reader) figures(one row) error {
	side, err := r.side(one)
	if err != nil {
		return err
	}
	k := audit.SheetGoalkeeper{Row: one.number, Side: side}
	if k.Number, err = number(one, colNumber); err != nil {
		return err
	}
	if text := one.get(colMinutes); text != "" {
		list, ok := minutes(text)
		if !ok || len(list) != 1 {
			return bad(one, colMinutes, "sheet.minutes")
		}
		k.Time = &list[0]
	}
	for _, f := range []struct {
		c  column
		to **int
	}{{colShots, &k.Shots}, {colAgainst, &k.GoalsAgainst}, {colSaves, &k.Saves}} {
		if one.get(f.c) == "" {
			continue
		}
		n, err := count(one, f.c)
		if err != nil {
			return err
		}
		*f.to = &n
	}
	r.s.Goalkeepers = append(r.s.Goalkeepers, k)
	return nil
}

func (r *reader) shots(one row) error {
	s := audit.SheetShots{Row: one.number}
	var err error
	if s.Side, err = r.side(one); err != nil {
		return err
	}
	if s.Period, err = r.periodOf(one); err != nil {
		return err
	}
	if s.Goalkeeper, err = number(one, colGoalkeeper); err != nil {
		return err
	}
	if s.Count, err = count(one, colCount); err != nil {
		return err
	}
	r.s.Shots = append(r.s.Shots, s)
	return nil
}

// shootOut reads an attempt, or who won.
func (r *reader) shootOut(one row) error {
	side, err := r.side(one)
	if err != nil {
		return err
	}
	if plain(one.get(colScored)) == "won" {
		r.s.ShootOut = side
		return nil
	}
	a := audit.SheetAttempt{Place: audit.Place{Row: one.number, Side: side, NoTime: true}, ShootOut: true, Scored: yes(one.get(colScored))}
	if a.Player, err = number(one, colNumber); err != nil {
		return err
	}
	r.s.Attempts = append(r.s.Attempts, a)
	return nil
}

func (r *reader) total(one row) error {
	t := audit.SheetTotal{Row: one.number}
	var known bool
	if t.Total, known = totals[plain(one.get(colTotal))]; !known {
		return bad(one, colTotal, "sheet.total", "totals", totalNames())
	}
	var err error
	if t.Side, err = r.side(one); err != nil {
		return err
	}
	if one.get(colPeriod) != "" {
		if t.Period, err = r.periodOf(one); err != nil {
			return err
		}
	}
	if t.Count, err = count(one, colCount); err != nil {
		return err
	}
	r.s.Totals = append(r.s.Totals, t)
	return nil
}
