package card

import (
	"strconv"
	"strings"
)

// Write is a card as its file. Parse gives the card back.
func Write(c Card) []byte {
	w := &writer{}
	w.text("id", c.ID)
	w.text("rink", c.Rink)
	if c.Notes != "" {
		w.text("notes", c.Notes)
	}
	w.list("plugged", c.Plugged)
	w.line("\n[board]")
	w.line("penalty_lines = " + strconv.Itoa(c.Board.PenaltyLines))
	w.line("shows_numbers = " + strconv.FormatBool(c.Board.ShowsNumbers))
	w.line("number_digits = " + strconv.Itoa(c.Board.NumberDigits))
	w.line("counts_in_intermission = " + strconv.FormatBool(c.Board.CountsInIntermission))
	w.line("counts_down = " + strconv.FormatBool(c.Board.CountsDown))
	w.line("most_minutes = " + strconv.Itoa(c.Board.MostMinutes))
	if c.Board.Lamps != "" {
		w.text("lamps", c.Board.Lamps)
	}
	w.line("\n[words]")
	w.text("home", c.Words.Home)
	w.text("visitors", c.Words.Visitors)
	w.text("officials", c.Words.Officials)
	if k := c.Console; k != nil {
		w.line("\n[console]")
		w.list("rows", k.Rows)
		w.text("clear", k.Clear)
		w.text("wrong", k.Wrong)
		w.marks(k)
	}
	for _, t := range c.Steps {
		w.line("\n[[steps]]")
		w.text("when", string(t.When))
		w.list("do", t.Do)
		w.list("press", t.Press)
		w.list("lit", t.Lit)
		w.list("dark", t.Dark)
	}
	for _, t := range c.Trouble {
		w.line("\n[[trouble]]")
		w.text("shows", t.Shows)
		w.text("do", t.Do)
	}
	for _, one := range c.Contacts {
		w.line("\n[[contacts]]")
		w.text("who", one.Who)
		w.text("call", one.Call)
	}
	return Join(w.out, c.Picture)
}

type writer struct{ out []byte }

func (w *writer) line(text string) { w.out = append(append(w.out, text...), '\n') }

func (w *writer) text(key, value string) { w.line(key + " = " + quoted(value)) }

// list writes a list with a line for each text.
func (w *writer) list(key string, values []string) {
	if len(values) == 0 {
		return
	}
	w.line(key + " = [")
	for _, value := range values {
		w.line("  " + quoted(value) + ",")
	}
	w.line("]")
}

// marks writes where the keys and the display are on the picture.
func (w *writer) marks(k *Console) {
	if len(k.Marks) > 0 {
		w.line("marks = [")
		for _, m := range k.Marks {
			w.line("  { key = " + quoted(m.Key) + ", " + m.where() + " },")
		}
		w.line("]")
	}
	if k.Display != nil {
		w.line("display = { " + k.Display.where() + " }")
	}
}

func (m Mark) where() string {
	return "x = " + strconv.Itoa(m.X) + ", y = " + strconv.Itoa(m.Y) + ", width = " + strconv.Itoa(m.Width) + ", height = " + strconv.Itoa(m.Height)
}

// quoted is a text in quotes: as it is in single ones where it has double ones, as
// the keys of a step have.
func quoted(text string) string {
	if strings.Contains(text, `"`) && !strings.Contains(text, "'") && strconv.CanBackquote(strings.ReplaceAll(text, "`", "")) {
		return "'" + text + "'"
	}
	return strconv.Quote(text)
}
