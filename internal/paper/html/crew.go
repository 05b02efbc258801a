package html

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"whistlestop/game/rules"
)

//go:embed crew.html
var crewText string

// Crew writes a sheet of the crew's desk: the week for a wall, slips for people's
// hands, or the balance of the families. The sheet is the desk's own value.
func Crew(out io.Writer, sheet any, words Words) error {
	say := func(key string, pairs ...any) string {
		all := make([]string, len(pairs))
		for i, one := range pairs {
			all[i] = fmt.Sprint(one)
		}
		return words.Text(key, rules.Pairs(all...))
	}
	page := map[string]any{"Sheet": sheet, "Policy": Policy, "Language": words.Language()}
	return write(out, crewText, template.FuncMap{"say": say}, page)
}
