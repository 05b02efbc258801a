package maker

import (
	"encoding/json"
	"fmt"
	"slices"

	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// Order is what a practice game is to be.
type Order struct {
	Seed     uint32            `json:"seed"`
	Level    int               `json:"level"`  // 1 to 5
	Skills   []plot.Skill      `json:"skills"` // empty: those of the level
	Division rulebook.Division `json:"division"`
	Card     json.RawMessage   `json:"card,omitempty"` // for follow_board
}

// attempts is how many plots are tried until one has everything that was asked.
const attempts = 60

// Generate makes a practice game. The same seed, level, skills and division give
// the same game. It fails where the skills do not fit into one game, or the
// division does not have what they need.
func Generate(seed uint32, lev int, skills []plot.Skill, division rulebook.Division) (script.Script, error) {
	return Order{Seed: seed, Level: lev, Skills: skills, Division: division}.Script()
}

// Script makes the practice game that is ordered.
func (o Order) Script() (script.Script, error) {
	if err := o.check(); err != nil {
		return script.Script{}, err
	}
	if len(o.Skills) == 0 {
		o.Skills = plot.AtLevel[o.Level].Skills
		if len(o.Division.Overtime.Periods) == 0 {
			o.Skills = slices.DeleteFunc(slices.Clone(o.Skills), func(s plot.Skill) bool { return s == plot.Overtime })
		}
	}
	var last error
	for attempt := range attempts {
		p, err := o.plot(attempt)
		if err != nil {
			last = err
			continue
		}
		made, err := Direct(p)
		if err != nil {
			last = err
			continue
		}
		missing := slices.DeleteFunc(slices.Clone(o.Skills), func(s plot.Skill) bool { return slices.Contains(made.Skills, s) })
		if len(missing) == 0 {
			return made, nil
		}
		last = message.New("order.skills", "skills", plot.Join(missing))
	}
	return script.Script{}, last
}

func (o Order) check() error {
	if o.Level < 1 || o.Level > plot.Levels {
		return message.New("plot.level", "most", plot.Levels, "level", o.Level)
	}
	if err := o.Division.Validate(); err != nil {
		return message.Because(err, "plot.division")
	}
	for _, s := range o.Skills {
		switch {
		case !s.Valid():
			return message.New("plot.skill", "skill", message.Plain(s), "known", plot.Join(plot.Skills))
		case s == plot.Overtime && len(o.Division.Overtime.Periods) == 0:
			return message.New("order.overtime", "division", o.Division.Name)
		case s == plot.FollowBoard && len(o.Card) == 0:
			return message.New("order.card")
		}
	}
	if o.Division.Lengths.Form == rulebook.MinorShot || o.Division.Lengths.Form == rulebook.MinorShift {
		return message.New("order.form", "division", o.Division.Name)
	}
	return nil
}

// maker makes one plot.
type maker struct {
	order  Order
	luck   *dice.Luck
	plot   plot.Plot
	minor  int // seconds
	next   [2][]entry.Jersey
	place  [2]int
	called [2]map[entry.Jersey]entry.Millis // on the axis: the newest call of a player
	busy   [][]window                       // by period: what scenes need for themselves
}

// window is a stretch of a period, in seconds. Nothing else may touch the box in
// it, or the goals.
type window struct{ from, to int }

func (o Order) plot(attempt int) (plot.Plot, error) {
	m := &maker{order: o, luck: dice.Roll(o.Seed+uint32(attempt)*7919, "game"), minor: int(o.Division.Lengths.Minor / 1000)}
	m.plot = plot.Plot{
		ID: fmt.Sprintf("game-%d-level-%d", o.Seed, o.Level), Title: fmt.Sprintf("Practice game %d, level %d", o.Seed, o.Level),
		Level: o.Level, Seed: o.Seed, Skills: o.Skills, Division: o.Division, Clock: entry.Lead,
		Box: plot.AtLevel[o.Level].Box || slices.ContainsFunc(o.Skills, needsBox), Whistles: []plot.Whistle{},
	}
	if slices.Contains(o.Skills, plot.FollowBoard) {
		m.plot.Clock, m.plot.Card = entry.Follow, o.Card
	}
	m.teams()
	m.busy = make([][]window, len(o.Division.Periods)+1)
	if err := m.scenes(); err != nil {
		return plot.Plot{}, err
	}
	for period := 1; period <= len(o.Division.Periods); period++ {
		m.fill(period, m.seconds(period), false)
	}
	m.sort()
	m.overtime()
	m.players()
	return m.plot, nil
}

// needsBox reports whether a skill is about who leaves the box.
func needsBox(s plot.Skill) bool {
	return slices.Contains([]plot.Skill{plot.MinorCall, plot.CarryOver, plot.DelayedThird, plot.DoubleMinor}, s)
}

// clubs are the teams of the invented Harbour League.
var clubs = []string{"Kelp Bay", "Lanternside", "Millrace", "Northmole"}

// teams draws two teams with invented numbers, and no names.
func (m *maker) teams() {
	first := m.luck.Below(len(clubs))
	second := (first + 1 + m.luck.Below(len(clubs)-1)) % len(clubs)
	for i, name := range []string{clubs[first], clubs[second]} {
		numbers := map[int]bool{1: true}
		team := entry.Team{Name: name, Players: []entry.Player{{Number: "1", Goalkeeper: true}}}
		for len(numbers) < 17 {
			numbers[m.luck.Between(2, 29)] = true
		}
		numbers[30+i] = true
		for n := 2; n <= 31; n++ {
			if numbers[n] {
				team.Players = append(team.Players, entry.Player{Number: entry.Jersey(fmt.Sprint(n)), Goalkeeper: n >= 30})
			}
		}
		if i == 0 {
			m.plot.Home = team
		} else {
			m.plot.Visitors = team
		}
		for _, p := range team.Players {
			if !p.Goalkeeper {
				at := m.luck.Below(len(m.next[i]) + 1)
				m.next[i] = slices.Insert(m.next[i], at, p.Number)
			}
		}
		m.called[i] = map[entry.Jersey]entry.Millis{}
	}
}

func (m *maker) seconds(period int) int { return int(m.plot.Length(period) / 1000) }

// add puts a whistle into the plot. Players are named at the end, in the order of
// the game.
func (m *maker) add(period, second int, why plot.Why, happen ...plot.Happening) {
	if happen == nil {
		happen = []plot.Happening{}
	}
	m.plot.Whistles = append(m.plot.Whistles, plot.Whistle{
		At: entry.At{Period: period, Elapsed: entry.Millis(second) * 1000}, Why: why, Happen: happen,
	})
}

func (m *maker) sort() {
	entry.Arrange(m.plot.Whistles, func(a, b plot.Whistle) int { return a.At.Compare(b.At) })
}

// sought is the seconds of a hundred hours in which a whistle can fall: fewer than
// 360,000, because none falls near another one or near the ends of a period.
const sought = 332_000

// apart is the least distance between two whistles, in seconds.
const apart = 5

// fill plays a period second by second, with whistles, goals and calls as often
// as they were measured. It stops at the first goal where that ends the game, and
// reports whether there was one.
func (m *maker) fill(period, until int, ends bool) bool {
	whistles := make(map[int]bool)
	for _, w := range m.plot.Whistles {
		if w.At.Period == period {
			whistles[int(w.At.Elapsed/1000)] = true
			for _, h := range w.Happen {
				if h.What == plot.AClockBack {
					whistles[int(h.To/1000)] = true
				}
			}
		}
	}
	near := func(second int) bool {
		for n := second - apart; n <= second+apart; n++ {
			if whistles[n] {
				return true
			}
		}
		return false
	}
	for second := apart; second < until-apart; second++ {
		if m.luck.Below(sought) >= WhistlesPer100Hours || near(second) {
			continue
		}
		quiet := m.within(period, second, 0)
		if m.runs(period, second) {
			continue
		}
		whistles[second] = true
		switch n := m.luck.Below(WhistlesPer100Hours); {
		case n < GoalsPer100Hours && !quiet:
			m.add(period, second, plot.ForGoal, aGoal(dice.Pick(m.luck, entry.Sides[:])))
			if ends {
				return true
			}
		case n < GoalsPer100Hours+CalledPer100Hours && n >= GoalsPer100Hours && m.order.Level > 1 &&
			!m.within(period, second, m.minor):
			m.add(period, second, plot.ForPenalty, m.naturalCalls()...)
		default:
			m.add(period, second, m.why())
		}
	}
	return false
}

// within reports whether a second is in a window, or so near before one that what
// begins here reaches into it.
func (m *maker) within(period, second, reach int) bool {
	if period >= len(m.busy) {
		return false
	}
	if reach > 0 && second+reach > m.seconds(period) && period+1 < len(m.busy) &&
		m.within(period+1, 0, second+reach-m.seconds(period)) {
		return true
	}
	return slices.ContainsFunc(m.busy[period], func(w window) bool { return second+reach >= w.from && second <= w.to })
}

// runs reports whether the clock runs through stoppages here: then only the
// scene's own whistles have the room that they need.
func (m *maker) runs(period, second int) bool {
	on := false
	for _, w := range m.plot.Whistles {
		if w.At.Period == period && int(w.At.Elapsed/1000) <= second {
			for _, h := range w.Happen {
				if h.What == plot.ARunningTime {
					on = h.On
				}
			}
		}
	}
	return on
}

func (m *maker) why() plot.Why {
	weights := make([]int, len(whyKinds))
	for i, k := range whyKinds {
		weights[i] = k.weight
	}
	return whyKinds[m.luck.Weighted(weights)].why
}

// naturalCalls are the calls of one stoppage, as they were measured.
func (m *maker) naturalCalls() []plot.Happening {
	side := dice.Pick(m.luck, entry.Sides[:])
	one := m.natural(side)
	switch n := m.luck.Below(1000); {
	case n < callsBothSides && m.order.Level > 2:
		return []plot.Happening{one, m.call(side.Other(), entry.Minor)}
	case n < callsBothSides+callsMore && m.order.Level > 2:
		return []plot.Happening{one, m.call(side, entry.Minor)}
	}
	return []plot.Happening{one}
}

func (m *maker) natural(side entry.Side) plot.Happening {
	switch n := m.luck.Weighted(partKinds); {
	case n == 1 && m.order.Level > 2:
		return plot.Happening{What: plot.APenalty, Penalty: &entry.Penalty{
			Side: side, Bench: true, Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor},
		}}
	case n == 2 && m.order.Level > 3:
		return m.call(side, entry.Major)
	default:
		return m.call(side, entry.Minor)
	}
}

// call is a call whose player is named later.
func (m *maker) call(side entry.Side, parts ...entry.Part) plot.Happening {
	weights := make([]int, len(callKinds))
	for i, k := range callKinds {
		weights[i] = k.weight
	}
	call := callKinds[m.luck.Weighted(weights)].call
	switch {
	case slices.Contains(parts, entry.Misconduct):
		call = "abuse_of_officials"
	case parts[0] == entry.Major:
		call = "checking_from_behind"
	}
	return plot.Happening{What: plot.APenalty, Penalty: &entry.Penalty{Side: side, Call: call, Parts: parts}}
}

func aGoal(side entry.Side) plot.Happening {
	return plot.Happening{What: plot.AGoal, Goal: &entry.Goal{Side: side}}
}
