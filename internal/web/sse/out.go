package sse

import (
	"encoding/json"
	"hash/crc32"
	"net/http"
	"time"
)

// Out writes server-sent events, each within its time.
type Out struct {
	response http.ResponseWriter
	control  *http.ResponseController
	packs    bool          // the client takes gzip
	within   time.Duration // in which a message has to go

	sum, length uint32 // of what was sent packed
}

// New begins to answer with events, packed where the client takes gzip; within is how
// long one message may take. It reports false where the connection cannot stream;
// then nothing was sent.
func New(w http.ResponseWriter, packs bool, within time.Duration) (*Out, bool) {
	out := &Out{response: w, control: http.NewResponseController(w), packs: packs, within: within}
	// The server's limits are for requests that end.
	if err := out.control.SetReadDeadline(time.Time{}); err != nil {
		return nil, false
	}
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set("Vary", "Accept-Encoding")
	if packs {
		h.Set("Content-Encoding", "gzip")
	}
	w.WriteHeader(http.StatusOK)
	return out, true
}

// Begin writes what a packed stream begins with.
func (e *Out) Begin() error {
	if !e.packs {
		return nil
	}
	return e.Send(Chunk{packed: gzipHeader})
}

// Event sends an event whose data is one line of JSON.
func (e *Out) Event(name string, data []byte) error {
	return e.Send(Stored([]byte("event: " + name + "\ndata: " + string(data) + "\n\n")))
}

// JSON sends an event with a value.
func (e *Out) JSON(name string, value any) error {
	data, err := json.Marshal(value)
	if err != nil {
		return err
	}
	return e.Event(name, data)
}

// Send sends pieces of events.
func (e *Out) Send(pieces ...Chunk) error {
	if err := e.control.SetWriteDeadline(time.Now().Add(e.within)); err != nil {
		return err
	}
	for _, piece := range pieces {
		raw := piece.plain
		if e.packs {
			raw = piece.packed
		}
		if _, err := e.response.Write(raw); err != nil {
			return err
		}
	}
	if err := e.control.Flush(); err != nil {
		return err
	}
	if e.packs { // after the sending: nobody waits for it
		for _, piece := range pieces {
			e.sum = crc32.Update(e.sum, crc32.IEEETable, piece.plain)
			e.length += uint32(len(piece.plain))
		}
	}
	return nil
}

// End writes what a packed stream ends with, so that the client can tell the end
// from a connection that broke.
func (e *Out) End() error {
	if !e.packs {
		return nil
	}
	return e.Send(Chunk{packed: trailer(e.sum, e.length)})
}
