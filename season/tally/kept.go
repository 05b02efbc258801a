package tally

import (
	"iter"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/season/figures"
	"whistlestop/season/results"
	"whistlestop/season/suspensions"
)

// kept is a report as a season keeps it: who skated and what was called are packed,
// because a national body has millions of these lines and few texts in them.
type kept struct {
	results.Facts // without skaters and calls
	skaters       skaters
	calls         [2][]call
}

// skaters are those of a game, by side, by their numbers among the season's texts.
type skaters struct {
	who [2][]uint32
	did []did
}

// did is what one of them did.
type did struct {
	at             uint16 // place in who of the side
	side           figures.Side
	minutes, shots int16
}

// call is a call of the referee.
type call struct {
	game, who, team, infraction uint32
	parts                       uint32 // number among the season's lists of parts
	is                          uint8
	listed, penalties, majors   int32
	left                        entry.Millis
}

// What a call is.
const (
	isFighting uint8 = 1 << iota
	isAggressive
	isUnsportsmanlike
)

// texts are texts that come again and again, each once.
type texts struct {
	number map[string]uint32
	list   []string
}

func (t *texts) of(text string) uint32 {
	n, known := t.number[text]
	if !known {
		if t.number == nil {
			t.number = map[string]uint32{}
		}
		n = uint32(len(t.list))
		t.number[text] = n
		t.list = append(t.list, text)
	}
	return n
}

// once is a text as it is kept.
func (t *texts) once(text string) string { return t.list[t.of(text)] }

// pack takes the skaters and calls of a report and keeps them.
func (p *people) pack(f results.Facts) *kept {
	k := &kept{Facts: f}
	for _, one := range f.Figures.Skaters {
		if one.Minutes != 0 || one.Shots != 0 {
			k.skaters.did = append(k.skaters.did, did{uint16(len(k.skaters.who[one.Side])), one.Side, one.Minutes, one.Shots})
		}
		k.skaters.who[one.Side] = append(k.skaters.who[one.Side], p.texts.of(string(one.Who)))
	}
	k.skaters.did = clip(k.skaters.did)
	for side, list := range f.Calls {
		k.skaters.who[side] = clip(k.skaters.who[side])
		for _, c := range list {
			one := call{
				game: p.texts.of(c.Game), who: p.texts.of(c.Who), team: p.texts.of(c.Team), infraction: p.texts.of(c.Infraction), parts: p.partsOf(c.Parts),
				is:     flag(c.Fighting, isFighting) | flag(c.Aggressive, isAggressive) | flag(c.Unsportsmanlike, isUnsportsmanlike),
				listed: int32(c.Listed), penalties: int32(c.Penalties), majors: int32(c.Majors), left: c.Left,
			}
			k.calls[side] = append(k.calls[side], one)
		}
		k.calls[side] = clip(k.calls[side])
	}
	k.Figures.Skaters, k.Calls = nil, [2][]suspensions.Call{}
	return k
}

func flag(set bool, is uint8) uint8 {
	if set {
		return is
	}
	return 0
}

// partsOf is the number of a list of parts.
func (p *people) partsOf(parts []entry.Part) uint32 {
	at := slices.IndexFunc(p.parts, func(known []entry.Part) bool { return slices.Equal(known, parts) })
	if at < 0 {
		at = len(p.parts)
		p.parts = append(p.parts, slices.Clone(parts))
	}
	return uint32(at)
}

// skatersOf are the skaters of a report, those of the home team first.
func (p *people) skatersOf(k *kept) []figures.Skater {
	list := make([]figures.Skater, 0, len(k.skaters.who[0])+len(k.skaters.who[1]))
	for side, who := range k.skaters.who {
		for _, n := range who {
			list = append(list, figures.Skater{Side: figures.Side(side), Who: figures.Person(p.texts.list[n])})
		}
	}
	for _, one := range k.skaters.did {
		at := int(one.at) + int(one.side)*len(k.skaters.who[0])
		list[at].Minutes, list[at].Shots = one.minutes, one.shots
	}
	return list
}

// skated says whether somebody is among a side's skaters.
func (p *people) skated(k *kept, side int, name string) bool {
	n, known := p.texts.number[name]
	return known && slices.Contains(k.skaters.who[side], n)
}

// callsOf are the calls of a side, with their places.
func (p *people) callsOf(k *kept, side int) iter.Seq2[int, suspensions.Call] {
	return func(yield func(int, suspensions.Call) bool) {
		for i, one := range k.calls[side] {
			text := p.texts.list
			if !yield(i, suspensions.Call{
				Game: text[one.game], Who: text[one.who], Team: text[one.team], Infraction: text[one.infraction], Parts: p.parts[one.parts], Left: one.left,
				Fighting: one.is&isFighting != 0, Aggressive: one.is&isAggressive != 0, Unsportsmanlike: one.is&isUnsportsmanlike != 0,
				Listed: int(one.listed), Penalties: int(one.penalties), Majors: int(one.majors),
			}) {
				return
			}
		}
	}
}

// whole is a report as it was put in.
func (p *people) whole(k *kept) results.Facts {
	f := k.Facts
	f.Figures.Skaters = p.skatersOf(k)
	for side := range 2 {
		for _, c := range p.callsOf(k, side) {
			f.Calls[side] = append(f.Calls[side], c)
		}
	}
	return f
}
