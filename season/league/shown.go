package league

import (
	"strings"
)

// Shown is how players are named where everybody looks.
type Shown string

// The ways, each one telling more than those before.
const (
	ByNumber  Shown = ""        // the number alone
	ByInitial Shown = "initial" // first name and the initial of the family name
	ByName    Shown = "name"
)

// Ages in whole years, of the youngest who may play in a division (ours): below the first
// players have numbers, below the second at most an initial.
const (
	initialFrom = 14
	nameFrom    = 18
)

// Shown is how the players of a division are named; initials says that the association
// shows those of 14 to 17 so. Where the file does not say how old the youngest are, those
// of a division of adults are grown up, and those of any other are children.
func (d Division) Shown(initials bool) Shown {
	youngest := d.Youngest
	if youngest == 0 && d.Age == adult {
		youngest = nameFrom
	}
	switch {
	case youngest >= nameFrom:
		return ByName
	case youngest >= initialFrom && initials:
		return ByInitial
	}
	return ByNumber
}

const adult = "adult"

// Shorten is a name as it is shown so: whole, as first name and initial, or not at all.
func (n Shown) Shorten(name string) string {
	words := strings.Fields(name)
	switch {
	case n == ByName:
		return strings.Join(words, " ")
	case n != ByInitial || len(words) == 0:
		return ""
	}
	first := strings.TrimSuffix(words[0], ",")
	if len(words) == 1 {
		// One word may be a family name, which is more than is shown.
		return initial(first)
	}
	last := words[len(words)-1]
	if strings.HasSuffix(words[0], ",") { // family name first, as lists have it
		first, last = words[1], words[0]
	}
	return first + " " + initial(last)
}

// initial is the first letter of a word.
func initial(word string) string {
	for _, r := range word {
		return string(r) + "."
	}
	return ""
}
