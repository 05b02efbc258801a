package typed

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/audit"
)

// kind is what a row is about.
type kind string

// The kinds of rows.
const (
	aTeam       kind = "team"
	aPlayer     kind = "player"
	aPeriod     kind = "period"
	aGoal       kind = "goal"
	aPenalty    kind = "penalty"
	aGoalkeeper kind = "goalkeeper"
	aFigure     kind = "goalkeeper figures"
	aShots      kind = "shots"
	aTimeOut    kind = "time-out"
	aShootOut   kind = "shoot-out"
	aTotal      kind = "total"
)

var kinds = []kind{aTeam, aPlayer, aPeriod, aGoal, aPenalty, aGoalkeeper, aFigure, aShots, aTimeOut, aShootOut, aTotal}

func kindNames() string {
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = string(k)
	}
	return strings.Join(names, ", ")
}

func kindOf(text string) (kind, bool) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return plain(string(k)) == plain(text) })
	if i < 0 {
		return "", false
	}
	return kinds[i], true
}

// classes are the ways to write how a goal was scored.
var classes = map[string]func(*audit.SheetGoal){
	"even": even, "ev": even, "es": even, "evenstrength": even, "equal": even,
	"powerplay": powerPlay, "pp": powerPlay, "ppg": powerPlay,
	"shorthanded": shortHanded, "sh": shortHanded, "shg": shortHanded, "short": shortHanded,
	"emptynet": emptyNet, "en": emptyNet, "eng": emptyNet,
	"penaltyshot": penaltyShot, "ps": penaltyShot,
	"awarded": awarded, "owngoal": ownGoal, "own": ownGoal, "og": ownGoal,
	// The codes of the IIHF's game sheet (from memory): the number is by how many
	// skaters; EA is a goal with an extra attacker, whose class is said besides.
	"eq": even, "pp1": powerPlay, "pp2": powerPlay, "sh1": shortHanded, "sh2": shortHanded, "ea": func(*audit.SheetGoal) {},
}

// shootOutGoal is the code of the goal that a shoot-out adds: it is nobody's goal
// in play, and says who won.
const shootOutGoal = "gws"

// classesOf reads a cell with how a goal was scored: one word, several, or codes
// written together, such as "SH EN" and "SHEN".
func classesOf(text string) (set []func(*audit.SheetGoal), ok bool) {
	for _, piece := range split(text) {
		if one, known := classes[plain(piece)]; known {
			set = append(set, one)
			continue
		}
		for _, word := range strings.Fields(piece) {
			more, known := codes(plain(word))
			if !known {
				return nil, false
			}
			set = append(set, more...)
		}
	}
	return set, true
}

// codes cuts a word into codes, the longest first.
func codes(word string) (set []func(*audit.SheetGoal), ok bool) {
	if word == "" {
		return nil, true
	}
	for n := len(word); n > 0; n-- {
		one, known := classes[word[:n]]
		if !known {
			continue
		}
		if rest, fits := codes(word[n:]); fits {
			return append([]func(*audit.SheetGoal){one}, rest...), true
		}
	}
	return nil, false
}

func even(g *audit.SheetGoal)        { g.Class = rules.EvenStrength }
func powerPlay(g *audit.SheetGoal)   { g.Class = rules.PowerPlay }
func shortHanded(g *audit.SheetGoal) { g.Class = rules.ShortHanded }
func emptyNet(g *audit.SheetGoal)    { g.EmptyNet = true }
func penaltyShot(g *audit.SheetGoal) { g.On = entry.OnPenaltyShot }
func awarded(g *audit.SheetGoal)     { g.On = entry.OnAwarded }
func ownGoal(g *audit.SheetGoal)     { g.OwnGoal = true }

// split cuts a cell that says several things.
func split(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '/' || r == '+' || r == '&' })
}

// severities are the ways to write a penalty.
var severities = map[string][]entry.Part{
	"minor": {entry.Minor}, "benchminor": {entry.BenchMinor}, "bench": {entry.BenchMinor},
	"doubleminor": {entry.Minor, entry.Minor}, "double": {entry.Minor, entry.Minor},
	"major": {entry.Major}, "misconduct": {entry.Misconduct}, "gamemisconduct": {entry.GameMisconduct},
	"game": {entry.GameMisconduct}, "match": {entry.Match}, "matchpenalty": {entry.Match},
	"penaltyshot": {entry.PenaltyShot},
}

