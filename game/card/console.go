package card

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"whistlestop/game/message"
)

// Console is the rink's console in the coordinator's own words.
type Console struct {
	// Rows are the names of the keys as they lie, row by row, with commas between.
	Rows  []string `json:"rows" toml:"rows"`
	Clear string   `json:"clear,omitempty" toml:"clear"` // the key that takes back what was typed
	Wrong string   `json:"wrong,omitempty" toml:"wrong"` // what the display reads when it does not take a key
	// Marks are where the keys are on the picture of the console, and Display where its
	// display is. Keys that have no mark are shown in their rows.
	Marks   []Mark `json:"marks,omitempty" toml:"marks"`
	Display *Mark  `json:"display,omitempty" toml:"display"`
}

// Trouble is what to do when the console or the board shows something.
type Trouble struct {
	Shows string `json:"shows" toml:"shows"`
	Do    string `json:"do" toml:"do"`
}

// Contact is somebody to call.
type Contact struct {
	Who  string `json:"who" toml:"who"`
	Call string `json:"call" toml:"call"`
}

// Most sizes of what a card says of a console.
const (
	rowsMost    = 12
	inRowMost   = 16
	keyMost     = 24
	showsMost   = 24
	pressesMost = 40 // keys and prompts of a step
	listMost    = 20 // things that are plugged in, troubles, contacts
)

// Keys are the console's keys, row by row as they lie.
func (c *Console) Keys() [][]string {
	if c == nil {
		return nil
	}
	rows := make([][]string, 0, len(c.Rows))
	for _, row := range c.Rows {
		keys := []string{}
		for name := range strings.SplitSeq(row, ",") {
			if name = strings.TrimSpace(name); name != "" {
				keys = append(keys, name)
			}
		}
		rows = append(rows, keys)
	}
	return rows
}

// Has reports whether the console has a key of the name.
func (c *Console) Has(key string) bool {
	for _, row := range c.Keys() {
		if slices.Contains(row, key) {
			return true
		}
	}
	return false
}

// tidy makes what says nothing look as if it was not written.
func (c *Card) tidy() {
	if c.Console != nil && len(c.Console.Rows) == 0 && c.Console.Clear == "" && c.Console.Wrong == "" &&
		len(c.Console.Marks) == 0 && c.Console.Display == nil {
		c.Console = nil
	}
	if c.Console != nil && len(c.Console.Marks) == 0 {
		c.Console.Marks = nil
	}
	if len(c.Plugged) == 0 {
		c.Plugged = nil
	}
	if len(c.Trouble) == 0 {
		c.Trouble = nil
	}
	if len(c.Contacts) == 0 {
		c.Contacts = nil
	}
	for i, t := range c.Steps {
		c.Steps[i].Press, c.Steps[i].Lit, c.Steps[i].Dark = saying(t.Press), saying(t.Lit), saying(t.Dark)
	}
}

// saying are texts of steps, or nothing where none of them says anything.
func saying(texts []string) []string {
	if slices.ContainsFunc(texts, func(text string) bool { return !empty(text) }) {
		return texts
	}
	return nil
}

// checkConsole returns the first fault of what the card says of the console.
func (c Card) checkConsole() (place, error) {
	if at, err := c.checkKeys(); err != nil {
		return at, err
	}
	for _, t := range c.Steps {
		if at, err := c.checkPresses(t); err != nil {
			return at, err
		}
		if at, err := c.checkLamps(t); err != nil {
			return at, err
		}
	}
	for i, text := range c.Plugged {
		if empty(text) || bad(text, wordsMost) || i >= listMost {
			return place{key: "plugged", field: "plugged"}, message.New("card_file.plugged", "most", wordsMost, "count", listMost)
		}
	}
	for i, t := range c.Trouble {
		if empty(t.Shows) || bad(t.Shows, wordsMost) || empty(t.Do) || bad(t.Do, wordsMost) || i >= listMost {
			return place{key: "trouble", field: "trouble"}, message.New("card_file.trouble", "most", wordsMost, "count", listMost)
		}
	}
	for i, one := range c.Contacts {
		if empty(one.Who) || bad(one.Who, 60) || empty(one.Call) || bad(one.Call, 60) || i >= listMost {
			return place{key: "contacts", field: "contacts"}, message.New("card_file.contact", "count", listMost)
		}
	}
	return place{}, nil
}

func empty(text string) bool { return strings.TrimSpace(text) == "" }

func (c Card) checkKeys() (place, error) {
	if c.Console == nil {
		return place{}, nil
	}
	at := place{key: "rows", field: "rows"}
	rows := c.Console.Keys()
	if len(rows) > rowsMost {
		return at, message.New("card_file.rows", "most", rowsMost)
	}
	seen := map[string]bool{}
	for i, row := range rows {
		if bad(c.Console.Rows[i], inRowMost*(keyMost+2)) || len(row) > inRowMost {
			return at, message.New("card_file.row", "row", i+1, "most", inRowMost)
		}
		for _, key := range row {
			switch {
			case utf8.RuneCountInString(key) > keyMost || strings.ContainsAny(key, `{}"`):
				return at, message.New("card_file.key", "key", message.Plain(key), "most", keyMost)
			case seen[key]:
				return at, message.New("card_file.key_twice", "key", message.Plain(key))
			}
			seen[key] = true
		}
	}
	if bad(c.Console.Wrong, showsMost) {
		return place{key: "wrong", field: "wrong"}, message.New("card_file.shows", "most", showsMost)
	}
	if c.Console.Clear != "" && !seen[c.Console.Clear] {
		return place{key: "clear", field: "clear"}, c.noKey(c.Console.Clear)
	}
	return c.checkMarks()
}

