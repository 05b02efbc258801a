package sse

import (
	"bytes"
	"encoding/json"
	"hash/crc32"
	"net"
	"net/http"
	"time"
)

// Out writes server-sent events, each within its time.
type Out struct {
	response http.ResponseWriter
	control  *http.ResponseController
	conn     net.Conn      // instead of them; nil: it was not taken
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
	head(w.Header(), packs)
	w.WriteHeader(http.StatusOK)
	return out, true
}

func head(h http.Header, packs bool) {
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set("Vary", "Accept-Encoding")
	if packs {
		h.Set("Content-Encoding", "gzip")
	}
}

// Take is New for a stream that outlives its handler: it takes the connection from the
// server, which keeps buffers and two goroutines for each as long as its handler runs. It reports false
// where that cannot be (HTTP/2, a HEAD); then nothing was sent, and New does it. Whoever took
// it ends it with Close, and learns that the client left when sending fails.
func Take(w http.ResponseWriter, r *http.Request, packs bool, within time.Duration) (*Out, bool) {
	if r.Method != http.MethodGet {
		return nil, false
	}
	conn, _, err := http.NewResponseController(w).Hijack()
	if err != nil {
		return nil, false
	}
	h := w.Header()
	head(h, packs)
	h.Set("Connection", "close") // its end is that of the events
	h.Set("Date", time.Now().UTC().Format(http.TimeFormat))
	begin := bytes.NewBufferString("HTTP/1.1 200 OK\r\n")
	_ = h.Write(begin) // a buffer always takes it
	begin.WriteString("\r\n")
	out := &Out{conn: conn, packs: packs, within: within}
	_ = out.write(Chunk{plain: begin.Bytes(), packed: begin.Bytes()}) // what fails here fails again at the first event
	return out, true
}

// Close ends a connection that was taken.
func (e *Out) Close() error {
	if e.conn == nil {
		return nil
	}
	return e.conn.Close()
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
	if err := e.write(pieces...); err != nil {
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

func (e *Out) write(pieces ...Chunk) error {
	raw := make(net.Buffers, len(pieces))
	for i, piece := range pieces {
		raw[i] = piece.plain
		if e.packs {
			raw[i] = piece.packed
		}
	}
	until := time.Now().Add(e.within)
	if e.conn != nil {
		if err := e.conn.SetWriteDeadline(until); err != nil {
			return err
		}
		_, err := raw.WriteTo(e.conn)
		return err
	}
	if err := e.control.SetWriteDeadline(until); err != nil {
		return err
	}
	if _, err := raw.WriteTo(e.response); err != nil {
		return err
	}
	return e.control.Flush()
}

// End writes what a packed stream ends with, so that the client can tell the end
// from a connection that broke.
func (e *Out) End() error {
	if !e.packs {
		return nil
	}
	return e.Send(Chunk{packed: trailer(e.sum, e.length)})
}
