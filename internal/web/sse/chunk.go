package sse

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"sync"
)

// Chunk is a piece of an event stream as it is sent, plain and packed. Packed is
// deflate blocks that end on a byte and refer to nothing before them: pieces
// that were packed once can be put behind one another in any stream. So a state
// is packed once for everybody, and not once for each of 200 screens.
type Chunk struct{ plain, packed []byte }

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

// Stored makes a chunk without compressing it: for short events.
func Stored(plain []byte) Chunk {
	packed := make([]byte, 0, len(plain)+16)
	for rest := plain; len(rest) > 0; {
		part := rest[:min(len(rest), storedMost)]
		rest = rest[len(part):]
		packed = append(packed, 0)
		packed = binary.LittleEndian.AppendUint16(packed, uint16(len(part)))
		packed = binary.LittleEndian.AppendUint16(packed, ^uint16(len(part)))
		packed = append(packed, part...)
	}
	return Chunk{plain: plain, packed: append(packed, syncMark...)}
}

// packers are compressors that are not in use.
var packers = sync.Pool{New: func() any {
	w, err := flate.NewWriter(nil, 4)
	if err != nil {
		panic(err) // the level is a constant that exists
	}
	return w
}}

// Compressed makes a chunk that is as small as is quickly done.
func Compressed(plain []byte) Chunk {
	var out bytes.Buffer
	w, ok := packers.Get().(*flate.Writer)
	if !ok {
		return Stored(plain)
	}
	defer packers.Put(w)
	w.Reset(&out)
	if _, err := w.Write(plain); err != nil {
		return Stored(plain) // a buffer always takes it
	}
	if err := w.Flush(); err != nil {
		return Stored(plain)
	}
	return Chunk{plain: plain, packed: out.Bytes()}
}
