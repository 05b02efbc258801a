package maker

import (
	"fmt"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/practice/script"
)

// AnswerText writes the full answer of a script in words: at each stoppage what
// has to be entered, and how the game then stands. The sentences come from the
// caller, who has the catalogue.
func AnswerText(s script.Script, sentence func(rules.Say) string) string {
	state, err := s.State()
	if err != nil {
		return sentence(message.Of(err)) // a script that was directed folds
	}
	says := map[string]string{}
	for _, l := range state.Lines {
		says[l.Entry] = sentence(l.Say)
	}
	var b strings.Builder
	next := s.Given
	for i, m := range s.Moments {
		fmt.Fprintf(&b, "\n%s %s\n", sentence(rules.Say{Key: strings.TrimPrefix(script.StageArg(m.Right.Stage), "@")}), m.Right.Left.Left())
		last := len(s.Cues)
		if i+1 < len(s.Moments) {
			last = s.Moments[i+1].From
		}
		for next < len(s.Answers) && s.Answers[next].Cue < last {
			fmt.Fprintf(&b, "  %s\n", says[s.Answers[next].Entry.ID])
			next++
		}
		fmt.Fprintf(&b, "  = %d-%d, %d : %d", m.Right.Score[0], m.Right.Score[1], m.Right.Skaters[0], m.Right.Skaters[1])
		for _, x := range m.Right.Box {
			if !x.Starts {
				fmt.Fprintf(&b, "; %s %s %s", teamName(s, x.Side), playerText(x), x.Left.Left())
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}

func teamName(s script.Script, side entry.Side) string {
	if side == entry.Visitors {
		return s.Visitors.Name
	}
	return s.Home.Name
}

func playerText(b script.Boxed) string {
	if b.Player == "" {
		return string(b.Sits)
	}
	return string(b.Player)
}

// StandardPage is the page with the standard practice game and its full answer.
func StandardPage(sentence func(rules.Say) string) string {
	s := Standard()
	return "# The standard practice game\n\n" +
		"One fixed game, so that anybody can repeat it and compare scores. Made by the program; do not edit.\n\n" +
		"Play it on the practice screen, or read it with `whistlestop practice script standard`. Grade a ledger with " +
		"`whistlestop practice grade standard LEDGER`. How grading works: [practice.md](practice.md).\n\n" +
		"## The script\n\n```\n" + s.Text() + "```\n\n" +
		"## The full answer\n\nFor each stoppage: what is entered, in order, until the next one; then the score, the skaters for the face-off, " +
		"and who has how long to serve.\n\n```" + AnswerText(s, sentence) + "```\n"
}
