package entry

import (
	"crypto/sha256"
	"strconv"

	"whistlestop/game/message"
)

// Inside reports whether the entry has a text about a person in its line: it is of
// version 1.
func (e Entry) Inside() bool {
	if e.Apart != nil {
		return false
	}
	found := false
	MapTexts(e, func(_ Text, text string) string {
		found = found || text != ""
		return text
	})
	return found
}

// WithoutTexts returns the entry of a line of version 1 as it stands in the place of
// that line where nobody keeps the texts about people that were in it: as version 2,
// with the hash of the line, so that the chain goes on around it. In the place of each
// text is a mark in the form of a commitment. It is made of that hash and of the number
// of the place, and of nothing else, so the same line becomes the same bytes wherever
// this is done, and there is no text that opens a mark. An entry without a text inside
// stays as it is.
func WithoutTexts(e Entry) (Entry, error) {
	if !e.Inside() {
		return e, nil
	}
	hash, err := e.Hash()
	if err != nil {
		return e, err
	}
	var apart []Kept
	out := MapTexts(e, func(what Text, text string) string {
		kept := Kept{}
		if text != "" {
			kept.Commitment = markOf(hash, len(apart))
			text = what.Gone()
		}
		apart = append(apart, kept)
		return text
	})
	out.Apart, out.Was = apart, hash
	return out, nil
}

// markOf is what stands in a place of a line from which a text was taken out.
func markOf(hash string, place int) string {
	sum := sha256.Sum256([]byte("whistlestop without texts 1\n" + hash + "\n" + strconv.Itoa(place)))
	return commitMark + coding.EncodeToString(sum[:])
}

// Opened returns the texts of a kind that stood in a line of version 1, by what stands in
// their places in the line without them. It returns an error where the two lines differ in
// anything else.
func Opened(original, instead Entry, kind Text) (texts map[string]string, err error) {
	hash, err := original.Hash()
	if err != nil {
		return nil, err
	}
	again := original
	again.Apart, again.Was = instead.Apart, instead.Was
	line, err := again.MarshalJSON()
	if err != nil {
		return nil, err
	}
	stands, err := instead.MarshalJSON()
	if err != nil {
		return nil, err
	}
	if original.Apart != nil || instead.Was != hash || string(line) != string(stands) {
		return nil, message.New("chain.another_line", "place", original.Seq, "entry", original.ID)
	}
	texts = map[string]string{}
	place := 0
	MapTexts(original, func(what Text, text string) string {
		if kept := instead.Apart[place]; what == kind && text != "" {
			texts[kept.Commitment] = text
		}
		place++
		return text
	})
	return texts, nil
}
