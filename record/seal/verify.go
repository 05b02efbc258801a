package seal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
)

// Kind says what is wrong with an entry.
type Kind string

// What can be wrong.
const (
	Unreadable Kind = "unreadable" // no entry that the program could have written
	Changed    Kind = "changed"    // its content
	Missing    Kind = "missing"    // it is not in the file
	Inserted   Kind = "inserted"   // it does not belong to the game
	Moved      Kind = "moved"      // it stands in another place
	Unsealed   Kind = "unsealed"   // a seal does not hold
	Differs    Kind = "differs"    // from the other copy
	Short      Kind = "short"      // the end is not there
)

// Fault is the first entry that was touched.
type Fault struct {
	Kind  Kind      `json:"kind"`
	Line  int       `json:"line"`            // of the file, from 1; for what is missing: where it should stand
	Seq   int       `json:"seq,omitempty"`   // its number in the ledger
	Entry string    `json:"entry,omitempty"` // its id
	Say   rules.Say `json:"say"`
}

// Found is a seal of the ledger.
type Found struct {
	Entry       string `json:"entry"`
	Seq         int    `json:"seq"` // of the entry of the seal
	Line        int    `json:"line"`
	Version     int    `json:"version"`
	Fingerprint string `json:"fingerprint"` // empty where the text about a person that was signed with it was taken out
	Key         string `json:"key"`
	KeyName     string `json:"key_name"`          // the key in short, as people compare it
	Signer      string `json:"signer,omitempty"`  // whose key it is, where that is known
	Missing     string `json:"missing,omitempty"` // why something was still owed
}

// Said is what a seal is, as a text with what stands in its gaps.
func (f Found) Said() (key string, pairs []string) {
	key = "command.verify.seal"
	if f.Fingerprint == "" {
		key = "command.verify.seal_unprinted"
	}
	return key, []string{"version", strconv.Itoa(f.Version), "fingerprint", f.Fingerprint, "number", strconv.Itoa(f.Seq)}
}

// VerdictVersion is the form of a Verdict where it stands alone; it goes up when
// a reader of the form before would misread one.
const VerdictVersion = 1

// Verdict is what can be said about a ledger.
type Verdict struct {
	Game    string  `json:"game"`
	Entries int     `json:"entries"`
	Head    string  `json:"head"`            // hash of the last entry
	First   *Fault  `json:"first,omitempty"` // nothing: no entry was touched
	Seals   []Found `json:"seals"`           // those that hold, oldest first
	After   int     `json:"after"`           // entries after the last seal, which no seal covers

	Beside    int   `json:"beside"`    // texts about people that lie beside the ledger; each is the one that was committed to
	Out       int   `json:"out"`       // texts that are not in the file: taken out, or kept back from whoever made the copy
	Withdrawn []int `json:"withdrawn"` // entries in whose place a line without such texts stands, as the bench's key vouches
	Unvouched []int `json:"unvouched"` // entries in whose place such a line stands, and no key vouches for it

	broken bool // something is wrong beside the lines that nobody vouches for
}

// item is one line of a ledger.
type item struct {
	entry.Entry
	line int
	hash string // that the next entry carries
	bad  error

	stands string // hash of the line as it stands there
}

// Verify checks an exported ledger, one entry a line: the chain of hashes, and
// every seal. It names the first entry that was touched. Whoever writes the whole
// chain anew from some entry on is caught by the seals, by a fingerprint on paper
// or by another copy, not by the chain.
func Verify(file []byte) Verdict {
	items, texts, badText := read(file)
	v := Verdict{Entries: len(items), Seals: []Found{}, Withdrawn: []int{}, Unvouched: []int{}}
	if len(items) == 0 {
		v.First = fault(Short, item{line: 1}, "seal.empty")
		return v
	}
	v.Game = items[0].Game
	v.Head = items[len(items)-1].hash
	sound := len(items) // how many entries at the beginning are as they were
	if v.First = chain(items); v.First != nil {
		for sound = 0; sound < len(items) && items[sound].line < v.First.Line; sound++ {
		}
	}
	v.seals(items[:sound])
	unvouched := v.withdrawals(items[:sound])
	if badText != nil {
		v.fault(badText)
	}
	if v.broken = v.First != nil; unvouched != nil {
		v.fault(unvouched)
	}
	v.count(items, texts)
	return v
}

