package plot

import (
	"encoding/json"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"whistlestop/game/datafile"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
)

// Plot is what happens in a practice game, by the time of the game and nothing
// else. It is small enough to be written by hand.
type Plot struct {
	ID       string            `json:"id"`
	Title    string            `json:"title"`
	Level    int               `json:"level"`
	Seed     uint32            `json:"seed"` // of what nobody wrote down: pauses, noise, where the puck is
	Skills   []Skill           `json:"skills"`
	Division rulebook.Division `json:"division"`
	Home     entry.Team        `json:"home"`
	Visitors entry.Team        `json:"visitors"`
	Clock    entry.ClockMode   `json:"clock"`
	Box      bool              `json:"box"`   // the learner confirms players in the box and tells them to leave
	Short    bool              `json:"short"` // a drill: it ends with the last whistle, and breaks are cut short

	// Card is the rink card of a script that follows the rink's board; absent
	// where our clock leads.
	Card json.RawMessage `json:"card,omitempty"`

	// Begin is where the learner takes over. What comes before stands in the
	// ledger already. Period 0: from before the game.
	Begin entry.At `json:"begin"`

	Whistles []Whistle `json:"whistles"` // in the order of the game
}

// Whistle is a stoppage, in whole seconds of play.
type Whistle struct {
	At     entry.At    `json:"at"`
	Why    Why         `json:"why"`
	Happen []Happening `json:"happen"`
}

// Why is what a whistle was for.
type Why string

// What whistles are for.
const (
	ForPuck     Why = "puck" // frozen, or out of play
	ForOffside  Why = "offside"
	ForIcing    Why = "icing"
	ForNet      Why = "net" // off its place
	ForInjury   Why = "injury"
	ForGoal     Why = "goal"
	ForPenalty  Why = "penalty"
	ForEndOf    Why = "end" // no whistle: the clock ran out
	ForOfficial Why = "official"
)

// Whys lists what a whistle of a plot can be for.
var Whys = []Why{ForPuck, ForOffside, ForIcing, ForNet, ForInjury, ForGoal, ForPenalty, ForEndOf, ForOfficial}

// Happening is one thing that happens at a whistle.
type Happening struct {
	What    What           `json:"what"`
	Goal    *entry.Goal    `json:"goal,omitempty"`
	Penalty *entry.Penalty `json:"penalty,omitempty"`
	Side    entry.Side     `json:"side,omitempty"`    // whose time-out
	To      entry.Millis   `json:"to_ms,omitempty"`   // elapsed, where the clock is put
	On      bool           `json:"on,omitempty"`      // running time
	Picks   []entry.Jersey `json:"picks,omitempty"`   // whom a captain names
	Mumbled bool           `json:"mumbled,omitempty"` // the number is heard when the referee is asked again
}

// What names what happens.
type What string

// What can happen.
const (
	AGoal        What = "goal"
	APenalty     What = "penalty"
	ANoGoal      What = "no_goal"      // the goal of this whistle is taken back
	AClockBack   What = "clock_to"     // the clock is put to another time
	ATimeOut     What = "time_out"     //
	ARunningTime What = "running_time" // on or off
	AChoice      What = "choice"       // a captain's answer to what the book leaves open
)

// What a plot holds at most.
const (
	mostWhistles  = 400
	MostHappening = 12
	MostTitle     = 80
)

// idMost is the most bytes that the id of a script has.
const idMost = 60

// IsID reports whether a text can be the id of a script.
func IsID(text string) bool { return datafile.IsID(text, idMost) }

