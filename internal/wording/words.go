package wording

import (
	"slices"
	"strings"

	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Words are the texts of a language.
type Words interface {
	Text(key string, args message.Args) string
}

// Say is a sentence of a language, with what fills its gaps by name.
func Say(w Words, key string, pairs ...string) string { return w.Text(key, message.Pairs(pairs...)) }

// Day is a day with its name, for people; tables keep the bare day, which sorts.
func Day(w Words, day dates.Day) string {
	return Say(w, "crew.day", "weekday", "@crew.weekday."+dates.Weekday(day.Weekday()).String(), "day", day.String())
}

// titles are the texts of keys that begin alike.
func titles(w Words, begin string, ends ...string) []string {
	var list []string
	for _, end := range ends {
		list = append(list, w.Text(begin+end, nil))
	}
	return list
}

// Visible marks what cannot be seen in what fills a sentence's gaps: names of files,
// and what stands in them, may come from strangers.
func Visible(say message.Say) message.Say {
	say.Args = slices.Clone(say.Args)
	for i, arg := range say.Args {
		if inner, read := message.Read(strings.TrimPrefix(arg.Text, "@")); read && strings.HasPrefix(arg.Text, "@") {
			say.Args[i].Text = "@" + Visible(inner).String()
		} else {
			say.Args[i].Text = entry.Shown(arg.Text)
		}
	}
	return say
}
