//go:build !js

package locale

import (
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// category is the plural category of a whole number in a language, by CLDR.
func category(tag string, n int) string {
	at, err := language.Parse(tag)
	if err != nil {
		return "other"
	}
	if n < 0 {
		n = -n
	}
	switch plural.Cardinal.MatchPlural(at, n, 0, 0, 0, 0) {
	case plural.Zero:
		return "zero"
	case plural.One:
		return "one"
	case plural.Two:
		return "two"
	case plural.Few:
		return "few"
	case plural.Many:
		return "many"
	case plural.Other:
		return "other"
	}
	return "other"
}