// totals are the ways to write a total.
var totals = map[string]audit.Total{
	"goals": audit.TotalGoals, "score": audit.TotalScore, "finalscore": audit.TotalScore, "shots": audit.TotalShots,
	"penalties": audit.TotalPenalties, "minutes": audit.TotalMinutes, "penaltyminutes": audit.TotalMinutes,
	"pim": audit.TotalMinutes, "powerplaygoals": audit.TotalPowerPlayGoals, "ppg": audit.TotalPowerPlayGoals,
	"powerplays": audit.TotalChances,
}

func totalNames() string {
	return "goals, score, shots, penalties, minutes, power-play goals, power plays"
}

// jersey reads a sweater number.
func jersey(text string) (entry.Jersey, bool) {
	j := entry.Jersey(strings.TrimPrefix(text, "#"))
	return j, j.Valid()
}

// period reads the number of a period: overtime follows regulation.
func period(text string, regulation int) (int, bool) {
	word := plain(text)
	if rest, found := strings.CutPrefix(word, "overtime"); found {
		word = "ot" + rest
	}
	if rest, found := strings.CutPrefix(word, "ot"); found {
		if rest == "" {
			return regulation + 1, true
		}
		n, err := strconv.Atoi(rest)
		return regulation + n, err == nil && n >= 1 && n <= 20
	}
	for _, end := range []string{"st", "nd", "rd", "th"} {
		word = strings.TrimSuffix(word, end)
	}
	n, err := strconv.Atoi(strings.TrimPrefix(strings.TrimPrefix(word, "period"), "p"))
	return n, err == nil && n >= 1 && n <= 20
}

// minutes reads penalty minutes: "2", "1:30", "1.5", and several with a plus,
// "2+10".
func minutes(text string) (list []entry.Millis, ok bool) {
	for _, one := range strings.Split(text, "+") {
		one = strings.TrimSuffix(strings.TrimSpace(one), "min")
		if strings.Contains(one, ":") {
			m, err := entry.ParseClock(strings.TrimSpace(one))
			if err != nil {
				return nil, false
			}
			list = append(list, m)
			continue
		}
		whole, half, point := strings.Cut(strings.ReplaceAll(strings.TrimSpace(one), ",", "."), ".")
		n, err := strconv.Atoi(whole)
		if err != nil || n < 0 || n > 150 || point && half != "5" && half != "0" {
			return nil, false
		}
		m := entry.Clock(n, 0)
		if point && half == "5" {
			m += entry.Clock(0, 30)
		}
		list = append(list, m)
	}
	return list, len(list) <= 6
}

// yes reads a mark.
func yes(text string) bool {
	switch plain(text) {
	case "", "no", "n", "0", "false", "miss", "missed", "saved":
		return false
	default:
		return true
	}
}

// score reads "2-1", home first.
func score(text string) (*[2]int, bool) {
	home, visitors, found := strings.Cut(strings.NewReplacer("–", "-", ":", "-", " ", "").Replace(text), "-")
	h, errH := strconv.Atoi(home)
	v, errV := strconv.Atoi(visitors)
	if !found || errH != nil || errV != nil || h < 0 || v < 0 || h > 999 || v > 999 {
		return nil, false
	}
	return &[2]int{h, v}, true
}

// positions and statuses of players.
func isGoalkeeper(text string) bool {
	switch plain(text) {
	case "g", "gk", "goalkeeper", "goalie", "goaltender":
		return true
	default:
		return false
	}
}

func away(text string) (string, bool) {
	switch plain(text) {
	case "", "dressed", "playing", "affiliate":
		return "", true
	case "suspended", "susp":
		return string(entry.Suspended), true
	case "absent", "out", "injured", "scratched":
		return string(entry.Absent), true
	case "late":
		return string(entry.Late), true
	default:
		return "", false
	}
}
