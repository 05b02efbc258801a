package standings

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/message"
)

// Measure is what a step compares.
type Measure string

// The measures that a ladder may name.
const (
	MeasurePoints     Measure = "pts"
	MeasureShare      Measure = "share"        // points of the points to be had
	MeasurePerGame    Measure = "pts_per_game" // points a game
	MeasureWins       Measure = "w"            // of every kind
	MeasureRegulation Measure = "rw"           // regulation wins
	MeasureNoShootOut Measure = "row"          // wins without shoot-outs
	MeasureDifference Measure = "gd"
	MeasureFor        Measure = "gf"
	MeasureAgainst    Measure = "ga"    // fewest goals against
	MeasureRatio      Measure = "ratio" // goals for of all goals for and against
	MeasureQuotient   Measure = "quot"  // goals for over goals against; nought below ranks above all, then by goals for
	MeasureMinutes    Measure = "pim"   // fewest penalty minutes
	MeasureFirstGoal  Measure = "firstgoal"
	MeasureSeeding    Measure = "seeding"
	MeasureOdd        Measure = "odd"     // share of points, games in the town with the extra game left out
	MeasureOutside    Measure = "outside" // against the best team outside the group, then the next: points, difference, goals
	MeasureTopDown    Measure = "topdown" // the same by points alone
)

var measures = map[Measure]bool{
	MeasurePoints: true, MeasureShare: true, MeasurePerGame: true, MeasureWins: true, MeasureRegulation: true,
	MeasureNoShootOut: true, MeasureDifference: true, MeasureFor: true, MeasureAgainst: true, MeasureRatio: true,
	MeasureQuotient: true, MeasureMinutes: true, MeasureFirstGoal: true, MeasureSeeding: true, MeasureOdd: true,
	MeasureOutside: true, MeasureTopDown: true,
}

// Words are the steps that a ladder may name, each with its direct form where it has
// one. A cut is a number behind the word.
func Words() []string {
	var words []string
	for measure := range measures {
		for _, word := range []string{string(measure), "h2h." + string(measure)} {
			var step Step
			if step.UnmarshalText([]byte(word)) == nil {
				words = append(words, word)
			}
		}
	}
	slices.Sort(words)
	return words
}

// Step is one rung of a ladder. In a file it is a word: "gd", "h2h.pts" for the
// games among the tied teams only, "gd8" with every game's difference cut at eight.
type Step struct {
	Measure Measure
	Direct  bool   // only games among the tied teams
	Cut     int    // the most that one game's difference counts, or 0
	against []Team // only games against these, which are equal themselves; set where a step is laid out
	word    Measure
}

// String is the word by which files and decisions name a step.
func (s Step) String() string {
	if len(s.against) > 0 {
		names := make([]string, len(s.against))
		for i, team := range s.against {
			names[i] = string(team)
		}
		return fmt.Sprintf("%s:%s", s.word, strings.Join(names, "+"))
	}
	text := string(s.Measure)
	if s.Direct {
		text = "h2h." + text
	}
	if s.Cut > 0 {
		text += strconv.Itoa(s.Cut)
	}
	return text
}

// UnmarshalText reads the word of a step.
func (s *Step) UnmarshalText(text []byte) error {
	word := string(text)
	rest, direct := strings.CutPrefix(word, "h2h.")
	name := strings.TrimRight(rest, "0123456789")
	*s = Step{Measure: Measure(name), Direct: direct}
	if digits := rest[len(name):]; digits != "" {
		cut, err := strconv.Atoi(digits)
		if err != nil || cut < 1 || cut > goalsMost {
			return message.New("procedure.cut", "step", message.Plain(word), "most", goalsMost)
		}
		s.Cut = cut
	}
	alone := s.Measure == MeasureSeeding || s.Measure == MeasureOutside || s.Measure == MeasureTopDown ||
		s.Measure == MeasureMinutes
	switch {
	case !measures[s.Measure]:
		return message.New("procedure.step", "step", message.Plain(word))
	case direct && alone, !direct && s.Measure == MeasureOdd:
		return message.New("procedure.step_among", "step", message.Plain(word))
	case s.Cut > 0 && s.Measure != MeasureDifference && s.Measure != MeasureQuotient &&
		s.Measure != MeasureFor && s.Measure != MeasureAgainst && s.Measure != MeasureRatio:
		return message.New("procedure.step_cut", "step", message.Plain(word))
	}
	return nil
}

// Value is what a team has at a step, as an exact fraction; more is better.
type Value struct {
	above      bool // above every fraction
	num, den   int  // den is above nought
	tieBreaker int
	text       string
}

func whole(n int) Value { return Value{num: n, den: 1, text: strconv.Itoa(n)} }

// fewest ranks the smaller number first and shows it as it is.
func fewest(n int) Value { return Value{num: -n, den: 1, text: strconv.Itoa(n)} }

func fraction(num, den int) Value {
	return Value{num: num, den: den, text: fmt.Sprintf("%d/%d", num, den)}
}

// String shows the value: a whole number, or a fraction as num/den.
func (v Value) String() string { return v.text }

// compare is above nought when v ranks above o.
func (v Value) compare(o Value) int {
	switch {
	case v.above != o.above:
		if v.above {
			return 1
		}
		return -1
	case v.above:
		return v.tieBreaker - o.tieBreaker
	}
	return v.num*o.den - o.num*v.den
}

// value works a step out from a row. It is false where the step says nothing,
// such as nought over nought: then the step is left out.
func (s Step) value(r Row) (Value, bool) {
	switch s.Measure {
	case MeasurePoints:
		return whole(r.Points), true
	case MeasureShare:
		return fraction(r.Points, max(r.possible, 1)), true
	case MeasureOdd:
		return fraction(r.Points, max(r.possible, 1)), r.possible > 0
	case MeasurePerGame:
		return fraction(r.Points, max(r.Played, 1)), true
	case MeasureWins:
		return whole(r.Wins()), true
	case MeasureRegulation:
		return whole(r.RegulationWins), true
	case MeasureNoShootOut:
		return whole(r.RegulationWins + r.OvertimeWins), true
	case MeasureDifference:
		return whole(r.Difference()), true
	case MeasureFor:
		return whole(r.GoalsFor), true
	case MeasureAgainst:
		return fewest(r.GoalsAgainst), true
	case MeasureRatio:
		return fraction(r.GoalsFor, max(r.GoalsFor+r.GoalsAgainst, 1)), r.GoalsFor+r.GoalsAgainst > 0
	case MeasureQuotient:
		if r.GoalsAgainst == 0 {
			return Value{above: true, den: 1, tieBreaker: r.GoalsFor, text: fmt.Sprintf("%d/0", r.GoalsFor)}, r.GoalsFor > 0
		}
		return fraction(r.GoalsFor, r.GoalsAgainst), true
	case MeasureMinutes:
		return fewest(r.PenaltyMinutes), true
	case MeasureFirstGoal:
		return whole(r.firsts), true
	case MeasureSeeding, MeasureOutside, MeasureTopDown:
	}
	return Value{}, false
}
