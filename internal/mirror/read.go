package mirror

import (
	"bytes"
	"errors"
	"fmt"

	"whistlestop/game/entry"
)

// ending is that of a copy's file.
const ending = ".jsonl"

// Copied is a game as a copy has it.
type Copied struct {
	Game   string
	Ledger []entry.Entry // with the texts that are beside it; from the first entry on, as far as they can be trusted
	Bad    error         // why not further; nil when all can be
	Line   int           // of the file, where Bad is
}

// Read reads a copy: one entry a line, of one game or of several. Every entry
// must be what was written and follow from the one before it. A last line that
// was not finished, as a power cut leaves it, is left out; torn says so. The
// games are in the order in which they begin. It returns an error when nothing in
// the file is an entry.
func Read(content []byte) (games []Copied, torn bool, err error) {
	content = bytes.TrimPrefix(content, []byte("\ufeff"))
	place := map[string]int{}
	bad := func(i, line int, err error) {
		if games[i].Bad == nil {
			games[i].Bad, games[i].Line = err, line
		}
	}
	var names []entry.Name
	defer func() {
		for _, game := range games {
			entry.KnowAll(game.Ledger, names)
		}
	}()
	newest := -1 // the game of the line before
	for n := 1; len(content) > 0; n++ {
		line, rest, ended := bytes.Cut(content, []byte("\n"))
		content = rest
		text := bytes.TrimSuffix(line, []byte("\r"))
		if len(bytes.TrimSpace(text)) == 0 {
			continue
		}
		if entry.IsName(text) && newest >= 0 {
			name, err := entry.ReadName(text)
			if err != nil && ended {
				bad(newest, n, err)
			}
			names = append(names, name) // one that was cut off is of no game
			continue
		}
		e, err := entry.ReadLine(text)
		if err != nil {
			if !ended {
				return games, true, nil // torn
			}
			if newest < 0 {
				return nil, false, fmt.Errorf("line %d: %w", n, err)
			}
			bad(newest, n, err)
			continue
		}
		at, known := place[e.Game]
		if !known {
			at = len(games)
			place[e.Game] = at
			games = append(games, Copied{Game: e.Game})
		}
		newest = at
		if games[at].Bad != nil {
			continue
		}
		if err := follows(games[at].Ledger, e); err != nil {
			if errors.Is(err, errLink) {
				// One of the two was changed, and nothing says which.
				games[at].Ledger = games[at].Ledger[:max(0, len(games[at].Ledger)-1)]
			}
			bad(at, n, err)
			continue
		}
		games[at].Ledger = append(games[at].Ledger, e)
	}
	return games, false, nil
}

// errLink is a link of the chain that does not hold.
var errLink = errors.New("does not follow from the entry before it")

// follows checks that an entry is the next one of the ledger.
func follows(ledger []entry.Entry, e entry.Entry) error {
	prev := ""
	if len(ledger) > 0 {
		var err error
		if prev, err = ledger[len(ledger)-1].Hash(); err != nil {
			return err
		}
	}
	if want := len(ledger) + 1; e.Seq != want {
		return fmt.Errorf("entry %d stands where entry %d should", e.Seq, want)
	}
	if e.Prev != prev {
		return fmt.Errorf("entry %d %w", e.Seq, errLink)
	}
	return nil
}

// lines are entries as a copy has them.
func lines(entries []entry.Entry) ([]byte, error) { return linesAfter(&entry.Lines{}, entries) }

// linesAfter are entries as a copy has them behind what was written before.
func linesAfter(writer *entry.Lines, entries []entry.Entry) (all []byte, err error) {
	for _, e := range entries {
		if all, err = writer.Append(all, e); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// countEntries returns how many lines of a copy are no texts beside a ledger.
func countEntries(content []byte) (count int) {
	for line := range bytes.Lines(content) {
		if bytes.HasSuffix(line, []byte("\n")) && !entry.IsName(line) {
			count++
		}
	}
	return count
}

// common returns how many entries two ledgers have in common from the first on.
func common(a, b []entry.Entry) int {
	n := min(len(a), len(b))
	for i := range n {
		one, errOne := a[i].Hash()
		other, errOther := b[i].Hash()
		if errOne != nil || errOther != nil || one != other {
			return i
		}
	}
	return n
}
