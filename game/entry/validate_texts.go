package entry

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"whistlestop/game/message"
)

// validateTexts refuses texts about people with characters that nobody sees: marks that turn
// the direction of writing, that have no width, or that control a machine. With
// them a name reads as another one. Ledgers that have them are read all the same.
func (e Entry) validateTexts() error {
	var found error
	look := func(field, text string, lines bool) {
		if found == nil {
			found = seen(field, text, lines)
		}
	}
	MapTexts(e, func(what Text, text string) string {
		switch what {
		case TextPlayer, TextStaff, TextOfficial, TextDevice:
			look("name", text, false)
		case TextRemark:
			look("text", text, true)
		case TextDrawing:
		}
		return text
	})
	return found
}

// validateShown is the same for texts that are about nobody.
func validateShown(field string, texts ...string) error {
	for _, text := range texts {
		if err := seen(field, text, false); err != nil {
			return err
		}
	}
	return nil
}

func seen(field, text string, lines bool) error {
	if bad, has := unseen(text, lines); has {
		return invalid(field, "invalid.unseen", "text", message.Plain(text), "code", fmt.Sprintf("%04X", bad))
	}
	return nil
}

// Shown is a text from outside, such as the name of a file or of a sheet, as it may
// stand in a message: a mark in the place of each character that cannot be seen, so
// that none of them turns what is written around it.
func Shown(text string) string {
	if _, has := unseen(text, true); !has {
		return text
	}
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' || unicode.IsGraphic(r) {
			return r
		}
		return utf8.RuneError
	}, text)
}

// unseen returns the first character of a text that cannot be seen. A text of
// several lines may have their ends.
func unseen(text string, lines bool) (rune, bool) {
	for i, r := range text {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(text[i:]); size == 1 {
				return r, true
			}
		}
		if lines && (r == '\n' || r == '\t') {
			continue
		}
		if !unicode.IsGraphic(r) {
			return r, true
		}
	}
	return 0, false
}
