package browser

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
)

// A file begins with a line of fixed length: what it is, and its generation. Of two
// files the one with the higher generation counts. A record begins with one, too: the
// length of the rest, and its SHA-256.
const (
	headForm   = "whistlestop ledgers 1 %016x\n"
	headLength = len("whistlestop ledgers 1 \n") + 16
	markLength = 8 + 1 + 2*sha256.Size + 1
)

// head returns the first line of a file.
func head(generation uint64) []byte { return fmt.Appendf(nil, headForm, generation) }

// generationOf reads the first line of a file; 0: it has none that counts.
func generationOf(content []byte) uint64 {
	var generation uint64
	if len(content) < headLength {
		return 0
	}
	if _, err := fmt.Sscanf(string(content[:headLength]), headForm, &generation); err != nil || !bytes.HasPrefix(content, head(generation)) {
		return 0
	}
	return generation
}

// record is what one change adds to a game: lines that follow those before, texts
// that lie beside them, and commitments whose text was taken out. It is written as a
// line of JSON, and behind it the lines of the ledger as they are.
type record struct {
	Game   string       `json:"game"`
	Opened entry.Millis `json:"opened,omitempty"` // of the game's first entry
	IDs    []string     `json:"ids,omitempty"`
	Hashes []string     `json:"hashes,omitempty"`
	Names  []name       `json:"names,omitempty"`
	Gone   []string     `json:"gone,omitempty"`

	lines []store.Line
}

// name is a text that lies beside a ledger.
type name struct {
	Commitment string `json:"commitment"`
	Random     string `json:"random,omitempty"`
	Text       string `json:"text,omitempty"`
}

// framed is a record as a file has it.
func (r record) framed() ([]byte, error) {
	r.Hashes = make([]string, len(r.lines))
	for i, line := range r.lines {
		r.Hashes[i] = line.Hash
	}
	body, err := json.Marshal(r)
	if err != nil {
		return nil, err
	}
	for _, line := range r.lines {
		body = append(append(body, '\n'), line.Bytes...)
	}
	sum := sha256.Sum256(body)
	return append(fmt.Appendf(nil, "%08x %x\n", len(body), sum), body...), nil
}

// recordAt reads the record at the beginning of the content, and says how long it is.
func recordAt(content []byte) (r record, length int, whole bool) {
	if len(content) < markLength || content[8] != ' ' || content[markLength-1] != '\n' {
		return r, 0, false
	}
	long, err := strconv.ParseUint(string(content[:8]), 16, 32)
	if err != nil || uint64(len(content)-markLength) < long {
		return r, 0, false
	}
	length = markLength + int(long)
	body := content[markLength:length]
	sum := sha256.Sum256(body)
	if string(content[9:markLength-1]) != hex.EncodeToString(sum[:]) {
		return r, 0, false
	}
	first, rest, _ := bytes.Cut(body, []byte{'\n'})
	if json.Unmarshal(first, &r) != nil {
		return r, 0, false
	}
	for i, one := range r.Hashes {
		var line []byte
		line, rest, _ = bytes.Cut(rest, []byte{'\n'})
		r.lines = append(r.lines, store.Line{Bytes: line, Hash: one})
		if i == len(r.Hashes)-1 && len(rest) > 0 {
			return r, 0, false
		}
	}
	return r, length, true
}

// records reads the records of a file, and where the last whole one ends. What is
// between two whole ones and is none is damage: it is left out, and the game from
// which it is missing says so when it is loaded. What is behind the last one was cut
// off while it was written, and nobody was told that it is safe.
func records(content []byte) (list []record, end int) {
	end = headLength
	for at := headLength; at < len(content); {
		r, length, whole := recordAt(content[at:])
		if !whole {
			at++
			continue
		}
		list = append(list, r)
		at += length
		end = at
	}
	return list, end
}
