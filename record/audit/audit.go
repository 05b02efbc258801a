package audit

import (
	"cmp"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Check says what does not add up in a sheet: first the teams, then line by line
// in the order of the game, then the totals. It plays the sheet by the rules of
// its division and holds what is claimed against what follows. It returns an
// error for a division that cannot be used.
func Check(s Sheet) ([]Finding, error) {
	s.complete()
	s.writtenAsRostered()
	a := &auditor{s: &s, ids: map[string]int{}, outs: map[who]entry.At{}}
	code, ok := rulebook.CodeByID(s.Division.Code)
	if !ok {
		return nil, message.New("sheet.code", "code", message.Plain(s.Division.Code))
	}
	a.code = code
	if !s.Exact {
		a.slack = 1000 // whole seconds: each end of a time may be cut or rounded
	}
	a.times() // the order of the lines is looked at first, and has no meaning after that
	s.order()
	if err := a.play(); err != nil {
		return nil, err
	}
	a.teams()
	a.goals()
	a.calls()
	a.totals()
	a.players()
	a.goalkeepers()
	a.endOfGame()
	slices.SortStableFunc(a.found, func(x, y ranked) int {
		return cmp.Or(cmp.Compare(x.section, y.section), x.at.Compare(y.at), cmp.Compare(x.rank, y.rank))
	})
	out := make([]Finding, len(a.found))
	for i := range a.found {
		out[i] = a.found[i].Finding
		out[i].ID = a.id(a.found[i])
	}
	return out, nil
}

// complete fills in what a sheet leaves to its division: the periods played, and
// how long they were.
func (s *Sheet) complete() {
	last := 0
	if s.Finished {
		last = len(s.Division.Periods)
	}
	longest := len(s.Division.Periods) + max(1, len(s.Division.Overtime.Periods))
	if s.Division.Overtime.Repeat {
		longest += 6
	}
	see := func(p Place) {
		if !p.NoTime && p.At.Period <= longest {
			last = max(last, p.At.Period)
		}
	}
	for i := range s.Goals {
		see(s.Goals[i].Place)
	}
	for i := range s.Calls {
		see(s.Calls[i].Place)
	}
	if !s.ShootOut.Valid() {
		s.ShootOut = shootOutWinner(s.Attempts)
	}
	s.Periods = slices.Clone(s.Periods)
	if len(s.Periods) == 0 {
		for period := 1; period <= last; period++ {
			s.Periods = append(s.Periods, SheetPeriod{Period: period})
		}
	}
	for i := range s.Periods {
		if p := &s.Periods[i]; p.Length == 0 {
			p.Length = PeriodLength(s.Division, p.Period)
		}
	}
}

// unknownOvertime is the length of an overtime that a division does not know
// (common practice, no source).
const unknownOvertime = entry.Millis(5 * 60_000)

// PeriodLength returns the length of a period by a division: overtime periods
// follow regulation, and the last one given repeats.
func PeriodLength(d rulebook.Division, period int) entry.Millis {
	n := period - len(d.Periods)
	switch {
	case n <= 0:
		return d.Periods[max(period, 1)-1]
	case len(d.Overtime.Periods) > 0:
		return d.Overtime.Periods[min(n, len(d.Overtime.Periods))-1].Length
	default:
		return unknownOvertime
	}
}

// who is a player of the game.
type who struct {
	side   entry.Side
	number entry.Jersey
}

// auditor is an audit under way.
type auditor struct {
	s     *Sheet
	code  *rulebook.Code
	slack entry.Millis
	state rules.State // the game as the rules have it
	found []ranked
	ids   map[string]int
	outs  map[who]entry.At // when a player was sent off
}

// ranked is a finding with its place in the order of the list.
type ranked struct {
	Finding
	section, rank int
	at            entry.At
	detail        string // tells findings of one kind in one place apart
}

// The sections of an audit.
const (
	ofTeams = iota
	ofLines
	ofTotals
)

// find adds a finding. Pairs are the arguments of its sentences.
func (a *auditor) find(kind Kind, section int, p Place, number entry.Jersey, pairs ...string) *ranked {
	rank := slices.IndexFunc(facts, func(f fact) bool { return f.kind == kind })
	f := facts[rank]
	w := Where{Row: p.Row, Entry: p.Entry, Side: p.Side, Number: number}
	if section == ofLines {
		w.Period = p.At.Period
		if !p.NoTime {
			w.Time = a.clock(p.At)
		}
	}
	args := rules.Pairs(append([]string{
		"team", a.team(p.Side), "player", playerArg(number), "time", cmp.Or(w.Time, "@audit.no_time"), "period", a.period(p.At.Period),
	}, pairs...)...)
	say := func(key string) rules.Say { return rules.Say{Key: key + string(kind), Args: args} }
	found := Finding{
		Kind: kind, Severity: f.severity, Where: w, What: say("audit.what."), Right: say("audit.right."),
		Why: rules.Reason{Code: f.book, Rule: f.rule, Say: say("audit.why.")},
	}
	a.found = append(a.found, ranked{Finding: found, section: section, rank: rank, at: p.At})
	return &a.found[len(a.found)-1]
}

// id makes the stable id of a finding: its kind and its place.
func (a *auditor) id(f ranked) string {
	id, w := string(f.Kind), f.Where
	switch {
	case w.Entry != "":
		id += "/" + w.Entry
	case w.Row > 0:
		id += "/row" + strconv.Itoa(w.Row)
	default:
		if w.Period > 0 {
			id += "/" + strconv.Itoa(w.Period)
		}
		if w.Side != "" {
			id += "/" + string(w.Side)
		}
	}
	for _, more := range []string{string(w.Number), f.detail} {
		if more != "" {
			id += "/" + more
		}
	}
	a.ids[id]++
	if n := a.ids[id]; n > 1 {
		id += "/" + strconv.Itoa(n)
	}
	return id
}

func (a *auditor) team(side entry.Side) string {
	if !side.Valid() {
		return "@audit.no_team"
	}
	return cmp.Or(a.s.Teams[side.Index()].Name, "@audit.side."+string(side))
}

// period names a period by its key.
func (a *auditor) period(n int) string {
	kind := entry.Period
	if over := n - len(a.s.Division.Periods); over > 0 {
		kind, n = entry.Overtime, over
	}
	if n < 1 {
		return "@audit.before_game"
	}
	if n > 9 {
		return strconv.Itoa(n)
	}
	return "@stage." + string(kind) + "." + strconv.Itoa(n)
}

// length returns the length of a period, and whether it was played.
func (a *auditor) length(period int) (entry.Millis, bool) {
	for _, p := range a.s.Periods {
		if p.Period == period {
			return p.Length, true
		}
	}
	return 0, false
}

// clock writes a moment as the sheet writes times.
func (a *auditor) clock(at entry.At) string {
	length, known := a.length(at.Period)
	if a.s.Times != rulebook.TimesRemaining || !known {
		if known { // rounded as a clock that counts down is
			if left := length - at.Elapsed; left >= 0 {
				return (length - (left+999)/1000*1000).String()
			}
		}
		return at.Elapsed.String()
	}
	return (length - at.Elapsed).Left()
}

// abs returns a moment on the axis of play.
func (a *auditor) abs(at entry.At) entry.Millis {
	if at.Period < 1 {
		return 0 // before the game
	}
	sum := entry.Millis(0)
	for _, p := range a.state.Periods {
		if p.Period == at.Period {
			return p.Abs + at.Elapsed
		}
		sum = p.Abs + p.Length
	}
	return sum
}

func playerArg(j entry.Jersey) string {
	if j == "" {
		return "@player.owed"
	}
	return string(j)
}

// member finds a player on the roster.
func (a *auditor) member(side entry.Side, j entry.Jersey) *SheetMember {
	if !side.Valid() || j == "" {
		return nil
	}
	players := a.s.Teams[side.Index()].Players
	for i := range players {
		if players[i].Number == j {
			return &players[i]
		}
	}
	return nil
}

func (a *auditor) isGoalkeeper(side entry.Side, j entry.Jersey) bool {
	m := a.member(side, j)
	return m != nil && m.Goalkeeper
}

// play plays the sheet. Where a captain had a choice that the sheet does not
// tell, the answer counts that fits the written times best.
func (a *auditor) play() error {
	state, err := replay(a.s, nil)
	if err != nil {
		return err
	}
	a.state = state
	if a.s.Exact || len(state.Asked) == 0 {
		return nil
	}
	var chosen []entry.Choice
	for n := 0; n < len(a.state.Asked) && n < mostQuestions; n++ {
		q := a.state.Asked[n]
		best, least := entry.Choice{}, a.misfits()
		for _, player := range q.Players {
			try := entry.Choice{Question: q.ID, Picks: []entry.Jersey{player}}
			other, err := replay(a.s, append(slices.Clone(chosen), try))
			if err != nil {
				return err
			}
			kept := a.state
			a.state = other
			if m := a.misfits(); m < least {
				best, least = try, m
			} else {
				a.state = kept
			}
		}
		if best.Question != "" {
			chosen = append(chosen, best)
		}
	}
	return nil
}

// mostQuestions bounds the work for a sheet with many open questions.
const mostQuestions = 12

// misfits counts the classes and times that do not fit the game as it is played
// at the moment.
func (a *auditor) misfits() int {
	n := 0
	for i := range a.s.Goals {
		if !a.classFits(i) {
			n++
		}
	}
	for i := range a.s.Calls {
		n += len(a.badTimes(i))
	}
	return n
}
