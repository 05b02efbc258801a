package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"

	"whistlestop/game/datafile"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
)

type codesCommand struct {
	Code string `arg:"" optional:""`
	JSON bool   `name:"json"`
}

type divisionsCommand struct {
	Division string `arg:"" optional:""`
}

// codeDocument is a code as "codes --json" prints it: every value with the rule
// and the place behind it.
type codeDocument struct {
	ID       string                            `json:"id"`
	Name     string                            `json:"name"`
	Body     string                            `json:"body"`
	Edition  string                            `json:"edition"`
	Settings []rulebook.Setting                `json:"settings"`
	Rules    map[rulebook.Topic]rulebook.Cited `json:"rules"`
	Calls    []rulebook.CallName               `json:"calls"`
}

// codes lists the codes, or shows one in full.
func (p *Program) codes(c codesCommand) error {
	list := rulebook.Codes()
	if c.Code != "" {
		code, ok := rulebook.CodeByID(c.Code)
		if !ok {
			return message.New("command.no_code", "code", c.Code, "codes", strings.Join(codeIDs(), ", "))
		}
		list = []*rulebook.Code{code}
	}
	if c.JSON {
		documents := make([]codeDocument, len(list))
		for i, code := range list {
			documents[i] = codeDocument{
				ID: code.ID, Name: code.Name, Body: code.Body, Edition: code.Edition,
				Settings: rulebook.Settings(code.ID), Rules: code.Rules, Calls: code.Calls,
			}
		}
		return p.printJSON(documents, c.Code != "")
	}
	var out strings.Builder
	for i, code := range list {
		if i > 0 {
			out.WriteString("\n")
		}
		p.words.writeCode(&out, code, c.Code != "")
	}
	out.WriteString("\n" + p.words.say("command.deference") + "\n")
	_, err := io.WriteString(p.Out, out.String())
	return err
}

func codeIDs() []string {
	var ids []string
	for _, code := range rulebook.Codes() {
		ids = append(ids, code.ID)
	}
	return ids
}

// printJSON prints the documents, or the only one.
func (p *Program) printJSON(documents []codeDocument, one bool) error {
	var value any = documents
	if one {
		value = documents[0]
	}
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return err
	}
	_, err = p.Out.Write(append(text, '\n'))
	return err
}

// writeCode writes what a code is, and in full all that stands in its file.
func (w words) writeCode(out *strings.Builder, code *rulebook.Code, full bool) {
	fmt.Fprintf(out, "%s: %s\n  %s\n", code.ID, code.Name, code.Edition)
	for _, s := range rulebook.Settings(code.ID) {
		if full || s.Table == "policies" {
			fmt.Fprintf(out, "  - %s %s\n", w.settingWords(s), citeWords(s.Cited, code.Edition))
		}
	}
	if !full {
		return
	}
	out.WriteString("\n  " + w.say("command.topics") + "\n")
	for _, topic := range rulebook.Topics() {
		fmt.Fprintf(out, "  - %s %s\n", w.say("command.topic."+string(topic)), citeWords(code.Rules[topic], code.Edition))
	}
	out.WriteString("\n  " + w.say("command.calls") + "\n")
	for _, call := range code.Calls {
		parts := make([]string, len(call.Usual))
		for i, part := range call.Usual {
			parts[i] = w.say("part." + string(part))
		}
		fmt.Fprintf(out, "  - %s: %s\n", w.say("call."+call.ID), strings.Join(parts, ", "))
	}
}

// settingWords is a value of a code in words.
func (w words) settingWords(s rulebook.Setting) string {
	key := "command." + s.Table + "." + s.Key
	switch v := s.Value.(type) {
	case entry.Millis:
		if v == 0 {
			return w.say(key + ".none")
		}
		return w.say(key, "time", v.String())
	case int:
		if v == 0 {
			return w.say(key + ".none")
		}
		return w.say(key, "count", strconv.Itoa(v))
	case bool:
		return w.say(key + "." + strconv.FormatBool(v))
	default:
		return w.say(fmt.Sprintf("%s.%v", key, v))
	}
}

// citeWords is a rule's number with the place where it was read, which is said
// only where it is another one than the code's own book.
func citeWords(c rulebook.Cited, edition string) string {
	var words []string
	if c.Rule != "" {
		words = append(words, c.Rule)
	}
	if c.Source != edition {
		words = append(words, c.Source)
	}
	return "[" + strings.Join(words, "; ") + "]"
}

// divisions lists the divisions that come with the program, prints the file of
// one, or checks a file.
func (p *Program) divisions(c divisionsCommand) error {
	if c.Division == "" {
		for _, d := range rulebook.Divisions() {
			if _, err := fmt.Fprintln(p.Out, p.words.divisionWords(d)); err != nil {
				return err
			}
		}
		_, err := fmt.Fprintln(p.Out, "\n"+p.words.say("command.divisions"))
		return err
	}
	if text, ok := rulebook.DivisionFile(c.Division); ok {
		_, err := p.Out.Write(text)
		return err
	}
	text, err := readAtMost(c.Division, datafile.Most)
	if errors.Is(err, fs.ErrNotExist) {
		return message.New("command.no_division", "division", c.Division, "divisions", strings.Join(divisionIDs(), ", "))
	}
	if err != nil {
		return cannotRead(c.Division, err)
	}
	d, err := rulebook.ParseDivision(text, filepath.Base(c.Division))
	if err != nil {
		return message.Because(err, "command.bad_division")
	}
	_, err = fmt.Fprintf(p.Out, "%s\n%s\n", p.words.say("command.good_division", "file", filepath.Base(c.Division)), p.words.divisionWords(d))
	return err
}

// divisionWords is a division in one line.
func (w words) divisionWords(d rulebook.Division) string {
	periods := make([]string, len(d.Periods))
	for i, length := range d.Periods {
		periods[i] = length.String()
	}
	name := d.Name
	if d.League != "" {
		name = d.League + ", " + d.Name
	}
	return w.say("command.division", "id", d.ID, "name", name, "code", d.Code,
		"periods", strings.Join(periods, " + "), "minor", d.Lengths.Minor.String())
}
