package mirror

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
)

// head is the newest entry of a game, as somebody was told that it is kept.
type head struct {
	game string
	seq  int
	hash string
	lost bool // it was looked for once and was not there
}

// Heads is a second, small record of where every game ends, in a file of its own.
// A ledger that was cut off cleanly, with its copies gone, looks whole by itself;
// the record of heads names what is missing. It is safe for use by many
// goroutines.
type Heads struct {
	Log
	disk durable.Disk
	path string

	mutex  sync.Mutex
	newest map[string]head // by game
	lost   []head
	size   int64
	sound  bool // the file is as it was written last
}

// headsMost is how large a record is read, in bytes: that of ten thousand posts
// after ten thousand games.
const headsMost = 8 << 20

// WithHeads stands before the ledgers and keeps their heads in the file. The
// file need not be there. Lines of it that are damaged are left out: the others
// still count.
func WithHeads(log Log, disk durable.Disk, path string) (*Heads, error) {
	h := &Heads{Log: log, disk: disk, path: path, newest: map[string]head{}}
	content, err := disk.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return h, nil
	}
	if err != nil {
		return h, err
	}
	if len(content) > headsMost {
		return h, fmt.Errorf("%s has more than %d MB", path, headsMost>>20)
	}
	for line := range bytes.SplitSeq(content, []byte("\n")) {
		if one, ok := readHead(string(line)); ok && one.lost {
			h.lost = append(h.lost, one)
		} else if ok {
			h.newest[one.game] = one
		}
	}
	return h, nil
}

// line writes a head with a short sum of its own, so that damage shows.
func (h head) line() string {
	text := h.game + " " + strconv.Itoa(h.seq) + " " + h.hash
	if h.lost {
		text += " lost"
	}
	sum := sha256.Sum256([]byte(text))
	return text + " " + hex.EncodeToString(sum[:8])
}

func readHead(line string) (one head, ok bool) {
	fields := strings.Fields(line)
	if len(fields) != 4 && len(fields) != 5 {
		return one, false
	}
	seq, err := strconv.Atoi(fields[1])
	one = head{game: fields[0], seq: seq, hash: fields[2], lost: len(fields) == 5}
	return one, err == nil && seq > 0 && entry.ValidID(one.game) && one.line() == line
}

// Append appends, and notes the new head before the post is acknowledged. When
// only the note fails the post is kept all the same: the record is a help, the
// ledger is the game.
func (h *Heads) Append(ctx context.Context, game string, entries []entry.Entry) error {
	if err := h.Log.Append(ctx, game, entries); err != nil {
		return err
	}
	newest := entries[len(entries)-1]
	hash, err := newest.Hash()
	if err == nil {
		h.note(head{game: game, seq: newest.Seq, hash: hash})
	}
	return nil
}

// Learn keeps texts that lie beside a ledger, where the ledgers can.
func (h *Heads) Learn(ctx context.Context, game string, names []entry.Name) error {
	return learn(ctx, h.Log, game, names)
}

// Forget takes texts out of a game, where the ledgers can, and notes the new head.
func (h *Heads) Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error {
	if err := forget(ctx, h.Log, game, commitments, lines, entries); err != nil || len(entries) == 0 {
		return err
	}
	newest := entries[len(entries)-1]
	if hash, err := newest.Hash(); err == nil {
		h.note(head{game: game, seq: newest.Seq, hash: hash})
	}
	return nil
}

func (h *Heads) note(one head) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	h.newest[one.game] = one
	if !h.sound { // it is written as a whole at the start, and after a write that failed
		h.sound = h.write() == nil
		return
	}
	line := []byte(one.line() + "\n")
	err := durable.Extend(h.disk, h.path, h.size, line)
	h.size += int64(len(line))
	h.sound = err == nil
}

// write writes the record anew, a line for each game. The caller holds the mutex.
func (h *Heads) write() error {
	var content bytes.Buffer
	for _, game := range slices.Sorted(mapKeys(h.newest)) {
		content.WriteString(h.newest[game].line() + "\n")
	}
	for _, one := range h.lost {
		content.WriteString(one.line() + "\n")
	}
	h.size = int64(content.Len())
	return durable.Write(h.disk, h.path, content.Bytes())
}

// Ends tells where the ledgers end without reading them.
type Ends interface {
	// Ends returns the number of the newest entry of every game.
	Ends(ctx context.Context) (map[string]int, error)
	// HashAt returns the hash of an entry, or "" if it is not there.
	HashAt(ctx context.Context, game string, seq int) (string, error)
}

// Gone is a game whose newest entries were kept once and are not there.
type Gone struct {
	Game  string
	Seq   int  // of the newest entry that was kept
	Here  int  // entries that are there
	Other bool // that entry is there and says something else
}

// KeepHead keeps the head of a game in the record if it is not there: otherwise the
// next post would put a newer one in its place, and nobody would miss it.
func (h *Heads) KeepHead(ctx context.Context, ledgers Ends, game string) error {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	one, known := h.newest[game]
	if !known {
		return nil
	}
	hash, err := ledgers.HashAt(ctx, game, one.seq)
	if err != nil || hash == one.hash {
		return err
	}
	if one.lost = true; !slices.Contains(h.lost, one) {
		h.lost = append(h.lost, one)
	}
	delete(h.newest, game)
	return nil
}

// Missing holds the ledgers against the record of heads, and makes the record
// anew. What is missing stays in the record until it is back.
func (h *Heads) Missing(ctx context.Context, ledgers Ends) ([]Gone, error) {
	ends, err := ledgers.Ends(ctx)
	if err != nil {
		return nil, err
	}
	h.mutex.Lock()
	defer h.mutex.Unlock()
	var gone []Gone
	var lost []head
	known := append([]head{}, h.lost...)
	for _, game := range slices.Sorted(mapKeys(h.newest)) {
		known = append(known, h.newest[game])
	}
	for _, one := range known {
		hash, err := ledgers.HashAt(ctx, one.game, one.seq)
		if err != nil {
			return nil, err
		}
		if hash == one.hash {
			continue
		}
		if one.lost = true; !slices.Contains(lost, one) {
			lost = append(lost, one)
			gone = append(gone, Gone{Game: one.game, Seq: one.seq, Here: ends[one.game], Other: hash != ""})
		}
	}
	h.lost, h.newest = lost, map[string]head{}
	for game, seq := range ends {
		hash, err := ledgers.HashAt(ctx, game, seq)
		if err != nil {
			return gone, err
		}
		if hash != "" {
			h.newest[game] = head{game: game, seq: seq, hash: hash}
		}
	}
	h.sound = h.write() == nil
	return gone, nil
}
