package mirror

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"

	"whistlestop/game/entry"
	"whistlestop/game/message"
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
	r := reading{place: map[string]int{}}
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
				r.bad(newest, n, err)
			}
			names = append(names, name) // one that was cut off is of no game
			continue
		}
		if entry.IsName(text) {
			return nil, false, ErrNamesAlone
		}
		e, err := entry.ReadLine(text)
		if err != nil {
			if !ended {
				return r.games, true, nil // torn
			}
			if newest < 0 {
				return nil, false, message.AtLine(n, err)
			}
			r.bad(newest, n, err)
			continue
		}
		newest = r.take(e, n, text)
	}
	return r.games, false, nil
}

// reading is a file of copies half read.
type reading struct {
	games []Copied
	heads []string // of each game: the hash of its newest entry
	place map[string]int
}

// bad notes what is wrong with a game, if it is the first thing.
func (r *reading) bad(i, line int, err error) {
	if r.games[i].Bad == nil {
		r.games[i].Bad, r.games[i].Line = err, line
	}
}

// take puts the entry of a line to its game, unless something before it is wrong
// or it does not follow. It returns which game that is.
func (r *reading) take(e entry.Entry, line int, text []byte) int {
	at, known := r.place[e.Game]
	if !known {
		at = len(r.games)
		r.place[e.Game] = at
		r.games, r.heads = append(r.games, Copied{Game: e.Game}), append(r.heads, "")
	}
	game := &r.games[at]
	if game.Bad != nil {
		return at
	}
	if err := follows(game.Ledger, r.heads[at], e); err != nil {
		if errors.Is(err, errLink) {
			// One of the two was changed, and nothing says which.
			game.Ledger = game.Ledger[:max(0, len(game.Ledger)-1)]
		}
		r.bad(at, line, err)
		return at
	}
	game.Ledger, r.heads[at] = append(game.Ledger, e), hashOf(e, text)
	return at
}

// ErrNamesAlone is returned for the part of a backup that has names only.
var ErrNamesAlone = message.New("chain.names_alone")

// errLink is a link of the chain that does not hold.
var errLink = message.New("chain.follows")

// hashOf is the hash of an entry that was read from a line: what Entry.Hash says,
// without writing the entry once more.
func hashOf(e entry.Entry, line []byte) string {
	if e.Was != "" {
		return e.Was
	}
	sum := sha256.Sum256(line)
	return hex.EncodeToString(sum[:])
}

// follows checks that an entry is the next one of the ledger, whose newest entry
// has the hash head.
func follows(ledger []entry.Entry, head string, e entry.Entry) error {
	if want := len(ledger) + 1; e.Seq != want {
		return message.New("chain.stands", "place", e.Seq, "wanted", want)
	}
	if e.Prev != head {
		return message.Because(errLink, "chain.follows_at", "place", e.Seq)
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

// written reports whether a file is to the byte what a copy has of the first
// entries of a ledger, and of how many. Then it need not be read: what stands there
// is known. The writer goes on behind them.
func written(writer *entry.Lines, ledger []entry.Entry, content []byte) (count int, is bool) {
	for count < len(ledger) && len(content) > 0 {
		one, err := writer.Append(nil, ledger[count])
		rest, starts := bytes.CutPrefix(content, one)
		if err != nil || !starts {
			return 0, false
		}
		content = rest
		count++
	}
	return count, len(content) == 0
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
// Both are chains, so the hash of each entry stands in the one after it.
func common(a, b []entry.Entry) int {
	n := min(len(a), len(b))
	for i := range n {
		one, errOne := hashAt(a, i)
		other, errOther := hashAt(b, i)
		if errOne != nil || errOther != nil || one != other {
			return i
		}
	}
	return n
}

func hashAt(chain []entry.Entry, i int) (string, error) {
	if i+1 < len(chain) {
		return chain[i+1].Prev, nil
	}
	return chain[i].Hash()
}
