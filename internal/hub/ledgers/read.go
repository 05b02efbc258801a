package ledgers

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/record/seal"
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

// ErrInside says that a line has a text about a person in it or beside it.
var ErrInside = message.New("hub.line.names")

// Read reads lines of one game as a bench sends them: entries that follow each other,
// one on a line, each in the one form in which this program writes it. A text about a
// person is refused inside a line as well as beside it (ErrInside): a hub keeps none.
// Where older says so, lines of version 1 are taken: each is read as it was hashed, and
// becomes a line without its texts. What comes before the first line is the store's to
// compare. It returns a *LineError.
func Read(game string, body []byte, older bool) ([]Line, error) {
	var lines []Line
	for n := 1; len(body) > 0; n++ {
		raw, rest, _ := bytes.Cut(body, []byte("\n"))
		body = rest
		if len(raw) == 0 {
			continue
		}
		line, err := read(game, raw, lines, older)
		if err != nil {
			return nil, &LineError{Line: n, Err: err}
		}
		lines = append(lines, line)
	}
	return lines, nil
}

func read(game string, raw []byte, before []Line, older bool) (Line, error) {
	if entry.IsName(raw) {
		return Line{}, ErrInside
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
	case e.Inside() && !older:
		return Line{}, ErrInside
	}
	if last := len(before) - 1; last >= 0 && (e.Seq != before[last].Seq+1 || e.Prev != before[last].Hash) {
		return Line{}, message.New("chain.link", "place", e.Seq, "entry", e.ID)
	}
	line := Line{Seq: e.Seq, ID: e.ID, Prev: e.Prev, Hash: hash, Bytes: bytes.Clone(raw)}
	if e.Inside() {
		without, err := entry.WithoutTexts(e)
		if err == nil {
			line.Bytes, err = without.MarshalJSON()
		}
		if err != nil {
			return Line{}, err
		}
		line.Stands = sumOf(line.Bytes)
		if seal.Signed(e) {
			line.Fingerprint = seal.Fingerprint(e)
		}
	}
	return line, nil
}

func sumOf(line []byte) string {
	sum := sha256.Sum256(line)
	return hex.EncodeToString(sum[:])
}

// Without returns those lines out of which the hub took texts about people itself, by
// their places. It returns an error where a copy is not the one that the hub put there: the
// chain of hashes goes around these lines, and would not notice.
func Without(lines []Line, older []Older) (places map[int]Older, err error) {
	known := make(map[string]Older, len(older))
	for _, one := range older {
		known[one.Hash] = one
	}
	places = map[int]Older{}
	for _, line := range lines {
		one, is := known[line.Hash]
		if !is {
			continue
		}
		if sumOf(line.Bytes) != one.Stands {
			return places, message.New("hub.line.copy", "place", line.Seq, "entry", line.ID)
		}
		places[line.Seq] = one
	}
	return places, nil
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