// linesMost is how many entries of a ledger are looked at.
const linesMost = 20_000

// read takes a file apart: the entries, and the commitments of the texts that lie
// beside them, with the first that is not what was committed to. Empty lines are
// left out.
func read(file []byte) (items []item, texts map[string]bool, bad *Fault) {
	texts = map[string]bool{}
	file = bytes.TrimPrefix(file, []byte("\ufeff"))
	n := -1
	for line := range bytes.SplitSeq(file, []byte("\n")) {
		n++
		line = bytes.TrimSuffix(line, []byte("\r"))
		if len(line) == 0 {
			continue
		}
		it := item{line: n + 1}
		if len(items) == linesMost {
			it.bad = message.New("seal.too_many")
			return append(items, it), texts, bad
		}
		if entry.IsName(line) {
			name, err := entry.ReadName(line)
			if err != nil && bad == nil {
				bad = fault(Changed, it, "seal.text_changed", "why", err.Error())
			}
			texts[name.Commitment] = true
			continue
		}
		it.Entry, it.bad = entry.ReadLine(line)
		if it.bad == nil { // the line is what the program writes, byte for byte
			sum := sha256.Sum256(line)
			it.stands = hex.EncodeToString(sum[:])
			if it.hash = it.stands; it.Was != "" {
				it.hash = it.Was // the chain goes around what was taken out
			}
		}
		items = append(items, it)
	}
	return items, texts, bad
}

// fault names an item. The gaps number, line and entry are filled from it.
func fault(kind Kind, it item, key string, pairs ...string) *Fault {
	pairs = append([]string{"number", strconv.Itoa(it.Seq), "line", strconv.Itoa(it.line), "entry", it.ID}, pairs...)
	return &Fault{Kind: kind, Line: it.line, Seq: it.Seq, Entry: it.ID, Say: rules.Say{Key: key, Args: rules.Pairs(pairs...)}}
}

// chain returns the first entry that breaks the chain, or nothing.
func chain(items []item) *Fault {
	for i, it := range items {
		if it.bad != nil {
			return fault(Unreadable, it, "seal.unreadable", "why", it.bad.Error())
		}
		if it.Game != items[0].Game {
			return fault(Inserted, it, "seal.other_game", "game", it.Game)
		}
		prev, seq := "", 1
		if i > 0 {
			prev, seq = items[i-1].hash, items[i-1].Seq+1
		}
		if it.Prev != prev || it.Seq != seq {
			return broken(items, i, prev, seq)
		}
	}
	return nil
}

// broken says which entry was touched when the one at i does not follow from the
// one before it. An entry is vouched for by the one after it, which carries its
// hash.
func broken(items []item, i int, prev string, seq int) *Fault {
	it := items[i]
	follows := func(one item) bool { return one.bad == nil && one.Prev == prev && one.Seq == seq }
	vouched := i+1 < len(items) && items[i+1].bad == nil && items[i+1].Prev == it.hash || heldBySeal(it)
	known := func(hash string) bool {
		return slices.ContainsFunc(items, func(one item) bool { return one.hash == hash })
	}
	switch {
	case slices.ContainsFunc(items[:i], func(one item) bool { return one.hash == it.hash }):
		return fault(Inserted, it, "seal.twice")
	case slices.ContainsFunc(items[i+1:], follows): // the right one comes later
		if known(it.Prev) {
			return fault(Moved, it, "seal.moved", "place", strconv.Itoa(seq))
		}
		return fault(Inserted, it, "seal.inserted")
	case i == 0 && it.Seq > 1, i > 0 && it.Seq > seq:
		missing := it
		missing.Seq, missing.ID = seq, ""
		return fault(Missing, missing, "seal.missing", "next", strconv.Itoa(it.Seq))
	case i == 0:
		return fault(Changed, it, "seal.changed")
	case it.Prev == items[i-1].Prev && vouched: // both claim the same place; this one is right
		return fault(Inserted, items[i-1], "seal.inserted")
	case it.Seq < seq && known(it.Prev):
		return fault(Moved, it, "seal.moved", "place", strconv.Itoa(seq))
	case it.Seq < seq:
		return fault(Inserted, it, "seal.inserted")
	case vouched:
		return fault(Changed, items[i-1], "seal.changed")
	case i+1 < len(items):
		return fault(Changed, it, "seal.changed")
	default: // nothing after it says which of the two is right
		return fault(Changed, items[i-1], "seal.changed_or", "next", strconv.Itoa(it.Seq))
	}
}

