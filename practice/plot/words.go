package plot

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

func number(text string, low, high int) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < low || n > high {
		return 0, message.New("plot.number", "text", message.Plain(text), "low", low, "high", high)
	}
	return n, nil
}

func yesNo(text string) (bool, error) {
	if text != "yes" && text != "no" {
		return false, message.New("plot.yes_no", "text", message.Plain(text))
	}
	return text == "yes", nil
}

func jersey(text string) (entry.Jersey, error) {
	j := entry.Jersey(text)
	if j == "" || !j.Valid() {
		return "", message.New("invalid.number", "number", message.Plain(text))
	}
	return j, nil
}

func jerseys(list []string) ([]entry.Jersey, error) {
	out := make([]entry.Jersey, len(list))
	for i, text := range list {
		j, err := jersey(text)
		if err != nil {
			return nil, err
		}
		out[i] = j
	}
	if len(out) == 0 {
		return nil, message.New("plot.number_missing")
	}
	return out, nil
}

// team reads a team: its name, a colon, and the numbers of its players, with a g
// after a goalkeeper's.
func team(text string) (entry.Team, error) {
	name, numbers, found := strings.Cut(text, ":")
	t := entry.Team{Name: strings.TrimSpace(name)}
	if !found || t.Name == "" {
		return t, message.New("plot.team")
	}
	for _, word := range strings.Fields(numbers) {
		digits, keeps := strings.CutSuffix(word, "g")
		j, err := jersey(digits)
		if err != nil {
			return t, err
		}
		t.Players = append(t.Players, entry.Player{Number: j, Goalkeeper: keeps})
	}
	opened := entry.RosterSet{Side: entry.Home, Team: t}
	return t, entry.Entry{ID: strings.Repeat("0", 26), Body: opened}.Validate()
}

func readSide(rest []string) (entry.Side, []string, error) {
	if len(rest) == 0 || !entry.Side(rest[0]).Valid() {
		return "", nil, message.New("plot.side_first")
	}
	return entry.Side(rest[0]), rest[1:], nil
}

func readGoal(rest []string) (g entry.Goal, err error) {
	if g.Side, rest, err = readSide(rest); err != nil {
		return g, err
	}
	if len(rest) == 0 {
		return g, message.New("plot.scorer")
	}
	if rest[0] != "-" {
		if g.Scorer, err = jersey(rest[0]); err != nil {
			return g, err
		}
	}
	rest = rest[1:]
	if len(rest) > 1 && rest[0] == "from" {
		n := 1
		for n < len(rest) && entry.Jersey(rest[n]).Valid() {
			n++
		}
		if g.Assists, err = jerseys(rest[1:n]); err != nil {
			return g, err
		}
		rest = rest[n:]
	}
	for _, word := range rest {
		switch word {
		case "penalty-shot":
			g.On = entry.OnPenaltyShot
		case "awarded":
			g.On = entry.OnAwarded
		case "empty-net":
			g.EmptyNet = true
		case "own-goal":
			g.OwnGoal = true
		default:
			return g, message.New("plot.goal_word", "word", message.Plain(word))
		}
	}
	g.Unassisted = len(g.Assists) == 0
	return g, nil
}

var callForm = []string{"minor", "bench_minor", "major", "misconduct", "game_misconduct", "match", "penalty_shot"}

func readPenalty(rest []string) (p entry.Penalty, mumbled bool, err error) {
	if p.Side, rest, err = readSide(rest); err != nil {
		return p, false, err
	}
	if len(rest) < 3 {
		return p, false, message.New("plot.penalty_form")
	}
	if p.Bench = rest[0] == "bench"; !p.Bench {
		if p.Player, err = jersey(rest[0]); err != nil {
			return p, false, err
		}
	}
	if p.Call = rest[1]; !IsID(strings.ReplaceAll(p.Call, "_", "-")) {
		return p, false, message.New("plot.call", "call", message.Plain(rest[1]))
	}
	if p.Parts, p.Lengths, err = readParts(rest[2]); err != nil {
		return p, false, err
	}
	rest = rest[3:]
	for len(rest) > 0 {
		switch {
		case rest[0] == "served-by" && len(rest) > 1:
			if p.ServedBy, err = jersey(rest[1]); err != nil {
				return p, false, err
			}
			rest = rest[1:]
		case rest[0] == "signalled":
			p.Signalled = true
		case rest[0] == "mumbled":
			mumbled = true
		default:
			return p, false, message.New("plot.penalty_word", "word", message.Plain(rest[0]))
		}
		rest = rest[1:]
	}
	return p, mumbled, nil
}

// readParts reads what is imposed: minor, or minor+misconduct, or with a length
// of its own, minor=1:00.
func readParts(text string) (parts []entry.Part, lengths []entry.Millis, err error) {
	if text == "double-minor" {
		text = "minor+minor"
	}
	for _, word := range strings.Split(text, "+") {
		name, length, own := strings.Cut(word, "=")
		if !slices.Contains(callForm, name) {
			return nil, nil, message.New("plot.part", "part", message.Plain(name), "known", strings.Join(callForm, ", "))
		}
		parts = append(parts, entry.Part(name))
		if own {
			m, err := entry.ParseClock(length)
			if err != nil {
				return nil, nil, err
			}
			lengths = append(lengths, m)
		}
	}
	if len(lengths) > 0 && len(lengths) != len(parts) {
		return nil, nil, message.New("plot.part_lengths")
	}
	return parts, lengths, nil
}
