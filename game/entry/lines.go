package entry

import (
	"bytes"

	"whistlestop/game/message"
)

// Lines writes entries as files have them: one on a line, and after it a line for
// each text about people that lies beside it and was not written before.
type Lines struct {
	// Shows reports whether texts of a kind are written; nil: all are.
	Shows func(Text) bool

	written map[string]bool // commitments whose text was written
}

// Append adds the lines of an entry to a file's content.
func (l *Lines) Append(content []byte, e Entry) ([]byte, error) {
	line, err := e.MarshalJSON()
	if err != nil {
		return content, err
	}
	content = append(append(content, line...), '\n')
	if e.Apart == nil {
		return content, nil
	}
	return l.beside(content, e)
}

// KnowAll gives the entries of a file the texts that were beside them in it.
func KnowAll(ledger []Entry, names []Name) {
	known := make(map[string]Name, len(names))
	for _, n := range names {
		known[n.Commitment] = n
	}
	for _, e := range ledger {
		if w, is := e.Body.(Withdrawn); is {
			for _, commitment := range w.Texts {
				delete(known, commitment) // an older copy does not bring it back
			}
		}
	}
	for i, e := range ledger {
		ledger[i] = Know(e, func(_ Text, commitment string) (Name, bool) {
			n, there := known[commitment]
			return n, there && n.Game == e.Game
		})
	}
}

// ReadLedger reads the ledger of a game as a file has it, with the texts that lie
// beside it. Empty lines are left out; an error names the line.
func ReadLedger(content []byte) ([]Entry, error) {
	var ledger []Entry
	var names []Name
	for n := 1; len(content) > 0; n++ {
		line, rest, _ := bytes.Cut(content, []byte("\n"))
		content = rest
		line = bytes.TrimSuffix(line, []byte("\r"))
		switch {
		case len(line) == 0:
		case IsName(line):
			name, err := ReadName(line)
			if err != nil {
				return nil, message.AtLine(n, err)
			}
			names = append(names, name)
		default:
			e, err := ReadLine(line)
			if err != nil {
				return nil, message.AtLine(n, err)
			}
			ledger = append(ledger, e)
		}
	}
	KnowAll(ledger, names)
	return ledger, nil
}