// Validate says what is wrong with a plot before it is played. What only playing
// shows, such as an overtime of a game that is not tied, Direct says.
func (p Plot) Validate() error {
	switch {
	case !IsID(p.ID):
		return message.New("plot.id", "id", message.Plain(p.ID))
	case strings.TrimSpace(p.Title) == "" || utf8.RuneCountInString(p.Title) > MostTitle || strings.ContainsFunc(p.Title, unicode.IsControl):
		return message.New("plot.title", "most", MostTitle)
	case p.Level < 1 || p.Level > Levels:
		return message.New("plot.level", "most", Levels, "level", p.Level)
	case p.Clock != entry.Lead && p.Clock != entry.Follow:
		return message.New("plot.clock", "clock", message.Plain(p.Clock))
	case (p.Clock == entry.Follow) != (len(p.Card) > 0):
		return message.New("plot.card")
	case len(p.Whistles) == 0 && p.Short:
		return message.New("plot.no_whistle")
	case len(p.Whistles) > mostWhistles:
		return message.New("plot.whistles", "most", mostWhistles, "count", len(p.Whistles))
	}
	for _, s := range p.Skills {
		if !s.Valid() {
			return message.New("plot.skill", "skill", message.Plain(s), "known", Join(Skills))
		}
	}
	if err := p.Division.Validate(); err != nil {
		return message.Because(err, "plot.division")
	}
	for _, team := range []entry.Team{p.Home, p.Visitors} {
		if strings.TrimSpace(team.Name) == "" || len(team.Players) < 2 {
			return message.New("plot.teams")
		}
	}
	before := entry.At{}
	for _, w := range p.Whistles {
		if err := w.validate(p); err != nil {
			return err
		}
		if w.At.Compare(before) <= 0 {
			return message.New("plot.follow", "time", w.At.Elapsed, "period", w.At.Period)
		}
		before = w.At
		for _, h := range w.Happen {
			if h.What == AClockBack {
				before.Elapsed = min(before.Elapsed, h.To)
			}
		}
	}
	return nil
}

// Length is the length of a period; 0 where the division has no such period.
func (p Plot) Length(period int) entry.Millis {
	n := period - len(p.Division.Periods)
	switch o := p.Division.Overtime.Periods; {
	case period < 1:
		return 0
	case n <= 0:
		return p.Division.Periods[period-1]
	case len(o) == 0:
		return 0
	default:
		return o[min(n, len(o))-1].Length
	}
}

func (w Whistle) validate(p Plot) error {
	length := p.Length(w.At.Period)
	bad := func(why error) error {
		return message.Because(why, "plot.at", "period", w.At.Period, "time", max(0, length-w.At.Elapsed).Left())
	}
	switch {
	case length == 0:
		return message.New("plot.no_period", "division", p.Division.Name, "period", w.At.Period)
	case w.At.Elapsed < 0 || w.At.Elapsed > length || w.At.Order != 0:
		return bad(message.New("plot.length", "time", length))
	case w.At.Elapsed%1000 != 0:
		return bad(message.New("plot.whole_second"))
	case w.At.Elapsed == length && w.Why != ForEndOf:
		return bad(message.New("plot.end_word", "why_not", w.Why))
	case w.Why == ForEndOf && w.At.Elapsed != length:
		return bad(message.New("plot.end_time"))
	case w.At.Elapsed == 0:
		return bad(message.New("plot.before_drop"))
	case !slices.Contains(Whys, w.Why):
		return bad(message.New("plot.why", "why_not", message.Plain(w.Why)))
	case len(w.Happen) > MostHappening:
		return bad(message.New("plot.happenings", "most", MostHappening))
	}
	goals := 0
	for _, h := range w.Happen {
		if h.What == AGoal {
			goals++
		}
		if err := h.validate(w, goals); err != nil {
			return bad(err)
		}
	}
	return nil
}

func (h Happening) validate(w Whistle, goals int) error {
	check := func(body entry.Body) error {
		return entry.Entry{ID: strings.Repeat("0", 26), Body: body}.Validate()
	}
	switch h.What {
	case AGoal:
		if h.Goal == nil || goals > 1 {
			return message.New("plot.goals")
		}
		return check(*h.Goal)
	case APenalty:
		if h.Penalty == nil {
			return message.New("plot.penalty")
		}
		return check(*h.Penalty)
	case ANoGoal:
		if goals == 0 {
			return message.New("plot.no_goal")
		}
		return nil
	case AClockBack:
		if h.To <= 0 || h.To > w.At.Elapsed || h.To%1000 != 0 {
			return message.New("plot.clock_back")
		}
		return nil
	case ATimeOut:
		if h.Side != "" && !h.Side.Valid() {
			return message.New("plot.side", "side", message.Plain(h.Side))
		}
		return nil
	case ARunningTime:
		return nil
	case AChoice:
		return check(entry.Choice{Question: "captain", Picks: h.Picks})
	default:
		return message.New("plot.what", "what", message.Plain(h.What))
	}
}

// Join joins a list of words with commas.
func Join[T ~string](list []T) string {
	all := make([]string, len(list))
	for i, one := range list {
		all[i] = string(one)
	}
	return strings.Join(all, ", ")
}
