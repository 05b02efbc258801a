package roster

import (
	"strings"
	"unicode"

	"whistlestop/game/entry"
)

// A mark is the C of a captain or the A of an alternate. People write it in front
// of the number, on it, behind it, behind the name, in a column of positions, with
// brackets or without.

// markOf reads a word that is nothing but a mark: A, (A), [C], A:
func markOf(word string) (letter string, ok bool) {
	letter = strings.Trim(word, "()[],:;-")
	return letter, letter == "A" || letter == "C"
}

// offNumber takes a mark off a number: 12A, A12, 12 (C). Without one the text
// stays as it is.
func offNumber(text string) (number, letter string) {
	bare := strings.TrimFunc(text, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("()[]", r) })
	for _, mark := range []string{"A", "C"} {
		for _, rest := range []func(string, string) (string, bool){strings.CutSuffix, strings.CutPrefix} {
			if digits, found := rest(bare, mark); found {
				digits = strings.TrimFunc(digits, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("()[]-", r) })
				if _, ok := jersey(digits); ok {
					return digits, mark
				}
			}
		}
	}
	return text, ""
}

// aroundNumber takes marks away that stand outside a number: "A 7 Olu Fenn" and
// "Olu Fenn 7 A".
func aroundNumber(words []string) (rest []string, letter string) {
	number := func(i int) bool {
		_, ok := jersey(strings.TrimSuffix(words[i], ","))
		return ok
	}
	if first, ok := markOf(words[0]); ok && len(words) > 1 && number(1) {
		return words[1:], first
	}
	last := len(words) - 1
	if mark, ok := markOf(words[last]); ok && last > 1 && !number(0) && number(last-1) {
		return words[:last], mark
	}
	return words, ""
}

// beforeName takes a mark away that stands in front of a name. The A of "A Holt"
// is an initial; with a first name behind it, or in brackets, it is a mark.
func beforeName(words []string) (rest []string, letter string) {
	if len(words) < 2 {
		return words, ""
	}
	mark, ok := markOf(words[0])
	if !ok || len(words) < 3 && words[0] == mark {
		return words, ""
	}
	return words[1:], mark
}

// withPosition reads a cell that has a position and a mark, or a mark only: "A",
// "F/A", "D (C)". A C beside no other position is a centre.
func withPosition(text string) (p entry.Position, letter string, ok bool) {
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" /,()[]+-", r) }) {
		part = strings.ToUpper(part)
		said, known := positionOf(part)
		switch {
		case part == "A":
			letter = part
		case part == "C" && p != entry.PositionUnsaid:
			letter = part
		case !known:
			return "", "", false
		case p == entry.PositionUnsaid:
			p = said
		}
	}
	return p, letter, letter != ""
}
