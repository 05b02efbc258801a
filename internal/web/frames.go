package web

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"sync"

	"whistlestop/internal/api"
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
type frames struct{ games api.Recent[frame] }

// frame is one game: the newest state of each view, and the card that was last
// sent.
type frame struct {
	mutex     sync.Mutex
	views     map[api.View]*sight
	card      *byte
	cardChunk chunk
}

// sight is the newest state of a game in one view, as it is sent.
type sight struct {
	doc   *changes.Doc
	whole *chunk
	since map[int]chunk // changes since an earlier state
}

// sight returns the newest state in a view; it may be newer than the one that is
// given. The caller holds the mutex.
func (at *frame) sight(doc *changes.Doc, v api.View) *sight {
	if v.Whole() {
		v = api.View{All: true} // the same for everybody who sees everything
	}
	if old := at.views[v]; old != nil && old.doc.Seq() >= doc.Seq() {
		return old
	}
	if at.views == nil {
		at.views = map[api.View]*sight{}
	}
	fresh := &sight{doc: doc, since: map[int]chunk{}}
	at.views[v] = fresh
	return fresh
}

// sinceMost is how many changes from different states are kept ready.
const sinceMost = 16

// event returns the pieces of an event, all but the time, which differs, and
// the number of the state that it leads to. Had is the number of the state that the
// stream sent before; 0 asks for the whole. Doc is the update as its reader may see it.
func (f *frames) event(u bench.Update, doc *changes.Doc, v api.View, had int) (pieces []chunk, seq int, err error) {
	at := f.games.Of(u.State.Game)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	s := at.sight(doc, v)
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
	if v.May(bench.ReadCards) && len(u.Card) > 0 {
		if at.card != &u.Card[0] {
			at.card, at.cardChunk = &u.Card[0], compressed(fmt.Appendf(nil, ",\"card\":%s", u.Card))
		}
		pieces = append(pieces, at.cardChunk)
	}
	return pieces, seq, nil
}
