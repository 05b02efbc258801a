package practice

import (
	"whistlestop/game/card"
	"whistlestop/game/card/onpaper"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/internal/demo"
	"whistlestop/practice/console"
)

// CardTexts are the rink cards that come with the program.
type CardTexts struct {
	Cards []CardText `json:"cards"`
}

// CardText is a rink card as its file. An empty text is a card on which nothing was said.
type CardText struct {
	Name string `json:"name"` // of the file, or of the rink
	Text string `json:"text"`
	Own  bool   `json:"own,omitempty"` // of the association that wrote the site
}

// CardChecked is what there is to say of a card that somebody fills in.
type CardChecked struct {
	ID     string      `json:"id"`
	Text   string      `json:"text"` // the file; empty while there are faults
	Faults []CardFault `json:"faults"`
	Seen   []card.Seen `json:"seen"`  // what the volunteer will see
	Keys   [][]string  `json:"keys"`  // row by row
	Gaps   []CardGaps  `json:"gaps"`  // of every happening, in the order in which they are done
	Paper  []string    `json:"paper"` // what does not fit on paper, in words; the card can be used all the same
}

// CardGaps are what can be filled into the steps of a happening.
type CardGaps struct {
	When card.When `json:"when"`
	Gaps []string  `json:"gaps"`
}

// CardFault is what is wrong with a field, and what to do.
type CardFault struct {
	Field string `json:"field"`
	Why   string `json:"why"`
}

// ConsoleDrills are the drills that a card has something to do for.
type ConsoleDrills struct {
	Drills []ConsoleDrill `json:"drills"`
}

// ConsoleDrill is a drill in a list.
type ConsoleDrill struct {
	ID    string `json:"id"`
	Steps int    `json:"steps"`
	Keys  int    `json:"keys"` // to be pressed in all; 0: the card has no keys for it
}

// ConsolePlay is a drill with all that was done so far.
type ConsolePlay struct {
	Text  string        `json:"text"` // the card
	Drill string        `json:"drill"`
	Seed  uint32        `json:"seed"`
	Acts  []console.Act `json:"acts"`
}

// ConsoleSeen is how far the drill has come.
type ConsoleSeen struct {
	Seen  console.Seen `json:"seen"`
	Rink  string       `json:"rink"`
	Keys  [][]string   `json:"keys"` // row by row
	Clear string       `json:"clear"`
	Lines int          `json:"lines"` // penalty lines a side
	Lamps []string     `json:"lamps"` // that the board has besides, lit or dark
	// Marks are where the keys are on the photo of the console, and DisplayAt where its
	// display is. The photo itself stays with the page.
	Marks     []card.Mark `json:"marks"`
	DisplayAt *card.Mark  `json:"display_at,omitempty"`
}

// ConsoleTable is the bench's own game beside the console, opened where a drill has come to.
type ConsoleTable struct {
	Game  string       `json:"game"`   // as the screens ask for it; empty: nothing is entered there now
	Given int          `json:"given"`  // entries that were there before this whistle
	Seq   int          `json:"seq"`    // and with what was posted at it
	Now   entry.Millis `json:"now_ms"` // what the clock of the game shows, milliseconds of Unix time
}

// consoleActsMost is how many acts a drill can have: far more than any needs.
const consoleActsMost = 2000

func cardTexts(c *api.Call) (any, error) {
	r := roomOf(c)
	list := CardTexts{Cards: []CardText{}}
	for i, one := range r.own.cards {
		list.Cards = append(list.Cards, CardText{Name: one.Rink, Text: r.ownFiles.Cards[i].Text, Own: true})
	}
	file := demo.Card()
	list.Cards = append(list.Cards, CardText{Name: file.Card.Rink, Text: string(file.Text)})
	return list, nil
}

func readCard(c *api.Call) (any, error) {
	var sent CardText
	if err := c.Read(&sent); err != nil {
		return nil, err
	}
	if sent.Text == "" {
		return card.Blank(), nil
	}
	one, err := parseCard(sent)
	return card.FormOf(one), err
}

func parseCard(sent CardText) (card.Card, error) {
	one, err := card.Parse([]byte(sent.Text), sent.Name)
	if err != nil {
		return one, api.Refuse("card.unusable", "why", message.Inside(err))
	}
	return one, nil
}

