package entry

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"strings"
	"unicode/utf8"

	"whistlestop/game/message"
)

// Kept says what stands in the line of an entry in place of a text about a
// person: a commitment, the SHA-256 of random bytes and the text. Text and random
// bytes lie beside the ledger. While they are there, anybody can check that they
// are what was committed to; once they are deleted, the line says nothing about
// the text and the chain of hashes holds as before.
type Kept struct {
	Commitment string // empty: there never was a text in this place
	Random     string // base64; empty where the text was taken out, or is not known here
}

// Name is a text about a person with its random bytes, as it lies beside a
// ledger. It is no entry: it stands in no chain, and can be deleted.
type Name struct {
	Game       string
	Commitment string
	Random     string // 32 bytes, base64
	Text       string
}

// RandomBytes is how many random bytes hide a text. A text without them could be
// guessed: there are not many names.
const RandomBytes = 32

// commitMark begins a commitment, so that nobody takes it for a name.
const commitMark = "#"

var coding = base64.RawURLEncoding.Strict()

// commitmentOf returns what stands in place of a text.
func commitmentOf(random []byte, text string) string {
	sum := sha256.New()
	sum.Write(random)
	sum.Write([]byte(text))
	return commitMark + coding.EncodeToString(sum.Sum(nil))
}

// validCommitment reports whether a text has the form of a commitment.
func validCommitment(text string) bool {
	raw, found := strings.CutPrefix(text, commitMark)
	if !found {
		return false
	}
	sum, err := coding.DecodeString(raw)
	return err == nil && len(sum) == sha256.Size
}

// Bytes returns the random bytes.
func (n Name) Bytes() ([]byte, error) { return coding.DecodeString(n.Random) }

// Valid reports whether the text is the one that was committed to.
func (n Name) Valid() bool {
	random, err := n.Bytes()
	return err == nil && len(random) == RandomBytes && n.Text != "" && commitmentOf(random, n.Text) == n.Commitment
}

// KeepApart returns the entry with commitments for its texts about people: it is
// then written as version 2. Random gives the random bytes for a text; the bytes
// of the same text in the same game may be used again. An entry without such a
// text stays as it is, and so does one that has commitments already.
func KeepApart(e Entry, random func(text string) []byte) Entry {
	if e.Apart != nil {
		return e
	}
	var apart []Kept
	some := false
	MapTexts(e, func(_ Text, text string) string {
		k := Kept{}
		if text != "" {
			bytes := random(text)
			k = Kept{Commitment: commitmentOf(bytes, text), Random: coding.EncodeToString(bytes)}
			some = true
		}
		apart = append(apart, k)
		return text
	})
	if some {
		e.Apart = apart
	}
	return e
}

// Withdraw returns the entry as it stands in place of an older line that had
// texts about people inside: as version 2, with the hash of that line, so that
// the chain of hashes goes on around it. An entry that keeps its texts apart
// already stays as it is.
func Withdraw(e Entry, random func(text string) []byte) (Entry, error) {
	apart := KeepApart(e, random)
	if e.Apart != nil || apart.Apart == nil {
		return e, nil
	}
	hash, err := e.Hash()
	if err != nil {
		return e, err
	}
	apart.Was = hash
	return apart, nil
}

// Plain returns the entry with its texts inside, as a draft has them and as people
// read it. It is in no chain.
func (e Entry) Plain() Entry {
	e.Apart, e.Was = nil, ""
	return e
}

// Names returns the texts of the entry that are known, with their random bytes,
// each once.
func (e Entry) Names() []Name {
	var names []Name
	seen := map[string]bool{}
	e.places(func(_ Text, text string, k Kept) (string, Kept) {
		if k.Random != "" && !seen[k.Commitment] {
			seen[k.Commitment] = true
			names = append(names, Name{Game: e.Game, Commitment: k.Commitment, Random: k.Random, Text: text})
		}
		return text, k
	})
	return names
}

// Know returns the entry with the texts that look knows by their commitments, and
// without all others. What was not committed to is not taken.
func Know(e Entry, look func(what Text, commitment string) (Name, bool)) Entry {
	if e.Apart == nil {
		return e
	}
	return e.places(func(what Text, text string, k Kept) (string, Kept) {
		if k.Commitment == "" {
			return text, k
		}
		if n, known := look(what, k.Commitment); known && n.Commitment == k.Commitment && n.Valid() {
			return n.Text, Kept{Commitment: k.Commitment, Random: n.Random}
		}
		return what.Gone(), Kept{Commitment: k.Commitment}
	})
}

