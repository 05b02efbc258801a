package console

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/entry"
)

// sequences are all that the card teaches the console. The steps of a happening
// follow one another; one that is done for each penalty stands for itself.
func sequences(c card.Card) (list []sequence) {
	for _, when := range card.Whens {
		i := slices.IndexFunc(c.Steps, func(t card.Template) bool { return t.When == when })
		if i < 0 {
			continue
		}
		t := c.Steps[i]
		var joined []card.PressItem
		var lamps, still []card.Lamp // of the steps with keys, and of those without that follow them
		for step := range t.Do {
			items := t.Items(step)
			switch {
			case len(items) == 0:
				still = append(still, t.Lamps(step, "")...)
			case t.Repeats(step):
				list = append(list, named(c, sequence{when: when, items: items, each: true, lamps: t.Lamps(step, "")})...)
			default:
				joined = append(joined, items...)
				lamps, still = slices.Concat(lamps, still, t.Lamps(step, "")), nil
			}
		}
		if len(joined) > 0 {
			list = append(list, named(c, sequence{when: when, items: joined, lamps: lamps})...)
		}
	}
	return list
}

// named writes every side, line and period into the names of the keys.
func named(c card.Card, s sequence) []sequence {
	list := []sequence{s}
	for _, gap := range []string{"side", "line", "period"} {
		in := func(item card.PressItem) bool { return strings.Contains(item.Key, "{"+gap+"}") }
		if !slices.ContainsFunc(s.items, in) {
			continue
		}
		var more []sequence
		for _, one := range list {
			for _, value := range values(c, s.when, gap) {
				filled := sequence{when: one.when, each: one.each, named: map[string]string{gap: value}}
				for g, v := range one.named {
					if g != gap {
						filled.named[g] = v
					}
				}
				for _, lamp := range one.lamps {
					lamp.Name = strings.ReplaceAll(lamp.Name, "{"+gap+"}", value)
					filled.lamps = append(filled.lamps, lamp)
				}
				for _, item := range one.items {
					item.Key = strings.ReplaceAll(item.Key, "{"+gap+"}", value)
					filled.items = append(filled.items, item)
				}
				more = append(more, filled)
			}
		}
		list = more
	}
	return list
}

func values(c card.Card, when card.When, gap string) []string {
	switch gap {
	case "side":
		if when == card.TimeOut {
			return []string{c.Words.Home, c.Words.Visitors, c.Words.Officials}
		}
		return []string{c.Words.Home, c.Words.Visitors}
	case "line":
		return count(c.Board.PenaltyLines)
	default:
		return count(3)
	}
}

func count(n int) []string {
	list := make([]string, n)
	for i := range list {
		list[i] = strconv.Itoa(i + 1)
	}
	return list
}

// number is a value as a number, or -1.
func (a attempt) number(gap string) int {
	n, err := strconv.Atoi(a.value(gap))
	if err != nil {
		return -1
	}
	return n
}

// time is the time that was typed, or -1.
func (a attempt) time() entry.Millis {
	for _, gap := range []string{"time", "mmss"} {
		if n := a.number(gap); n >= 0 {
			return entry.Clock(n/100, n%100)
		}
	}
	n := a.number("minutes")
	switch {
	case n < 0:
		return -1
	case len(a.value("minutes")) > 2:
		return entry.Clock(n/100, n%100)
	default:
		return entry.Clock(n, 0)
	}
}

// do puts on the board what was pressed; false: the console cannot do it.
func (b *Board) do(c card.Card, a attempt) bool {
	side := sideOf(c, a)
	switch a.of.when {
	case card.Goal, card.GoalTakenBack:
		return b.goal(a, side)
	case card.PenaltyPosted, card.PenaltyChanged, card.PenaltyTakenDown:
		return side >= 0 && b.penalty(c, a, side)
	case card.HoldPenalties, card.AfterIntermission:
		b.hold(a, side, a.of.when == card.HoldPenalties)
		b.clock(a)
	case card.SetTime, card.ChangePeriod, card.Intermission:
		if n := a.number("period"); n >= 0 {
			b.Period = n
		} else if a.of.when == card.ChangePeriod {
			b.Period++
		}
		b.clock(a)
	case card.BeforeGame:
		b.On = true
		b.clock(a)
	case card.AfterGame:
		b.On = false
	case card.TimeOut, card.RunningTime, card.Horn: // nothing that the board shows
	}
	return true
}

// light puts lamps as the card says of them.
func (b *Board) light(c card.Card, said []card.Lamp) {
	b.Lamps = append([]string{}, c.Board.LampsThen(b.Lamps, said)...)
}

// lightAll puts lamps as steps leave them.
func (b *Board) lightAll(c card.Card, steps []card.Step) {
	for _, s := range steps {
		b.light(c, s.Lamps)
	}
}

func (b *Board) clock(a attempt) {
	if t := a.time(); t >= 0 {
		b.Clock = t
	}
}

func (b *Board) goal(a attempt, side int) bool {
	for i, gap := range []string{"home", "visitors"} {
		if n := a.number(gap); n >= 0 {
			b.Score[i] = n
			side = -1
		}
	}
	if side < 0 {
		return a.number("home") >= 0 || a.number("visitors") >= 0
	}
	switch n := a.number("score"); {
	case n >= 0:
		b.Score[side] = n
	case a.of.when == card.Goal:
		b.Score[side]++
	default:
		b.Score[side] = max(0, b.Score[side]-1)
	}
	return true
}

// find finds a line by its number, or by its place from the top.
func (b *Board) find(a attempt, side int) int {
	if n := a.value("number"); n != "" {
		if i := slices.IndexFunc(b.Sides[side], func(l Line) bool { return l.Number == n }); i >= 0 {
			return i
		}
	}
	if n := a.number("line"); n >= 1 && n <= len(b.Sides[side]) {
		return n - 1
	}
	return -1
}

func (b *Board) penalty(c card.Card, a attempt, side int) bool {
	line := Line{Number: a.value("number"), Left: a.time()}
	if !c.Board.ShowsNumbers {
		line.Number = ""
	}
	at := b.find(a, side)
	switch {
	case a.of.when == card.PenaltyPosted && len(b.Sides[side]) < c.Board.PenaltyLines:
		b.Sides[side] = append(b.Sides[side], line)
	case a.of.when == card.PenaltyPosted || at < 0:
		return false // no line is free, or there is none
	case a.of.when == card.PenaltyChanged:
		b.Sides[side][at] = line
	default:
		b.Sides[side] = slices.Delete(b.Sides[side], at, at+1)
	}
	return true
}

// hold stops the penalties, or lets them run: all, or one that was named.
func (b *Board) hold(a attempt, side int, held bool) {
	if a.of.each && side >= 0 {
		if at := b.find(a, side); at >= 0 {
			b.Sides[side][at].Held = held
		}
		return
	}
	b.holdAll(held)
}