// heldBySeal reports whether an entry is a seal whose signature says what comes
// before it.
func heldBySeal(it item) bool {
	s, ok := it.Body.(entry.Sealed)
	return ok && s.Head == it.Prev && Signed(it.Entry)
}

// seals checks the seals of the entries that the chain holds together.
func (v *Verdict) seals(items []item) {
	last := -1
	for i, it := range items {
		s, ok := it.Body.(entry.Sealed)
		if !ok {
			continue
		}
		version, replaces, key := 1, "", s.Key
		if n := len(v.Seals); n > 0 {
			version, replaces, key = v.Seals[n-1].Version+1, v.Seals[n-1].Entry, v.Seals[n-1].Key
		}
		bad := ""
		switch {
		case s.Head != it.Prev:
			bad = "seal.other_head"
		case it.Was == "" && !Signed(it.Entry): // what was signed does not stand there any more where something was taken out
			bad = "seal.bad_signature"
		case s.Version != version || s.Replaces != replaces:
			bad = "seal.bad_version"
		case s.Key != key:
			bad = "seal.other_key"
		}
		if bad != "" {
			v.First = fault(Unsealed, it, bad, "version", strconv.Itoa(s.Version))
			break
		}
		v.Seals = append(v.Seals, Found{
			Entry: it.ID, Seq: it.Seq, Line: it.line, Version: s.Version, Fingerprint: Fingerprint(it.Entry), Key: s.Key, KeyName: KeyName(s.Key), Missing: s.Missing,
		})
		last = i
	}
	v.After = len(items) - 1 - last
}

// Printed compares with a fingerprint in the form of Fingerprint, as it stands on
// paper, and adds a fault if the ledger does not have that seal. It returns the
// seal, and whether a newer version replaces it.
func (v *Verdict) Printed(fingerprint string) (found Found, replaced bool) {
	for i, s := range v.Seals {
		if s.Fingerprint == fingerprint {
			return s, i < len(v.Seals)-1
		}
	}
	if v.First == nil {
		v.First = fault(Short, item{line: v.Entries + 1}, "seal.not_printed", "fingerprint", fingerprint,
			"entries", strconv.Itoa(v.Entries))
	}
	return Found{}, false
}

// Pin is a key that somebody vouched for. Key is written as seals have it, or in
// short.
type Pin struct{ Name, Key string }

// of reports whether a key is the pinned one.
func (p Pin) of(key string) bool {
	if p.Key == key {
		return true
	}
	read, err := ReadFingerprint(p.Key)
	return err == nil && read == KeyName(key)
}

// Pinned says of every seal whose key made it, and adds a fault for the first
// that was made with none of the pinned keys. Whoever writes a whole ledger anew
// can seal it as well, but not with a key that somebody vouched for. Without pins
// nothing can be said.
func (v *Verdict) Pinned(pins []Pin) {
	for i, s := range v.Seals {
		at := slices.IndexFunc(pins, func(p Pin) bool { return p.of(s.Key) })
		if at >= 0 {
			v.Seals[i].Signer = pins[at].Name
			continue
		}
		if len(pins) > 0 && v.First == nil {
			v.First = fault(Unsealed, item{line: s.Line, Entry: entry.Entry{ID: s.Entry, Seq: s.Seq}}, "seal.unknown_key",
				"version", strconv.Itoa(s.Version), "key", s.KeyName)
		}
	}
}

// Against compares with another copy of the ledger, and adds a fault for the
// first entry in which the two differ, or if this one is the shorter.
func (v *Verdict) Against(file, other []byte) {
	ours, _, _ := read(file)
	theirs, _, _ := read(other)
	for i := range min(len(ours), len(theirs)) {
		if ours[i].bad == nil && ours[i].hash == theirs[i].hash {
			continue
		}
		if v.First == nil || ours[i].line < v.First.Line {
			v.First = fault(Differs, ours[i], "seal.differs")
		}
		return
	}
	if v.First == nil && len(ours) < len(theirs) {
		v.First = fault(Short, item{line: len(ours) + 1, Entry: theirs[len(ours)].Entry}, "seal.short",
			"entries", strconv.Itoa(len(ours)), "others", strconv.Itoa(len(theirs)))
	}
}
