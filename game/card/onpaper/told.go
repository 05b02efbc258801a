package onpaper

import (
	"math"
	"strconv"
	"strings"

	"whistlestop/game/card"
)

// Told says in words what of a card does not stand on paper as it is meant, on one page with
// its picture and a second one if something is wrong, and what to shorten; nothing where
// both papers hold it. It is for whoever types the card, before anybody prints it.
func Told(c card.Card, words Words) []string {
	var worst *Plan
	second := false
	for _, paper := range []Paper{A4, Letter} {
		p := Make(c, paper, words, Width)
		second = second || p.NoSecond
		if p.Crowded() && (worst == nil || p.Over > worst.Over) {
			worst = &p
		}
	}
	list := []string{}
	s := &setter{words: words}
	if worst != nil {
		whens := make([]string, len(worst.Longest))
		for i, when := range worst.Longest {
			whens[i] = s.say("card.when." + string(when))
		}
		key := "card.paper.steps"
		if worst.Alone {
			key = "card.paper.photo"
		}
		list = append(list, s.say(key, "percent", strconv.Itoa(int(math.Ceil(worst.Over*100))), "whens", strings.Join(whens, ", ")))
	}
	if second {
		list = append(list, s.say("card.paper.second"))
	}
	return list
}
