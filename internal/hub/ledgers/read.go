package ledgers

import (
	"bytes"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// What one request may bring (ours).
const (
	LinesMost = 500
	BytesMost = 256 << 10
)

// LineError is a line that cannot be taken, counted from 1.
type LineError struct {
	Line int
	Err  error
}

// Error says which line, and why.
func (e *LineError) Error() string { return message.AtLine(e.Line, e.Err).Error() }

// Unwrap returns the reason.
func (e *LineError) Unwrap() error { return e.Err }

// Read reads lines of one game as a bench sends them: entries that follow each other,
// one on a line, each in the one form in which this program writes it. A text about a
// person is refused inside a line as well as beside it: a hub keeps none. What
// comes before the first line is the store's to compare. It returns a *LineError.
func Read(game string, body []byte) ([]Line, error) {
	var lines []Line
	for n := 1; len(body) > 0; n++ {
		raw, rest, _ := bytes.Cut(body, []byte("\n"))
		body = rest
		if len(raw) == 0 {
			continue
		}
		line, err := read(game, raw, lines)
		if err != nil {
			return nil, &LineError{Line: n, Err: err}
		}
		lines = append(lines, line)
	}
	return lines, nil
}

func read(game string, raw []byte, before []Line) (Line, error) {
	if entry.IsName(raw) {
		return Line{}, message.New("hub.line.names")
	}
	e, err := entry.ReadLine(raw)
	if err != nil {
		return Line{}, err
	}
	hash, err := e.Hash()
	if err != nil {
		return Line{}, err
	}
	_, opens := e.Body.(entry.GameOpened)
	switch {
	case e.Game != game:
		return Line{}, message.New("outside.games")
	case opens != (e.Seq == 1), e.Seq == 1 && e.Prev != "":
		return Line{}, message.New("outside.opening")
	case inside(e):
		return Line{}, message.New("hub.line.names")
	}
	if last := len(before) - 1; last >= 0 && (e.Seq != before[last].Seq+1 || e.Prev != before[last].Hash) {
		return Line{}, message.New("chain.link", "place", e.Seq, "entry", e.ID)
	}
	return Line{Seq: e.Seq, ID: e.ID, Prev: e.Prev, Hash: hash, Bytes: bytes.Clone(raw)}, nil
}

// inside reports whether a line carries a text about a person.
func inside(e entry.Entry) bool {
	if e.Apart != nil {
		return false
	}
	found := false
	entry.MapTexts(e, func(_ entry.Text, text string) string {
		found = found || text != ""
		return text
	})
	return found
}

// Entries turns lines from the first of a game on into its ledger. What was written
// once reads back; an error says that the store is damaged.
func Entries(lines []Line) ([]entry.Entry, error) {
	ledger := make([]entry.Entry, len(lines))
	for i, line := range lines {
		e, err := entry.ReadLine(line.Bytes)
		if err != nil {
			return nil, message.AtLine(i+1, err)
		}
		ledger[i] = e
	}
	return ledger, entry.VerifyChain(ledger)
}
