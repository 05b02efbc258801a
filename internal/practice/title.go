package practice

import (
	"strconv"

	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/locale"
	"whistlestop/practice/script"
)

// TitleOf is the title of a script in a language. Titles stand in the scripts, in the
// language of whoever wrote them; the program's own are English there, and known by
// that.
func TitleOf(words api.Words, s script.Script) string {
	own := rules.Say{Key: "drill.title." + s.ID}
	made := rules.Say{Key: "drill.title.made", Args: rules.Pairs("seed", strconv.FormatUint(uint64(s.Seed), 10), "level", strconv.Itoa(s.Level))}
	for _, say := range []rules.Say{own, made} {
		if locale.English().Say(say) == s.Title {
			return words.Text(say.Key, say.Args)
		}
	}
	return s.Title
}