func checkCard(c *api.Call) (any, error) {
	var form card.Form
	if err := c.Read(&form); err != nil {
		return nil, err
	}
	if form.Card.ID == "" {
		form.Card.ID = card.IDOf(form.Card.Rink)
	}
	one, faults := form.Whole()
	checked := CardChecked{ID: one.ID, Faults: []CardFault{}, Seen: card.Preview(one), Keys: one.Console.Keys(), Paper: []string{}}
	if checked.Keys == nil {
		checked.Keys = [][]string{}
	}
	for _, when := range card.Whens {
		checked.Gaps = append(checked.Gaps, CardGaps{When: when, Gaps: card.Gaps(when)})
	}
	for _, f := range faults {
		checked.Faults = append(checked.Faults, CardFault{Field: f.Field, Why: api.Reason(c.Words, f.Why)})
	}
	if len(faults) == 0 {
		form.Picture = "" // the page keeps the photo apart from the text
		text, err := form.File()
		if err != nil {
			return nil, err
		}
		checked.Text, checked.Paper = string(text), onpaper.Told(one, c.Words)
	}
	return checked, nil
}

// drillDivision is the division of the drills at the console: the association's first
// that has periods and intermissions.
func (r *Room) drillDivision() rulebook.Division {
	all := r.divisions()
	for i, d := range all {
		if i < len(r.own.divisions) && len(d.Periods) > 1 && len(d.Intermissions) > 0 || d.ID == "harbour-u14" {
			return d
		}
	}
	return all[0]
}

func consoleDrills(c *api.Call) (any, error) {
	var sent CardText
	if err := c.Read(&sent); err != nil {
		return nil, err
	}
	one, err := parseCard(sent)
	if err != nil {
		return nil, err
	}
	list := ConsoleDrills{Drills: []ConsoleDrill{}}
	for _, id := range console.IDs {
		d, err := console.Make(id, one, roomOf(c).drillDivision(), 1)
		if err != nil {
			return nil, err
		}
		drill := ConsoleDrill{ID: id}
		for _, m := range d.Moments {
			for _, s := range m.Steps {
				drill.Steps++
				drill.Keys += len(s.Keys)
			}
		}
		if drill.Keys > 0 {
			list.Drills = append(list.Drills, drill)
		}
	}
	return list, nil
}

// playedTo reads what was done at the console so far, and plays it.
func playedTo(c *api.Call) (*console.Play, card.Card, error) {
	var sent ConsolePlay
	if err := c.Read(&sent); err != nil {
		return nil, card.Card{}, err
	}
	one, err := parseCard(CardText{Text: sent.Text})
	if err != nil {
		return nil, one, err
	}
	d, err := console.Make(sent.Drill, one, roomOf(c).drillDivision(), sent.Seed)
	if err != nil {
		return nil, one, err
	}
	p := console.Begin(d)
	for _, act := range sent.Acts[:min(len(sent.Acts), consoleActsMost)] {
		p.Act(act)
	}
	return p, one, nil
}

// consoleBench opens the bench's own game beside the console: the same bench, with the same
// screens, as in a game.
func consoleBench(c *api.Call) (any, error) {
	p, _, err := playedTo(c)
	if err != nil {
		return nil, err
	}
	r := roomOf(c)
	r.clear()
	ledger, given := p.Ledger()
	if len(ledger) == 0 {
		return ConsoleTable{}, nil
	}
	now := ledger[len(ledger)-1].Wall + 1000
	t, err := newTable(ledger, entry.BookSeat, now)
	if err != nil {
		return nil, err
	}
	r.beside = &t
	return ConsoleTable{Game: t.id, Given: given, Seq: len(ledger), Now: now}, nil
}

func consolePlay(c *api.Call) (any, error) {
	p, one, err := playedTo(c)
	if err != nil {
		return nil, err
	}
	seen := ConsoleSeen{Seen: p.Seen(), Rink: one.Rink, Keys: one.Console.Keys(), Lines: one.Board.PenaltyLines, Marks: []card.Mark{}}
	seen.Lamps = append([]string{}, one.Board.LampNames()...)
	if k := one.Console; k != nil {
		seen.Clear, seen.DisplayAt = k.Clear, k.Display
		seen.Marks = append(seen.Marks, k.Marks...)
	}
	if seen.Keys == nil {
		seen.Keys = [][]string{}
	}
	return seen, nil
}
