package card

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"whistlestop/game/datafile"
	"whistlestop/game/message"
)

// Parse reads a card file. The name is used in errors, which say on which line
// what is wrong and what to do. What the file does not say about the board is:
// two penalty lines a side with numbers as they are worn, up to ten minutes, a
// clock that counts down, and penalties that stand still in an intermission.
// A file may carry the picture of the console at its end.
func Parse(file []byte, name string) (Card, error) {
	text, picture, err := Cut(file)
	if err == nil && picture != nil {
		err = CheckPicture(picture)
	}
	if err != nil {
		return Card{}, message.In(name, err)
	}
	if len(text) > bytesMost {
		return Card{}, message.In(name, message.New("card_file.large", "most", bytesMost>>10))
	}
	if !utf8.Valid(text) {
		return Card{}, message.In(name, message.New("card_file.not_utf8"))
	}
	c := blank()
	if err := datafile.Decode(text, name, &c); err != nil {
		return Card{}, err
	}
	c.tidy()
	if at, err := c.check(); err != nil {
		return Card{}, message.At(name, at.line(text), err)
	}
	c.Picture = picture
	return c, nil
}

// place is where in a file a fault is: the line that has the text after the line
// that names the key.
// The field is the same place in a form.
type place struct{ key, text, field string }

func (p place) line(text []byte) int {
	if p.text == "" {
		return datafile.LineOf(text, p.key)
	}
	for i, line := range strings.Split(string(text), "\n") {
		if strings.Contains(line, p.text) {
			return i + 1
		}
	}
	return datafile.LineOf(text, p.key)
}

// idMost is the most bytes that the id of a card has.
const idMost = 40

// nextGap finds the first gap of a step, well formed or not, and what comes after it.
func nextGap(step string) (gap, rest string, found bool) {
	from := strings.IndexAny(step, "{}")
	if from < 0 {
		return "", "", false
	}
	to := from + 1
	if end := strings.IndexAny(step[to:], "{}"); step[from] == '{' && end >= 0 && step[to+end] == '}' {
		to += end + 1
	}
	return step[from:to], step[to:], true
}

// check returns the first fault of a card and where it is.
func (c Card) check() (place, error) {
	b := c.Board
	switch {
	case !datafile.IsID(c.ID, idMost):
		return place{key: "id", field: "id"}, message.New("card_file.id")
	case strings.TrimSpace(c.Rink) == "" || bad(c.Rink, 60):
		return place{key: "rink", field: "rink"}, message.New("card_file.rink")
	case bad(c.Notes, 400):
		return place{key: "notes", field: "notes"}, message.New("card_file.notes")
	case b.PenaltyLines < 0 || b.PenaltyLines > penaltyMost:
		return place{key: "penalty_lines", field: "penalty_lines"}, message.New("card_file.penalty_lines", "most", penaltyMost, "lines", b.PenaltyLines)
	case b.NumberDigits != 1 && b.NumberDigits != 2:
		return place{key: "number_digits", field: "number_digits"}, message.New("card_file.number_digits", "digits", b.NumberDigits)
	case b.MostMinutes < 1 || b.MostMinutes > 99:
		return place{key: "most_minutes", field: "most_minutes"}, message.New("card_file.most_minutes", "minutes", b.MostMinutes)
	}
	if err := c.checkBoardLamps(); err != nil {
		return place{key: "lamps", field: "lamps"}, err
	}
	for _, w := range [][2]string{{"home", c.Words.Home}, {"visitors", c.Words.Visitors}, {"officials", c.Words.Officials}} {
		if strings.TrimSpace(w[1]) == "" || bad(w[1], 30) {
			return place{key: w[0], field: w[0]}, message.New("card_file.word", "word", w[0])
		}
	}
	if at, err := c.checkSteps(); err != nil {
		return at, err
	}
	return c.checkConsole()
}

func (c Card) checkSteps() (place, error) {
	if len(c.Steps) == 0 {
		return place{key: "steps", field: "steps"}, message.New("card_file.no_steps")
	}
	lines := 0
	seen := map[When]bool{}
	for _, t := range c.Steps {
		at := place{text: `"` + string(t.When) + `"`, field: stepField(t.When, 0)}
		if !slices.Contains(Whens, t.When) {
			return at, message.New("card_file.when", "when", message.Plain(t.When), "known", whens())
		}
		if seen[t.When] {
			return at, message.New("card_file.steps_twice", "when", t.When)
		}
		seen[t.When] = true
		if len(t.Do) == 0 {
			return at, message.New("card_file.steps_none", "when", t.When)
		}
		for i, step := range t.Do {
			lines++
			if err := checkStep(t.When, step); err != nil {
				return place{key: "do", text: firstLine(step), field: stepField(t.When, i)}, err
			}
		}
	}
	if lines > linesMost {
		return place{key: "steps", field: "steps"}, message.New("card_file.steps_many", "count", lines, "most", linesMost)
	}
	return place{}, nil
}

func checkStep(when When, step string) error {
	if strings.TrimSpace(step) == "" || bad(step, wordsMost) {
		return message.New("card_file.step", "when", when, "most", wordsMost)
	}
	for _, word := range strings.Fields(step) {
		if utf8.RuneCountInString(word) > wordMost {
			return message.New("card_file.step_word", "when", when, "most", wordMost)
		}
	}
	for gap, rest, found := nextGap(step); found; gap, rest, found = nextGap(rest) {
		name := strings.Trim(gap, "{}")
		if len(gap) > 2 && (name == "home" || name == "visitors" || slices.Contains(gaps[when], name)) {
			continue
		}
		return message.New("card_file.gap", "gap", gap, "when", when, "known", gapList(when))
	}
	return nil
}

// stepField is a step in a form: its happening and its place from nought.
func stepField(when When, step int) string { return string(when) + "." + strconv.Itoa(step) }

// gapList writes the gaps of a happening as a coordinator writes them.
func gapList(when When) string {
	return "{" + strings.Join(Gaps(when), "}, {") + "}"
}

func whens() string {
	list := make([]string, len(Whens))
	for i, w := range Whens {
		list[i] = string(w)
	}
	return strings.Join(list, ", ")
}

// bad reports whether a text is too long or has characters that no page shows.
func bad(text string, most int) bool {
	return utf8.RuneCountInString(text) > most || strings.ContainsFunc(text, unicode.IsControl)
}

// firstLine is what can be searched for of a step.
func firstLine(step string) string {
	line, _, _ := strings.Cut(step, "\n")
	return line
}
