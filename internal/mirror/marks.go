package mirror

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"path/filepath"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
	"whistlestop/record/seal"
)

// marksEnding is that of the file beside a copy that says who wrote it. The copy
// itself stays what every program reads.
const marksEnding = ".marks"

// marksKept is how many marks a file keeps: a copy whose newest lines were lost
// still ends at an older one. marksMost is how much of such a file is looked at.
const (
	marksKept = 16
	marksMost = 64 << 10
)

// Marks makes and knows the marks of a bench's copies: a message authentication
// code, which only the bench can make, over how far it wrote a game. A stick
// passes through many hands; what somebody adds to a copy has no such mark.
type Marks struct {
	bench  string // the bench's public key, as seals have it
	secret []byte
}

// NewMarks returns the marks of the bench with the key.
func NewMarks(key seal.Key) *Marks {
	secret := sha256.Sum256(append([]byte("whistlestop copies 1\n"), key...))
	return &Marks{bench: key.Public(), secret: secret[:]}
}

// mark says that a bench wrote a game's ledger up to an entry.
type mark struct {
	Bench string `json:"bench"` // its public key
	Count int    `json:"count"` // entries
	Head  string `json:"head"`  // hash of the newest of them
	MAC   string `json:"mac"`   // hexadecimal
}

func (m *Marks) mac(game string, count int, head string) []byte {
	h := hmac.New(sha256.New, m.secret)
	h.Write([]byte("whistlestop copy 1\n" + m.bench + "\n" + game + "\n" + strconv.Itoa(count) + "\n" + head))
	return h.Sum(nil)
}

// of marks a ledger as written by this bench.
func (m *Marks) of(game string, count int, head string) mark {
	return mark{Bench: m.bench, Count: count, Head: head, MAC: hex.EncodeToString(m.mac(game, count, head))}
}

// own reports whether a mark is this bench's.
func (m *Marks) own(game string, of mark) bool {
	mac, err := hex.DecodeString(of.MAC)
	return m != nil && err == nil && hmac.Equal(mac, m.mac(game, of.Count, of.Head))
}

// Own returns how many entries of a ledger, from the first on, this bench is
// known to have written: up to its newest mark, and up to its newest seal.
func (m *Marks) Own(ledger []entry.Entry, marks []mark) int {
	if m == nil || len(ledger) == 0 {
		return 0
	}
	own := 0
	for i := len(ledger) - 1; i >= 0; i-- {
		if s, ok := ledger[i].Body.(entry.Sealed); ok && s.Key == m.bench && s.Head == ledger[i].Prev && seal.Signed(ledger[i]) {
			own = i + 1
			break
		}
	}
	for _, one := range marks {
		if one.Count <= own || one.Count > len(ledger) || !m.own(ledger[0].Game, one) {
			continue
		}
		if head, err := ledger[one.Count-1].Hash(); err == nil && head == one.Head {
			own = one.Count
		}
	}
	return own
}

// readMarks reads the marks beside a copy, and whose the newest says it is. What
// cannot be read marks nothing.
func readMarks(disk durable.Disk, copied string) (list []mark, bench string) {
	content, err := disk.Read(copied[:len(copied)-len(ending)] + marksEnding)
	if err != nil || len(content) > marksMost {
		return nil, ""
	}
	for line := range bytes.SplitSeq(content, []byte("\n")) {
		var one mark
		if json.Unmarshal(line, &one) == nil && seal.KeyName(one.Bench) != "" {
			list, bench = append(list, one), one.Bench
		}
	}
	return list, bench
}

// mark writes beside a game's copy how far this bench wrote it. It follows the
// copy itself: a crash between the two leaves entries without a mark, and those
// are in the ledger as well.
func (f *folder) mark(game string, count int, head string) error {
	if f.own == nil || count == 0 {
		return nil
	}
	path := filepath.Join(f.path, game+ending)
	list, known := f.marks[game]
	if !known {
		list, _ = readMarks(f.disk, path)
	}
	fresh := f.own.of(game, count, head)
	if len(list) > 0 && list[len(list)-1] == fresh {
		f.marks[game] = list
		return nil
	}
	list = append(slices.Clone(list), fresh)
	list = list[max(0, len(list)-marksKept):]
	var content bytes.Buffer
	for _, one := range list {
		line, err := json.Marshal(one)
		if err != nil {
			return err
		}
		content.Write(append(line, '\n'))
	}
	if err := durable.Write(f.disk, filepath.Join(f.path, game+marksEnding), content.Bytes()); err != nil {
		return err
	}
	f.marks[game] = list
	return nil
}
