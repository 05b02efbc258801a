package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"whistlestop/game/entry"
)

// Line is an entry as a store keeps it: the exact bytes, and the hash of those
// bytes. The chain inside the entries protects all but the newest one; its own
// hash protects that.
type Line struct {
	Bytes []byte
	Hash  string
}

// Lines returns the entries of one post as lines, after checking that they
// belong to the game and count on from each other.
func Lines(game string, entries []entry.Entry) ([]Line, error) {
	if len(entries) == 0 {
		return nil, fmt.Errorf("game %s: an append of no entries", game)
	}
	lines := make([]Line, len(entries))
	for i, e := range entries {
		if e.Game != game {
			return nil, fmt.Errorf("entry %s belongs to game %q, not %q", e.ID, e.Game, game)
		}
		if want := entries[0].Seq + i; e.Seq != want || e.Seq < 1 {
			return nil, fmt.Errorf("entry %s has the number %d where %d was due", e.ID, e.Seq, want)
		}
		if err := e.Bounds(); err != nil {
			return nil, fmt.Errorf("entry %s: %w", e.ID, err)
		}
		raw, err := e.MarshalJSON()
		if err != nil {
			return nil, err
		}
		lines[i] = Line{Bytes: raw, Hash: hash(raw)}
	}
	return lines, nil
}

// Read turns stored lines back into a ledger, with the texts that lie beside it. It returns a *DamagedError that
// names the first entry whose bytes, place or link are not what was written. What
// decoded knows of these very bytes is not worked out again; it may be nil.
func Read(game string, lines []Line, beside Beside, decoded *Decoded) ([]entry.Entry, error) {
	ledger := make([]entry.Entry, len(lines))
	prev := ""
	for i, line := range lines {
		damaged := func(err error) error { return &DamagedError{Game: game, Seq: i + 1, Err: err} }
		if hash(line.Bytes) != line.Hash {
			return nil, damaged(fmt.Errorf("its bytes are not the ones that were written"))
		}
		e, err := decoded.read(line)
		if err != nil {
			return nil, damaged(err)
		}
		if e.Game != game {
			return nil, damaged(fmt.Errorf("it belongs to game %s", e.Game))
		}
		if e.Seq != i+1 || e.Prev != prev {
			return nil, damaged(fmt.Errorf("it does not follow from the entry before it"))
		}
		// What Entry.Hash would say, without writing the entry once more.
		if prev = e.Was; prev == "" {
			prev = line.Hash
		}
		if ledger[i], err = beside.know(e); err != nil {
			return nil, damaged(err)
		}
	}
	return ledger, nil
}

// read reads a line whose bytes have its hash.
func read(line Line) (e entry.Entry, err error) {
	if err := e.UnmarshalJSON(line.Bytes); err != nil {
		return e, fmt.Errorf("it cannot be read: %w", err)
	}
	// Before anything is worked out of it: a number that no game reaches would
	// fill the memory, and one bad game must not end the others.
	if err := e.Bounds(); err != nil {
		return e, err
	}
	// What is folded must be what is stored: an entry that reads back as
	// other bytes would break the chain of every copy made from it.
	raw, err := e.MarshalJSON()
	if err != nil || !bytes.Equal(raw, line.Bytes) {
		return e, fmt.Errorf("it does not read back as it was written")
	}
	return e, nil
}

// Decoded is entries that were read lately, by the hash of their bytes: a start reads
// the same ledger for the game, its list and each of its copies. Texts that lie beside
// a line are not in it. It is not safe for use by several goroutines at once.
type Decoded struct {
	entries map[string]entry.Entry
}

// decodedMost is how many entries are kept, a few games of the usual length.
const decodedMost = 2000

func (d *Decoded) read(line Line) (entry.Entry, error) {
	if d == nil {
		return read(line)
	}
	if e, known := d.entries[line.Hash]; known {
		return e, nil
	}
	e, err := read(line)
	if err != nil {
		return e, err
	}
	if len(d.entries) >= decodedMost {
		d.Forget()
	}
	if d.entries == nil {
		d.entries = map[string]entry.Entry{}
	}
	d.entries[line.Hash] = e
	return e, nil
}

// Forget drops all of them: lines of the first version have texts about people
// inside, and those may have been taken out.
func (d *Decoded) Forget() { d.entries = nil }

func hash(line []byte) string {
	sum := sha256.Sum256(line)
	return hex.EncodeToString(sum[:])
}
