package progress

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/grade"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// Result is what is kept of one practice: a name, what was practised, and how it
// went. Nothing else is known of anybody, and a result can be taken out like a
// line of a list.
type Result struct {
	Name   string             `json:"name"`
	Seat   entry.Seat         `json:"seat"`
	Script string             `json:"script"` // id
	Level  int                `json:"level"`
	Drill  bool               `json:"drill"` // a short one: it counts for its skill, not for the bar
	Day    Day                `json:"day"`
	Score  int                `json:"score"` // 0 to 100
	Skills []grade.SkillScore `json:"skills"`

	// Critical are the errors of the seat that spoil a game, each kind once. Results
	// from before these were told apart have none.
	Critical []grade.Critical `json:"critical,omitempty"`
}

// Day is a day, counted from 1 January 2020.
type Day int

// ResultOf makes the result of a grade. Only what the seat uses is kept.
func ResultOf(g grade.Grade, s script.Script, name string, seat entry.Seat, day Day) Result {
	r := Result{
		Name: strings.TrimSpace(name), Seat: seat, Script: s.ID, Level: s.Level, Drill: s.Short && s.ID != plot.CheckID, Day: day,
		Skills: []grade.SkillScore{},
	}
	right, of := 0, 0
	for _, k := range g.Skills {
		if plot.Uses(seat, k.Skill) && k.Of > 0 {
			r.Skills = append(r.Skills, k)
			right, of = right+k.Right, of+k.Of
		}
	}
	switch {
	case seat == entry.Solo:
		r.Score = g.Score
	case of > 0:
		r.Score = 100 * right / of
	}
	errors := g.CriticalOf(seat)
	r.Critical, r.Score = grade.Kinds(errors), grade.Capped(r.Score, grade.Errors(errors))
	return r
}

// How practice is spaced. Recall that is spread over days beats recall in one
// sitting (g = 0.74), and widening the gaps adds nothing measurable to equal ones
// (0.03; Educational Psychology Review 2021), so the gaps are equal. Half of what
// training gains in accuracy is gone after 6.5 months without it (Psychological
// Bulletin, doi 10.1037/bul0000481); we ask for a drill after three idle months.
// That the gap is three days and that three good days are enough are our choices:
// no source gives them for a bench.
const (
	Gap      Day = 3  // days between two practices of a skill that is being learnt
	GoodDays     = 3  // days on which a skill went well, until it is known
	Good         = 90 // of a hundred: it went well
	Idle     Day = 91 // days after which what was known has to be practised again
)

// Due is a skill that should be practised.
type Due struct {
	Skill plot.Skill `json:"skill"`
	Drill string     `json:"drill"`
	Since Day        `json:"since"` // due since this day; 0: never practised
	Why   rules.Say  `json:"why"`
}

// history is what one person did for one skill.
type history struct {
	days []Day // on which it was practised, oldest first
	good []Day // on which it went well
	last int   // the newest result, of a hundred
}

func historyOf(results []Result, name string, seat entry.Seat, s plot.Skill) history {
	var h history
	mine := slices.DeleteFunc(slices.Clone(results), func(r Result) bool { return !counts(r, name, seat) })
	entry.Arrange(mine, func(a, b Result) int { return cmp.Compare(a.Day, b.Day) })
	for _, r := range mine {
		for _, k := range r.Skills {
			if k.Skill != s || k.Of <= 0 {
				continue
			}
			h.last = 100 * k.Right / k.Of
			h.days = append(h.days, r.Day)
			if h.last >= Good && !slices.Contains(h.good, r.Day) {
				h.good = append(h.good, r.Day)
			}
		}
	}
	return h
}

// counts reports whether a result is somebody's for a seat: whoever can do it all
// alone can do a part.
func counts(r Result, name string, seat entry.Seat) bool {
	return strings.EqualFold(strings.TrimSpace(r.Name), strings.TrimSpace(name)) && (r.Seat == seat || r.Seat == entry.Solo)
}

// Today lists what somebody should practise for a seat today, the most urgent
// first: what went wrong last, then what was known and lay idle, then what is due
// again, then what is new, in the order in which skills are learnt.
func Today(results []Result, name string, seat entry.Seat, today Day) []Due {
	type ranked struct {
		Due
		rank, order int
	}
	var list []ranked
	for i, s := range plot.Skills {
		if !plot.Uses(seat, s) {
			continue
		}
		h := historyOf(results, name, seat, s)
		d := ranked{Due: Due{Skill: s, Drill: plot.DrillID(s)}, order: i}
		if len(h.days) == 0 {
			d.rank, d.Why = 3, rules.Say{Key: "drill.due.fresh"}
			list = append(list, d)
			continue
		}
		last := h.days[len(h.days)-1]
		switch known := len(h.good) >= GoodDays; {
		case h.last < Good && today > last:
			d.rank, d.Since, d.Why = 0, last+1, rules.Say{Key: "drill.due.slips"}
		case known && today-last >= Idle:
			d.rank, d.Since, d.Why = 1, last+Idle, rules.Say{Key: "drill.due.idle"}
		case !known && today-last >= Gap:
			d.rank, d.Since, d.Why = 2, last+Gap, rules.Say{Key: "drill.due.again"}
		default:
			continue
		}
		list = append(list, d)
	}
	entry.Arrange(list, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.Since, b.Since), cmp.Compare(a.order, b.order))
	})
	out := make([]Due, len(list))
	for i, d := range list {
		out[i] = d.Due
	}
	return out
}

