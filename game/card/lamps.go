package card

import (
	"slices"
	"strings"
	"unicode/utf8"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Lamp is a lamp of the board as a step leaves it. A lamp stays as it is until a step
// says otherwise.
type Lamp struct {
	Name string `json:"name"` // in the card's words
	Lit  bool   `json:"lit"`
}

// lampsMost is how many lamps a board has at most besides its lines and its clock.
const lampsMost = 12

// sideGap is the only gap that the name of a lamp may have, where a step is about a side:
// what was ticked has to say by itself which lamp it was.
const sideGap = "{side}"

// LampNames are the lamps that the board has, in the card's order.
func (b Board) LampNames() []string { return namesIn(b.Lamps) }

// namesIn are the names in a text with commas between.
func namesIn(text string) (names []string) {
	for name := range strings.SplitSeq(text, ",") {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	return names
}

// lamps are those that a step says something of, those that are lit first.
func (t Template) lamps(step int) (list []Lamp) {
	for i, texts := range [][]string{t.Lit, t.Dark} {
		if step >= len(texts) {
			continue
		}
		for _, name := range namesIn(texts[step]) {
			list = append(list, Lamp{Name: name, Lit: i == 0})
		}
	}
	return list
}

// Lamps are those that a step says something of, for a side in the card's words; "" leaves
// {side} as it stands.
func (t Template) Lamps(step int, side string) []Lamp {
	list := t.lamps(step)
	for i := range list {
		if side != "" {
			list[i].Name = strings.ReplaceAll(list[i].Name, sideGap, side)
		}
	}
	return list
}

// LampsThen are the lamps that are lit after steps said of some that they are lit or dark,
// in the card's order.
func (b Board) LampsThen(lit []string, said []Lamp) []string {
	var then []string
	for _, name := range b.LampNames() {
		is := slices.Contains(lit, name)
		for _, l := range said {
			if l.Name == name {
				is = l.Lit
			}
		}
		if is {
			then = append(then, name)
		}
	}
	return then
}

// lampsShown are the lamps of which something is known, in the card's order.
func (b Board) lampsShown(known map[string]bool) (list []Lamp) {
	for _, name := range b.LampNames() {
		if lit, said := known[name]; said {
			list = append(list, Lamp{Name: name, Lit: lit})
		}
	}
	return list
}

// lampsAhead are the lamps as they should be when all steps are done.
func (p *panel) lampsAhead(c Card, steps []Step) []Lamp {
	known := map[string]bool{}
	for name, lit := range p.lamps {
		known[name] = lit
	}
	for _, s := range steps {
		for _, l := range s.Lamps {
			if !s.Ticked {
				known[l.Name] = l.Lit
			}
		}
	}
	return c.Board.lampsShown(known)
}

// lamp follows the lamps of a step that was ticked.
func (p *panel) lamp(c Card, when When, step int, parts []string) {
	side := ""
	if when.changes() && len(parts) > 0 && entry.Side(parts[0]).Valid() {
		side = c.word(entry.Side(parts[0]))
	}
	for _, l := range c.of(when).Lamps(step, side) {
		if p.lamps == nil {
			p.lamps = map[string]bool{}
		}
		p.lamps[l.Name] = l.Lit
	}
}

// checkBoardLamps returns the first fault of the names of the lamps.
func (c Card) checkBoardLamps() error {
	names := c.Board.LampNames()
	if len(names) > lampsMost || bad(c.Board.Lamps, lampsMost*(keyMost+2)) {
		return message.New("card_file.lamps", "most", lampsMost)
	}
	for i, name := range names {
		switch {
		case utf8.RuneCountInString(name) > keyMost || strings.ContainsAny(name, `{}"`):
			return message.New("card_file.lamp", "lamp", message.Plain(name), "most", keyMost)
		case slices.Contains(names[:i], name):
			return message.New("card_file.lamp_twice", "lamp", message.Plain(name))
		}
	}
	return nil
}

// checkLamps returns the first fault of the lamps of a happening.
func (c Card) checkLamps(t Template) (place, error) {
	for _, list := range []struct {
		key   string
		texts []string
	}{{"lit", t.Lit}, {"dark", t.Dark}} {
		for i, text := range list.texts {
			if bad(text, lampsMost*(keyMost+2)) {
				return place{key: list.key, field: stepField(t.When, i) + ".lamps"}, message.New("card_file.lamps", "most", lampsMost)
			}
		}
		if len(list.texts) > len(t.Do) {
			return place{key: list.key, text: `"` + string(t.When) + `"`, field: stepField(t.When, 0) + ".lamps"},
				message.New("card_file.lamp_steps", "when", t.When, "steps", len(t.Do), "lamps", len(list.texts))
		}
	}
	for i := range t.Do {
		seen := map[string]bool{}
		for _, l := range t.lamps(i) {
			err := c.checkLamp(t, l.Name)
			if err == nil && seen[l.Name] {
				err = message.New("card_file.lamp_both", "lamp", message.Plain(l.Name))
			}
			if err != nil {
				key, texts := "dark", t.Dark
				if l.Lit {
					key, texts = "lit", t.Lit
				}
				return place{key: key, text: `"` + texts[i] + `"`, field: stepField(t.When, i) + ".lamps"}, err
			}
			seen[l.Name] = true
		}
	}
	return place{}, nil
}

// checkLamp returns what is wrong with a lamp of a step.
func (c Card) checkLamp(t Template, lamp string) error {
	for gap, rest, found := nextGap(lamp); found; gap, rest, found = nextGap(rest) {
		if gap != sideGap || !t.When.changes() {
			return message.New("card_file.lamp_gap", "gap", gap, "side", sideGap)
		}
	}
	pressed := strings.Join(t.Press, "")
	if strings.Contains(lamp, sideGap) && !empty(pressed) && !strings.Contains(pressed, sideGap) {
		return message.New("card_file.lamp_side", "when", t.When)
	}
	all := c.Board.LampNames()
	for _, side := range []string{c.Words.Home, c.Words.Visitors} {
		name := strings.ReplaceAll(lamp, sideGap, side)
		switch {
		case slices.Contains(all, name):
		case len(all) == 0:
			return message.New("card_file.no_lamps", "lamp", message.Plain(name))
		default:
			return message.New("card_file.no_lamp", "lamp", message.Plain(name), "lamps", message.Plain(strings.Join(all, ", ")))
		}
	}
	return nil
}
