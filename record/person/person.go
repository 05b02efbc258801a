package person

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"whistlestop/game/entry"
)

// Person is a person as people write the name: capital letters, spaces and how an
// accent is coded make no difference.
type Person struct{ words []string }

// lettersLeast is how many letters a name must have: with fewer of them it would
// be found in too much that is about somebody else (ours).
const lettersLeast = 3

// Named returns the person with a name. It returns false for what is too short.
func Named(name string) (Person, bool) {
	words := wordsOf(name)
	return Person{words}, len(strings.Join(words, "")) >= lettersLeast
}

// wordsOf are the words of a text, in small letters and in one coding.
func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(norm.NFKC.String(text)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r)
	})
}

// In reports whether a text names the person: all words of the name one after the
// other, also as lists write them, the last ones first.
func (p Person) In(text string) bool {
	words := wordsOf(text)
	for first := range p.words {
		if follow(words, append(append([]string{}, p.words[first:]...), p.words[:first]...)) {
			return true
		}
	}
	return false
}

// follow reports whether some words stand in others, one after the other.
func follow(all, some []string) bool {
	for i := range len(all) - len(some) + 1 {
		same := true
		for k, word := range some {
			same = same && all[i+k] == word
		}
		if same {
			return true
		}
	}
	return false
}

// Places says for each place of a text about people in an entry, in the order of
// entry.MapTexts, whether what stands there goes with the person. A text goes as a
// whole, and with the name of who signed go the code and the drawing.
func (p Person) Places(e entry.Entry) (places []bool, some bool) {
	var kinds []entry.Text
	entry.MapTexts(e, func(what entry.Text, text string) string {
		kinds = append(kinds, what)
		places = append(places, text != "" && what != entry.TextDrawing && p.In(text))
		return text
	})
	signed := false
	for i, what := range kinds {
		signed = signed || what == entry.TextOfficial && places[i]
	}
	body := e.Body
	if amended, is := body.(entry.Amended); is {
		body = amended.To
	}
	if _, is := body.(entry.Signed); is && signed {
		for i, what := range kinds {
			places[i] = places[i] || what != entry.TextDevice
		}
	}
	for _, place := range places {
		some = some || place
	}
	return places, some
}

// Without returns an entry without the texts that go with the person, as a draft
// that was not posted yet has it, and whether there were any.
func (p Person) Without(e entry.Entry) (entry.Entry, bool) {
	places, some := p.Places(e)
	if !some {
		return e, false
	}
	n := -1
	return entry.MapTexts(e, func(what entry.Text, text string) string {
		if n++; places[n] {
			return what.Gone()
		}
		return text
	}), true
}
