package web

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"sync"

	"whistlestop/internal/bench"
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
}

// framesMost is how many games are kept ready: whoever looks at one game after
// the other must not fill the memory.
const framesMost = 8

// frame is a state of one game, and the card that was last sent with it.
type frame struct {
	state *byte // the beginning of the state's JSON: which state this is

	mutex     sync.Mutex
	views     map[view]*viewed
	card      *byte
	cardChunk chunk
}

// viewed is a state as the readers of one view get it.
type viewed struct {
	json  []byte
	event *chunk
}

// of returns the frame of an update.
func (f *frames) of(u bench.Update) *frame {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	at := &u.JSON[0]
	known := f.games[u.State.Game]
	if known != nil && known.state == at {
		return known
	}
	if f.games == nil || len(f.games) >= framesMost {
		f.games = map[string]*frame{}
	}
	fresh := &frame{state: at, views: map[view]*viewed{}}
	f.games[u.State.Game] = fresh
	return fresh
}

// json returns the state as its reader may see it.
func (f *frames) json(u bench.Update, v view) ([]byte, error) {
	if v.whole() {
		return u.JSON, nil
	}
	at := f.of(u)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	seen, err := at.view(u, v)
	if err != nil {
		return nil, err
	}
	return seen.json, nil
}

// view works what a reader may see out once. The caller holds the mutex.
func (at *frame) view(u bench.Update, v view) (*viewed, error) {
	if v.whole() {
		v = view{all: true} // the same for everybody who sees everything
	}
	if seen := at.views[v]; seen != nil {
		return seen, nil
	}
	raw := u.JSON
	if !v.whole() {
		var err error
		if raw, err = json.Marshal(v.state(u.State)); err != nil {
			return nil, err
		}
	}
	at.views[v] = &viewed{json: raw}
	return at.views[v], nil
}

// event returns the pieces of a state event: all but the time, which differs.
func (f *frames) event(u bench.Update, v view) ([]chunk, error) {
	at := f.of(u)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	seen, err := at.view(u, v)
	if err != nil {
		return nil, err
	}
	if seen.event == nil {
		made := compressed(fmt.Appendf(nil, "event: state\nid: %d\ndata: {\"state\":%s", u.State.Seq, seen.json))
		seen.event = &made
	}
	pieces := []chunk{*seen.event}
	if v.may(bench.ReadCards) && len(u.Card) > 0 {
		if at.card != &u.Card[0] {
			at.card, at.cardChunk = &u.Card[0], compressed(fmt.Appendf(nil, ",\"card\":%s", u.Card))
		}
		pieces = append(pieces, at.cardChunk)
	}
	return pieces, nil
}