// noKey says that the console has no such key, and which ones it has.
func (c Card) noKey(key string) error {
	var all []string
	for _, row := range c.Console.Keys() {
		all = append(all, row...)
	}
	if len(all) == 0 {
		return message.New("card_file.no_keys", "key", message.Plain(key))
	}
	return message.New("card_file.no_key", "key", message.Plain(key), "keys", message.Plain(strings.Join(all, ", ")))
}

// checkPresses returns the first fault of the keys of a happening.
func (c Card) checkPresses(t Template) (place, error) {
	if len(t.Press) > len(t.Do) {
		return place{key: "press", text: `"` + string(t.When) + `"`, field: stepField(t.When, 0)},
			message.New("card_file.presses", "when", t.When, "steps", len(t.Do), "keys", len(t.Press))
	}
	all := ""
	for i, text := range t.Press {
		if empty(text) {
			continue
		}
		at := place{key: "press", text: inFile(text), field: stepField(t.When, i) + ".press"}
		if err := c.checkPress(t.When, text); err != nil {
			return at, err
		}
		all += text
	}
	if all == "" {
		return place{}, nil
	}
	// What a console is not told, its board cannot show.
	for _, need := range c.needs(t.When) {
		if !slices.ContainsFunc(need, func(gap string) bool { return strings.Contains(all, "{"+gap+"}") }) {
			at := place{key: "press", text: inFile(t.Press[0]), field: stepField(t.When, 0) + ".press"}
			return at, message.New("card_file.press_needs", "when", t.When, "gap", "{"+strings.Join(need, "} or {")+"}")
		}
	}
	return place{}, nil
}

// needs are the gaps that the keys of a happening must have, one of each list.
func (c Card) needs(when When) [][]string {
	time := []string{"time", "mmss", "minutes"}
	number := []string{"number"}
	if !c.Board.ShowsNumbers {
		number = append(number, "side")
	}
	switch when {
	case Goal, GoalTakenBack:
		return [][]string{{"side", "home", "visitors"}}
	case PenaltyPosted:
		return [][]string{{"side"}, time, number}
	case PenaltyTakenDown:
		return [][]string{{"side"}, {"line", "number"}}
	case PenaltyChanged:
		return [][]string{{"side"}, {"line"}, {"time", "mmss"}, number}
	case SetTime:
		return [][]string{{"time", "mmss"}}
	case ChangePeriod, BeforeGame, HoldPenalties, Intermission, AfterIntermission, TimeOut, RunningTime, Horn, AfterGame:
		return nil
	}
	return nil
}

// checkPress returns the fault of the keys of one step.
func (c Card) checkPress(when When, text string) error {
	if c.Console == nil {
		return message.New("card_file.no_console")
	}
	items, err := parsePress(text)
	if err != nil {
		return err
	}
	if bad(text, 400) || len(items) > pressesMost {
		return message.New("card_file.press_long", "most", pressesMost)
	}
	for i, item := range items {
		if err := c.checkItem(when, item); err != nil {
			return err
		}
		if item.Typed == "" {
			continue
		}
		for d := range 10 {
			if !c.Console.Has(strconv.Itoa(d)) {
				return message.New("card_file.no_digit", "gap", "{"+item.Typed+"}", "digit", d)
			}
		}
		least, most := c.Digits(item.Typed)
		if least != most && (i+1 == len(items) || items[i+1].Key == "") {
			return message.New("card_file.press_end", "gap", "{"+item.Typed+"}")
		}
	}
	return nil
}

func (c Card) checkItem(when When, item PressItem) error {
	written := item.Key + item.Shows
	if item.Typed != "" {
		written = "{" + item.Typed + "}"
	}
	if bad(item.Shows, showsMost) {
		return message.New("card_file.shows", "most", showsMost)
	}
	for gap, rest, found := nextGap(written); found; gap, rest, found = nextGap(rest) {
		name := strings.Trim(gap, "{}")
		known := slices.Contains(gaps[when], name) || name == "home" || name == "visitors" ||
			name == "mmss" && slices.Contains(gaps[when], "time")
		if len(gap) <= 2 || !known {
			return message.New("card_file.gap", "gap", gap, "when", when, "known", gapList(when))
		}
		if item.Typed == name && (name == "side" || name == "team") || item.Key != "" && !slices.Contains(inKeys, name) {
			return message.New("card_file.press_gap", "gap", gap)
		}
	}
	for _, key := range c.Named(item, when) {
		if !c.Console.Has(key) {
			return c.noKey(key)
		}
	}
	return nil
}

// inFile is what can be searched for of the keys of a step: up to its first quote,
// which a file may write in two ways.
func inFile(text string) string {
	before, _, _ := strings.Cut(firstLine(text), `"`)
	return strings.TrimSpace(before)
}
