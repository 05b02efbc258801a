package card

import (
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// KeyPress is a key to be pressed, and what the display should read then.
type KeyPress struct {
	Key   string `json:"key"`
	Shows string `json:"shows,omitempty"` // "": the card does not say
}

// PressItem is a part of the keys of a step as the card has it: a key, a value that
// is typed digit by digit, or what the display reads then. One of the three is set.
type PressItem struct {
	Key   string // its name, in which {side}, {line} and {period} may stand
	Typed string // the name of a gap
	Shows string
}

// inKeys are the gaps that may stand inside the name of a key.
var inKeys = []string{"side", "line", "period"}

// press is the keys of a step, "" where it has none.
func (t Template) press(i int) string {
	if i < len(t.Press) {
		return t.Press[i]
	}
	return ""
}

// Items are the keys of a step as the card has them; nil where it has none.
func (t Template) Items(step int) []PressItem {
	items, err := parsePress(t.press(step))
	if err != nil {
		return nil // a card that was checked has no fault
	}
	return items
}

// parsePress reads the keys of a step: names with commas between, {time} for a
// value that is typed, and what the display reads then in quotes.
func parsePress(text string) ([]PressItem, error) {
	var items []PressItem
	rest := strings.TrimSpace(text)
	for rest != "" {
		var item PressItem
		if after, quoted := strings.CutPrefix(rest, `"`); quoted {
			shows, behind, closed := strings.Cut(after, `"`)
			if !closed {
				return nil, message.New("card_file.press_quote")
			}
			if item.Shows, rest = strings.TrimSpace(shows), strings.TrimSpace(behind); item.Shows == "" || len(items) == 0 {
				return nil, message.New("card_file.press_shows")
			}
			if rest != "" && rest[0] != ',' {
				return nil, message.New("card_file.press_comma", "text", message.Plain(item.Shows))
			}
			rest = strings.TrimSpace(strings.TrimPrefix(rest, ","))
			items = append(items, item)
			continue
		}
		name, behind, _ := strings.Cut(rest, ",")
		if name, rest = strings.TrimSpace(name), strings.TrimSpace(behind); name == "" {
			return nil, message.New("card_file.press_empty")
		}
		if strings.Contains(name, `"`) {
			return nil, message.New("card_file.press_comma", "text", message.Plain(name))
		}
		if gap, after, found := nextGap(name); found && gap == name && after == "" && len(gap) > 2 && gap != "{side}" {
			item.Typed = strings.Trim(gap, "{}")
		} else {
			item.Key = name
		}
		items = append(items, item)
	}
	return items, nil
}

// Digits are how many digits a typed value has, the least and the most.
func (c Card) Digits(gap string) (least, most int) {
	switch gap {
	case "mmss":
		return 4, 4
	case "time", "minutes":
		return 1, 4
	case "number":
		if c.Board.NumberDigits == 2 {
			return 2, 2
		}
		return 1, 2
	case "line":
		return 1, 1
	case "score", "home", "visitors":
		return 1, 3
	default: // a period
		return 1, 2
	}
}

// Named are the names that a key of a step can have, with every side, line and
// period in its gaps.
func (c Card) Named(item PressItem, when When) []string {
	if item.Key == "" {
		return nil
	}
	sides := []string{c.Words.Home, c.Words.Visitors}
	if when == TimeOut {
		sides = append(sides, c.Words.Officials)
	}
	names := []string{item.Key}
	for _, gap := range []struct {
		name   string
		values []string
	}{{"{side}", sides}, {"{line}", numbersTo(c.Board.PenaltyLines)}, {"{period}", numbersTo(3)}} {
		if !strings.Contains(item.Key, gap.name) {
			continue
		}
		var more []string
		for _, name := range names {
			for _, value := range gap.values {
				more = append(more, strings.ReplaceAll(name, gap.name, value))
			}
		}
		names = more
	}
	return names
}

func numbersTo(n int) []string {
	list := make([]string, n)
	for i := range list {
		list[i] = strconv.Itoa(i + 1)
	}
	return list
}

// filled are the keys of a step with the values of the game. It is nil where a
// value is not known yet: half a number is not typed.
func filled(text string, fields []string) []KeyPress {
	items, err := parsePress(text)
	if err != nil || len(items) == 0 {
		return nil
	}
	var keys []KeyPress
	for _, item := range items {
		switch {
		case item.Typed != "":
			digits := typed(item.Typed, fields)
			if digits == "" {
				return nil
			}
			for _, d := range digits {
				keys = append(keys, KeyPress{Key: string(d)})
			}
		case item.Key != "":
			name := fill(item.Key, fields)
			if strings.Contains(name, "?") && !strings.Contains(item.Key, "?") {
				return nil
			}
			keys = append(keys, KeyPress{Key: name})
		default:
			keys[len(keys)-1].Shows = fill(item.Shows, fields)
		}
	}
	return keys
}

// typed is a value as it is typed: its digits. {mmss} is the time in four.
func typed(gap string, fields []string) string {
	name := gap
	if gap == "mmss" {
		name = "time"
	}
	value := fill("{"+name+"}", fields)
	var digits []rune
	for _, r := range value {
		switch {
		case r >= '0' && r <= '9':
			digits = append(digits, r)
		case r != ':':
			return "" // a number that is not known, a time with tenths
		}
	}
	if gap == "mmss" {
		if len(digits) == 0 || len(digits) > 4 {
			return ""
		}
		return strings.Repeat("0", 4-len(digits)) + string(digits)
	}
	return string(digits)
}

// fill writes the values of the game into a text.
func fill(text string, fields []string) string {
	for i := 0; i+1 < len(fields); i += 2 {
		if fields[i] == "{time}" {
			fields = append(fields[:len(fields):len(fields)], "{mmss}", typedTime(fields[i+1]))
			break
		}
	}
	return strings.NewReplacer(fields...).Replace(text)
}

func typedTime(value string) string {
	time, err := entry.ParseClock(value)
	if err != nil {
		return value
	}
	s := int(time / 1000)
	digits := strconv.Itoa(s/60*100 + s%60)
	return strings.Repeat("0", max(0, 4-len(digits))) + digits
}

// Repeats reports whether a step is done once for each penalty on the board.
func (t Template) Repeats(step int) bool { return repeats(t.When, t.Do[step]+t.press(step)) }
