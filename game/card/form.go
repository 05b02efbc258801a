package card

import (
	"encoding/base64"
	"slices"

	"whistlestop/game/message"
)

// Fault is what is wrong with a card, with its place in a form: "rink", "rows",
// "goal.1" (the second step of a goal), "goal.1.press" (its keys).
type Fault struct {
	Field string
	Why   error
}

// Form is a card as somebody fills it in, contacts and all.
type Form struct {
	Card     Card      `json:"card"`
	Contacts []Contact `json:"contacts"`
	// Picture is the photo of the console, a JPEG in base64.
	Picture string `json:"picture,omitempty"`
}

// FormOf is a card to be filled in further.
func FormOf(c Card) Form {
	return Form{Card: c, Contacts: c.Contacts, Picture: base64.StdEncoding.EncodeToString(c.Picture)}
}

// Blank is a form on which nothing was said.
func Blank() Form { return FormOf(blank()) }

// Whole is the card that was filled in, and every fault of it: one for each field,
// since what is wrong with one says nothing about the next.
func (f Form) Whole() (Card, []Fault) {
	c := f.Card
	c.Contacts = f.Contacts
	c.Steps = slices.Clone(c.Steps)
	c.tidy()
	var faults []Fault
	rest := c
	for range linesMost + listMost { // each turn takes a fault out, or ends
		at, err := rest.check()
		if err != nil && slices.ContainsFunc(faults, func(f Fault) bool { return f.Field == at.field }) {
			break
		}
		if err == nil {
			break
		}
		faults = append(faults, Fault{Field: at.field, Why: err})
		if !rest.without(at.field) {
			break
		}
	}
	if f.Picture != "" {
		raw, err := base64.StdEncoding.DecodeString(f.Picture)
		if err != nil {
			err = message.New("card_file.picture_unread")
		} else {
			err = CheckPicture(raw)
		}
		if err != nil {
			faults = append(faults, Fault{Field: "picture", Why: err})
		} else {
			c.Picture = raw
		}
	}
	return c, faults
}

// without puts something that is right in place of what was found wrong, so that
// what comes after it is looked at too.
func (c *Card) without(field string) bool {
	b := blank()
	switch field {
	case "id":
		c.ID = "card"
	case "rink":
		c.Rink = "Rink"
	case "notes":
		c.Notes = ""
	case "penalty_lines":
		c.Board.PenaltyLines = b.Board.PenaltyLines
	case "number_digits":
		c.Board.NumberDigits = b.Board.NumberDigits
	case "most_minutes":
		c.Board.MostMinutes = b.Board.MostMinutes
	case "lamps":
		c.Board.Lamps = ""
		c.Steps = slices.Clone(c.Steps)
		for i := range c.Steps { // what no lamp is left for is no second fault
			c.Steps[i].Lit, c.Steps[i].Dark = nil, nil
		}
	case "home":
		c.Words.Home = b.Words.Home
	case "visitors":
		c.Words.Visitors = b.Words.Visitors
	case "officials":
		c.Words.Officials = b.Words.Officials
	case "marks":
		if c.Console != nil { // as it was filled in stays as it is
			k := *c.Console
			k.Marks, k.Display = nil, nil
			c.Console = &k
		}
	default:
		return c.withoutStep(field)
	}
	return true
}

func (c *Card) withoutStep(field string) bool {
	for n, t := range c.Steps {
		for i := range t.Do {
			at := stepField(t.When, i)
			if field == at+".press" && i < len(t.Press) {
				t.Press = slices.Clone(t.Press)
				t.Press[i] = ""
				if t.press(i) == "" && i == 0 { // what the others lack alone is no second fault
					t.Press = nil
				}
				c.Steps = slices.Clone(c.Steps)
				c.Steps[n] = t
				return true
			}
			if field == at+".lamps" {
				t.Lit, t.Dark = unsaid(t.Lit, i, len(t.Do)), unsaid(t.Dark, i, len(t.Do))
				c.Steps = slices.Clone(c.Steps)
				c.Steps[n] = t
				return true
			}
			if field == at {
				t.Do = slices.Clone(t.Do)
				t.Do[i] = "-"
				c.Steps = slices.Clone(c.Steps)
				c.Steps[n] = t
				return true
			}
		}
	}
	return false
}

// unsaid are texts of steps, of which one says nothing and none is too many.
func unsaid(texts []string, step, most int) []string {
	texts = slices.Clone(texts[:min(len(texts), most)])
	if step < len(texts) {
		texts[step] = ""
	}
	return texts
}

// Seen is what the volunteer will see at a happening, with an example's values.
type Seen struct {
	When  When       `json:"when"`
	Steps []SeenStep `json:"steps"`
}

// SeenStep is one step of it.
type SeenStep struct {
	Text  string     `json:"text"`
	Keys  []KeyPress `json:"keys"`
	Lamps []Lamp     `json:"lamps,omitempty"` // of the board, as they are then
}

// Preview fills every happening of a card with the values of an example: a goal to
// 2-1, a penalty of two minutes for 7 on the first line, the second period.
func Preview(c Card) []Seen {
	list := []Seen{}
	for _, when := range Whens {
		t := c.of(when)
		if len(t.Do) == 0 {
			continue
		}
		time := "2:00"
		switch when {
		case SetTime:
			time = "8:22"
		case ChangePeriod:
			time = "15:00"
		case BeforeGame:
			time = "5:00"
		case Intermission, TimeOut:
			time = "1:00"
		case HoldPenalties, AfterIntermission, Goal, GoalTakenBack, PenaltyTakenDown, PenaltyChanged, PenaltyPosted,
			RunningTime, Horn, AfterGame:
		}
		fields := []string{
			"{side}", c.Words.Home, "{team}", "Kelp Bay", "{score}", "2", "{number}", c.number("7"), "{line}", "1",
			"{minutes}", "2", "{time}", time, "{period}", "2", "{home}", "2", "{visitors}", "1",
		}
		one := Seen{When: when, Steps: []SeenStep{}}
		for i, text := range t.Do {
			one.Steps = append(one.Steps, SeenStep{Text: fill(text, fields), Keys: filled(t.press(i), fields), Lamps: t.Lamps(i, c.Words.Home)})
		}
		list = append(list, one)
	}
	return list
}

// Gaps are the names of what can be filled into the steps of a happening.
func Gaps(when When) []string { return append(slices.Clone(gaps[when]), "home", "visitors") }

// IDOf makes an id of a rink's name: its letters and digits, hyphens between.
func IDOf(rink string) string {
	id := []rune{}
	for _, r := range rink {
		switch {
		case r >= 'A' && r <= 'Z':
			id = append(id, r+'a'-'A')
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			id = append(id, r)
		default:
			if len(id) > 0 && id[len(id)-1] != '-' {
				id = append(id, '-')
			}
		}
	}
	id = id[:min(len(id), idMost)]
	for len(id) > 0 && id[len(id)-1] == '-' {
		id = id[:len(id)-1]
	}
	if len(id) == 0 {
		return "rink"
	}
	return string(id)
}

// File is the form as a card file, read once more by the reader of card files. Who
// has not asked for faults gets the first of them.
func (f Form) File() ([]byte, error) {
	c, faults := f.Whole()
	if len(faults) > 0 {
		return nil, faults[0].Why
	}
	text := Write(c)
	_, err := Parse(text, c.ID)
	return text, err
}
