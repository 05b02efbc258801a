package pseudo

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing/fstest"

	"whistlestop/internal/locale"
)

// Tag names the language: one of those that were made up.
const Tag = "art-x-quay"

// letters are those of English and what stands for them: of Latin faces, so that
// paper has them.
var letters = strings.NewReplacer(
	"a", "å", "b", "ƀ", "c", "ç", "d", "đ", "e", "ë", "f", "ƒ", "g", "ğ", "h", "ħ", "i", "ï", "j", "ĵ", "k", "ķ", "l", "ł", "m", "ɱ",
	"n", "ñ", "o", "ö", "p", "þ", "q", "ɋ", "r", "ř", "s", "š", "t", "ŧ", "u", "ü", "v", "ṽ", "w", "ŵ", "x", "ẋ", "y", "ÿ", "z", "ž",
	"A", "Å", "B", "Ɓ", "C", "Ç", "D", "Đ", "E", "Ë", "F", "Ƒ", "G", "Ğ", "H", "Ħ", "I", "Ï", "J", "Ĵ", "K", "Ķ", "L", "Ł", "M", "Ɯ",
	"N", "Ñ", "O", "Ö", "P", "Þ", "Q", "Ɋ", "R", "Ř", "S", "Š", "T", "Ŧ", "U", "Ü", "V", "Ṽ", "W", "Ŵ", "X", "Ẋ", "Y", "Ÿ", "Z", "Ž",
)

var gap = regexp.MustCompile(`\{[a-z0-9_]+\}`)

// Text is an English text in the language.
func Text(english string) string {
	var out strings.Builder
	at := 0
	for _, span := range gap.FindAllStringIndex(english, -1) {
		out.WriteString(letters.Replace(english[at:span[0]]) + english[span[0]:span[1]])
		at = span[1]
	}
	out.WriteString(letters.Replace(english[at:]))
	return out.String()
}

// Texts are all texts of the language by their keys.
func Texts() map[string]string {
	english, texts := locale.English(), map[string]string{}
	for _, key := range english.Keys() {
		texts[key] = Text(english.Text(key, nil)) // with nothing in its gaps they stay
	}
	return texts
}

// JSON is the same as a file of the language has it.
func JSON() []byte {
	raw, err := json.Marshal(Texts())
	if err != nil {
		panic(err) // texts can always be written
	}
	return raw
}

// Spoken speaks the language, beside English.
func Spoken() *locale.Spoken {
	return locale.From(fstest.MapFS{"messages/" + Tag + "/all.json": {Data: JSON()}})
}

var word = regexp.MustCompile(`[\pL\pM]+`)

// Left lists the words of a text that have English letters only, of two letters or
// more, beside those that are known to stay: names, codes, ids.
func Left(text string, known ...string) (words []string) {
	stay := map[string]bool{}
	for _, one := range known {
		for _, w := range word.FindAllString(one, -1) {
			stay[w] = true
		}
	}
	for _, w := range word.FindAllString(text, -1) {
		if len(w) > 1 && isEnglish(w) && !stay[w] {
			words = append(words, w)
		}
	}
	return words
}

func isEnglish(word string) bool {
	for _, r := range word {
		if r > 'z' {
			return false
		}
	}
	return true
}
