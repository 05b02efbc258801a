package web

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"sync"

	"whistlestop/internal/bench"
	"whistlestop/internal/changes"
)

// chunk is a piece of an event stream as it is sent, plain and packed. Packed is
// deflate blocks that end on a byte and refer to nothing before them: pieces
// that were packed once can be put behind one another in any stream. So a state
// is packed once for everybody, and not once for each of 200 screens.
type chunk struct{ plain, packed []byte }

// gzipHeader begins a packed stream (RFC 1952, section 2.3): deflate, no name,
// no time.
var gzipHeader = []byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0xff}

// syncMark is an empty block (RFC 1951, section 3.2.4): readers hand on what
// they have when they meet it.
var syncMark = []byte{0, 0, 0, 0xff, 0xff}

// trailer ends a packed stream: a last empty block, the check sum and the length
// of all that it unpacks to (RFC 1952, section 2.3.1).
func trailer(sum, length uint32) []byte {
	end := []byte{1, 0, 0, 0xff, 0xff}
	end = binary.LittleEndian.AppendUint32(end, sum)
	return binary.LittleEndian.AppendUint32(end, length)
}

// storedMost is the most that a block without compression holds.
const storedMost = 0xffff

// stored makes a chunk without compressing it: for short events.
func stored(plain []byte) chunk {
	packed := make([]byte, 0, len(plain)+16)
	for rest := plain; len(rest) > 0; {
		part := rest[:min(len(rest), storedMost)]
		rest = rest[len(part):]
		packed = append(packed, 0)
		packed = binary.LittleEndian.AppendUint16(packed, uint16(len(part)))
		packed = binary.LittleEndian.AppendUint16(packed, ^uint16(len(part)))
		packed = append(packed, part...)
	}
	return chunk{plain: plain, packed: append(packed, syncMark...)}
}

// packers are compressors that are not in use.
var packers = sync.Pool{New: func() any {
	w, err := flate.NewWriter(nil, 4)
	if err != nil {
		panic(err) // the level is a constant that exists
	}
	return w
}}

// compressed makes a chunk that is as small as is quickly done.
func compressed(plain []byte) chunk {
	var out bytes.Buffer
	w, ok := packers.Get().(*flate.Writer)
	if !ok {
		return stored(plain)
	}
	defer packers.Put(w)
	w.Reset(&out)
	if _, err := w.Write(plain); err != nil {
		return stored(plain) // a buffer always takes it
	}
	if err := w.Flush(); err != nil {
		return stored(plain)
	}
	return chunk{plain: plain, packed: out.Bytes()}
}

// frames keeps the newest state of each game as it is sent. It is safe for use
// by many goroutines.
type frames struct {
	mutex sync.Mutex
	games map[string]*frame
	uses  int
}

// framesMost is how many games are kept ready: whoever looks at one game after
// the other must not fill the memory.
const framesMost = 16

// frame is one game: the newest state of each view, and the card that was last
// sent.
type frame struct {
	used int // when; under the mutex of all frames

	mutex     sync.Mutex
	views     map[view]*sight
	card      *byte
	cardChunk chunk
}

// sight is the newest state of a game in one view, as it is sent.
type sight struct {
	doc   *changes.Doc
	whole *chunk
	since map[int]chunk // changes since an earlier state
}

// of returns the frame of a game.
func (f *frames) of(game string) *frame {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	f.uses++
	at := f.games[game]
	if at == nil {
		if f.games == nil {
			f.games = map[string]*frame{}
		}
		if len(f.games) >= framesMost {
			oldest := ""
			for id, other := range f.games {
				if oldest == "" || other.used < f.games[oldest].used {
					oldest = id
				}
			}
			delete(f.games, oldest)
		}
		at = &frame{views: map[view]*sight{}}
		f.games[game] = at
	}
	at.used = f.uses
	return at
}

// sight returns the newest state in a view; it may be newer than the update. The
// caller holds the mutex.
func (at *frame) sight(u bench.Update, v view) (*sight, error) {
	if v.whole() {
		v = view{all: true} // the same for everybody who sees everything
	}
	old := at.views[v]
	if old != nil && old.doc.Seq() >= u.State.Seq {
		return old, nil
	}
	var before *changes.Doc
	if old != nil {
		before = old.doc
	}
	doc, err := v.doc(before, u)
	if err != nil {
		return nil, err
	}
	fresh := &sight{doc: doc, since: map[int]chunk{}}
	at.views[v] = fresh
	return fresh, nil
}

// doc returns the state as its reader may see it.
func (f *frames) doc(u bench.Update, v view) (*changes.Doc, error) {
	at := f.of(u.State.Game)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	s, err := at.sight(u, v)
	if err != nil {
		return nil, err
	}
	return s.doc, nil
}

// would returns the state as it would be after drafts, as its reader may see it.
func (f *frames) would(c bench.Considered, v view) (*changes.Doc, error) {
	update, err := c.Update()
	if err != nil || v.whole() {
		return update.Doc, err
	}
	now, err := f.doc(c.Now, v)
	if err != nil {
		return nil, err
	}
	return v.doc(now, update)
}

// sinceMost is how many changes from different states are kept ready.
const sinceMost = 16

// event returns the pieces of an event, all but the time, which differs, and
// the number of the state that it leads to. Had is the number of the state that the
// stream sent before; 0 asks for the whole.
func (f *frames) event(u bench.Update, v view, had int) (pieces []chunk, seq int, err error) {
	at := f.of(u.State.Game)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	s, err := at.sight(u, v)
	if err != nil {
		return nil, 0, err
	}
	seq = s.doc.Seq()
	var head chunk
	if had <= 0 || had > seq {
		if s.whole == nil {
			made := compressed(fmt.Appendf(nil, "event: state\nid: %d\ndata: {\"state\":%s", seq, s.doc.Whole()))
			s.whole = &made
		}
		head = *s.whole
	} else {
		var ready bool
		if head, ready = s.since[had]; !ready {
			change, err := json.Marshal(s.doc.Since(had))
			if err != nil {
				return nil, 0, err
			}
			head = compressed(fmt.Appendf(nil, "event: change\nid: %d\ndata: {\"change\":%s", seq, change))
			if len(s.since) < sinceMost {
				s.since[had] = head
			}
		}
	}
	pieces = []chunk{head}
	if v.may(bench.ReadCards) && len(u.Card) > 0 {
		if at.card != &u.Card[0] {
			at.card, at.cardChunk = &u.Card[0], compressed(fmt.Appendf(nil, ",\"card\":%s", u.Card))
		}
		pieces = append(pieces, at.cardChunk)
	}
	return pieces, seq, nil
}
