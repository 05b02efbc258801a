package pocket

import (
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
)

// english has the words of the program, which are read when one is asked for: the
// screens bring their own, and a bench that opens needs none.
type english struct{}

func (english) Text(key string, args rules.Args) string { return locale.English().Text(key, args) }

func (english) Language() string { return "en" }