// places returns a copy of the entry with what change makes of each place of a
// text and of what stands in its line.
func (e Entry) places(change func(Text, string, Kept) (string, Kept)) Entry {
	if e.Apart == nil {
		return e
	}
	apart := make([]Kept, 0, len(e.Apart))
	changed := MapTexts(e, func(what Text, text string) string {
		k := Kept{}
		if len(apart) < len(e.Apart) {
			k = e.Apart[len(apart)]
		}
		text, k = change(what, text, k)
		apart = append(apart, k)
		return text
	})
	changed.Apart = apart
	return changed
}

// committed returns the entry with commitments where its texts are, as its line
// has them.
func (e Entry) committed() (Entry, error) {
	n := 0
	line := MapTexts(e, func(Text, string) string {
		n++
		if n > len(e.Apart) {
			return ""
		}
		return e.Apart[n-1].Commitment
	})
	if n != len(e.Apart) {
		return e, message.New("chain.commitments", "entry", e.ID, "texts", n, "commitments", len(e.Apart))
	}
	return line, nil
}

// fromCommitted returns the entry of a line of version 2: without its texts,
// which are not in it.
func fromCommitted(line Entry) (Entry, error) {
	var apart []Kept
	some := false
	var bad error
	e := MapTexts(line, func(what Text, text string) string {
		apart = append(apart, Kept{Commitment: text})
		if text == "" {
			return ""
		}
		some = true
		if bad == nil && !validCommitment(text) {
			bad = message.New("chain.text_inside")
		}
		return what.Gone()
	})
	switch {
	case bad != nil:
		return e, bad
	case !some:
		return e, message.New("chain.text_missing")
	}
	e.Apart = apart
	return e, nil
}

// nameType is the type of a line beside a ledger.
const nameType = typePrefix + "name.v1"

// nameJSON is a Name as a line of a file. It is a CloudEvent like an entry.
type nameJSON struct {
	SpecVersion string   `json:"specversion"`
	ID          string   `json:"id"` // the commitment
	Source      string   `json:"source"`
	Type        string   `json:"type"`
	Data        nameData `json:"data"`
}

type nameData struct {
	Random string `json:"random"`
	Text   string `json:"text"`
}

// MarshalJSON writes the name as one line.
func (n Name) MarshalJSON() ([]byte, error) {
	return json.Marshal(nameJSON{
		SpecVersion: specVersion, ID: n.Commitment, Source: sourceGame + n.Game, Type: nameType,
		Data: nameData{Random: n.Random, Text: n.Text},
	})
}

// UnmarshalJSON reads a line that MarshalJSON wrote. It refuses a text that is
// not the one that was committed to.
func (n *Name) UnmarshalJSON(line []byte) error {
	var read nameJSON
	if err := strict(line, &read); err != nil {
		return err
	}
	game, found := strings.CutPrefix(read.Source, sourceGame)
	*n = Name{Game: game, Commitment: read.ID, Random: read.Data.Random, Text: read.Data.Text}
	switch {
	case read.SpecVersion != specVersion || read.Type != nameType || !found:
		return message.New("chain.no_text")
	case len(n.Text) > nameMost:
		return message.New("chain.text_too_long")
	case !n.Valid():
		return message.New("chain.text_other")
	}
	return nil
}

// nameMost is the longest text, in bytes: a drawn signature, or a note of letters
// of four bytes each.
const nameMost = maxDrawing

// IsName reports whether a line of a file is a Name and not an entry: no id of an
// entry begins as a commitment does.
func IsName(line []byte) bool { return bytes.HasPrefix(line, nameBegins) }

var nameBegins = []byte(`{"specversion":"` + specVersion + `","id":"` + commitMark)

// ReadName reads a line beside a ledger that may have been written by anybody.
// Like ReadLine it takes it only in the form in which this program writes it.
func ReadName(line []byte) (Name, error) {
	var n Name
	if !utf8.Valid(line) {
		return n, message.New("chain.not_utf8")
	}
	if err := n.UnmarshalJSON(line); err != nil {
		return n, err
	}
	if again, err := n.MarshalJSON(); err != nil || !bytes.Equal(again, line) {
		return n, message.New("chain.unusual_form")
	}
	if !ValidID(n.Game) {
		return n, message.New("chain.text_of_no_game")
	}
	return n, nil
}
