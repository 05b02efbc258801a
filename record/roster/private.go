package roster

import (
	"regexp"
	"strings"
	"sync"
)

// What a roster never needs, and what leagues' lists have all the same: how to
// reach a child, and when it was born. Such texts are taken out wherever they
// stand, before anything else looks at a cell, and are not repeated in what is
// said about it. The patterns are made when the first roster is read: a program that
// reads none, or later, starts without them.
var private = sync.OnceValue(func() []pattern {
	return []pattern{
		{regexp.MustCompile(`(?i)(?:e-?mail:?\s*)?(?:mailto:)?[^\s,;:<>()\[\]"|]+@[^\s,;:<>()\[\]"|]+`), "roster.dropped_mail"},
		{regexp.MustCompile(`(?i)\b(?:born|dob|d\.o\.b\.?|birth ?(?:date|day|year)?|date of birth|geb\.?|geboren|né|née|syntynyt|född|f\.)[ :]*` +
			`(?:on )?(?:\d[\d ./-]{3,9}\d|\d{4})`), "roster.dropped_birth"},
		{regexp.MustCompile(`\b(?:19|20)\d\d[-./]\d{1,2}[-./]\d{1,2}(?:[T ]\d\d:\d\d(?::\d\d)?)?`), "roster.dropped_birth"},
		{regexp.MustCompile(`\b\d{1,2}[-./] ?\d{1,2}[-./] ?(?:(?:19|20)\d\d|\d\d)\b`), "roster.dropped_birth"},
		{regexp.MustCompile(`(?i)\b\d{1,2}(?:st|nd|rd|th|\.)?[ -](?:` + months + `)[a-z]*\.?,?[ -](?:(?:19|20)?\d\d)\b`), "roster.dropped_birth"},
		{regexp.MustCompile(`(?i)\b(?:` + months + `)[a-z]*\.? \d{1,2}(?:st|nd|rd|th)?,? (?:19|20)\d\d\b`), "roster.dropped_birth"},
		{regexp.MustCompile(`[(\[*] ?(?:19|20)\d\d ?[)\]]?`), "roster.dropped_birth"},
		{regexp.MustCompile(`(?i)(?:(?:tel|phone|mobile|cell|ph)\.?:? ?)?(?:\+|\b00)?\(?\d(?:[ ().\-/]{0,2}\d){6,14}`), "roster.dropped_phone"},
	}
})

type pattern struct {
	*regexp.Regexp
	key string // of what is said when it is found
}

var noPhone = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`\d{17}`) })

const months = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"

// withoutPrivate takes out of a text what no roster keeps, and returns what to
// say about it.
func withoutPrivate(text string) (kept string, dropped []string) {
	if !strings.ContainsAny(text, "0123456789@") {
		return text, nil
	}
	for _, one := range private() {
		if one.key == "roster.dropped_phone" && noPhone().MatchString(text) {
			continue // no telephone has so many digits
		}
		if left := one.ReplaceAllString(text, " "); left != text {
			text, dropped = left, append(dropped, one.key)
		}
	}
	if dropped == nil {
		return text, nil
	}
	text = strings.NewReplacer("()", "", "[]", "", "<>", "", "( )", "", "[ ]", "", "< >", "").Replace(text)
	return strings.Trim(strings.Join(strings.Fields(text), " "), " ,;|-–"), dropped
}