// NextDrill returns the most urgent of Today, if there is one.
func NextDrill(results []Result, name string, seat entry.Seat, today Day) (Due, bool) {
	list := Today(results, name, seat, today)
	if len(list) == 0 {
		return Due{}, false
	}
	return list[0], true
}

// Bar is what a coordinator asks for before somebody takes a seat.
type Bar struct {
	Score int `json:"score"` // of a hundred, in a practice game
	Games int `json:"games"` // practice games with that score, on different days
	Level int `json:"level"` // of those games, at least
	Skill int `json:"skill"` // of a hundred, in the newest practice of each skill that the games had
}

// DefaultBar is the bar where the coordinator sets none: our choice, no source.
var DefaultBar = Bar{Score: 85, Games: 2, Level: 2, Skill: 70}

// Readiness is whether somebody may take a seat.
type Readiness struct {
	Name   string       `json:"name"`
	Seat   entry.Seat   `json:"seat"`
	Status Status       `json:"status"`
	Best   int          `json:"best"`             // score of a practice game at the bar's level
	Games  int          `json:"games"`            // days with a game over the bar
	Spoilt int          `json:"spoilt,omitempty"` // games of its level that do not count, for an error that spoils a game
	Last   Day          `json:"last"`             // newest practice; 0: none
	Weak   []plot.Skill `json:"weak"`             // below the bar

	// Lacks says what is missing until the seat counts as ready; nothing where it does.
	Lacks []rules.Say `json:"lacks"`
}

// Status is how ready somebody is.
type Status string

// The states of readiness.
const (
	NotYet  Status = "not_yet"
	IsReady Status = "ready"
	Faded   Status = "faded" // was ready, and has not practised for three months
)

// ReadinessOf works out whether somebody may take a seat.
func ReadinessOf(results []Result, name string, seat entry.Seat, bar Bar, today Day) Readiness {
	r := Readiness{Name: strings.TrimSpace(name), Seat: seat, Status: NotYet, Weak: []plot.Skill{}, Lacks: []rules.Say{}}
	var days []Day
	for _, x := range results {
		if !counts(x, name, seat) {
			continue
		}
		r.Last = max(r.Last, x.Day)
		if x.Drill || x.Level < bar.Level {
			continue
		}
		r.Best = max(r.Best, x.Score)
		if len(x.Critical) > 0 {
			r.Spoilt++
			continue
		}
		if x.Score >= bar.Score && !slices.Contains(days, x.Day) {
			days = append(days, x.Day)
		}
	}
	r.Games = len(days)
	for _, s := range plot.Skills {
		if h := historyOf(results, name, seat, s); plot.Uses(seat, s) && len(h.days) > 0 && h.last < bar.Skill {
			r.Weak = append(r.Weak, s)
		}
	}
	r.Lacks = append(r.Lacks, lacks(r, bar)...)
	switch {
	case len(r.Lacks) > 0:
	case today-r.Last >= Idle:
		r.Status = Faded
		r.Lacks = append(r.Lacks, rules.Say{Key: "drill.lack.idle"})
	default:
		r.Status = IsReady
	}
	return r
}

// lacks says what is missing to reach the bar: games first, then skills in the
// order in which they are learnt.
func lacks(r Readiness, bar Bar) []rules.Say {
	var list []rules.Say
	if r.Games < bar.Games {
		list = append(list, *script.Say("drill.lack.games", "have", strconv.Itoa(r.Games), "want", strconv.Itoa(bar.Games),
			"score", strconv.Itoa(bar.Score), "level", strconv.Itoa(bar.Level)))
		if r.Best > 0 && r.Best < bar.Score {
			list = append(list, *script.Say("drill.lack.best", "best", strconv.Itoa(r.Best)))
		}
	}
	if r.Games < bar.Games && r.Spoilt > 0 {
		list = append(list, *script.Say("drill.lack.critical", "count", strconv.Itoa(r.Spoilt)))
	}
	for _, s := range r.Weak {
		list = append(list, *script.Say("drill.lack.skill", "skill", "@drill.skill."+string(s), "score", strconv.Itoa(bar.Skill)))
	}
	return list
}

// Forget takes out all results of somebody.
func Forget(results []Result, name string) []Result {
	return slices.DeleteFunc(slices.Clone(results), func(r Result) bool {
		return strings.EqualFold(strings.TrimSpace(r.Name), strings.TrimSpace(name))
	})
}

// Row is a line of the coordinator's list.
type Row struct {
	Name  string      `json:"name"`
	Seats []Readiness `json:"seats"` // in the order of Seats
}

// Seats are the seats that practice is kept for.
var Seats = []entry.Seat{entry.Solo, entry.ClockSeat, entry.BoxSeat, entry.BookSeat}

// Everybody lists everybody with a result, by name, with their readiness for each
// seat.
func Everybody(results []Result, bar Bar, today Day) []Row {
	names := map[string]string{}
	for _, r := range results {
		key := strings.ToLower(strings.TrimSpace(r.Name))
		if _, known := names[key]; !known && key != "" {
			names[key] = strings.TrimSpace(r.Name)
		}
	}
	keys := make([]string, 0, len(names))
	for key := range names {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	rows := make([]Row, len(keys))
	for i, key := range keys {
		rows[i].Name = names[key]
		for _, seat := range Seats {
			rows[i].Seats = append(rows[i].Seats, ReadinessOf(results, key, seat, bar, today))
		}
		for j := range rows[i].Seats {
			rows[i].Seats[j].Name = names[key]
		}
	}
	return rows
}
