package web

import (
	"encoding/json"
	"fmt"
	"sync"

	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/changes"
	"whistlestop/internal/web/sse"
)

// frames keeps the newest state of each game as it is sent. It is safe for use
// by many goroutines.
type frames struct{ games api.Recent[frame] }

// frame is one game: the newest state of each view, and the card that was last
// sent.
type frame struct {
	mutex     sync.Mutex
	views     map[api.View]*sight
	card      *byte
	cardChunk sse.Chunk
}

// sight is the newest state of a game in one view, as it is sent.
type sight struct {
	doc   *changes.Doc
	whole *sse.Chunk
	since map[int]sse.Chunk // changes since an earlier state
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
	fresh := &sight{doc: doc, since: map[int]sse.Chunk{}}
	at.views[v] = fresh
	return fresh
}

// sinceMost is how many changes from different states are kept ready.
const sinceMost = 16

// event returns the pieces of an event, all but the time, which differs, and
// the number of the state that it leads to. Had is the number of the state that the
// stream sent before; 0 asks for the whole. Doc is the update as its reader may see it.
func (f *frames) event(u bench.Update, doc *changes.Doc, v api.View, had int) (pieces []sse.Chunk, seq int, err error) {
	at := f.games.Of(u.State.Game)
	at.mutex.Lock()
	defer at.mutex.Unlock()
	s := at.sight(doc, v)
	seq = s.doc.Seq()
	var head sse.Chunk
	if had <= 0 || had > seq {
		if s.whole == nil {
			made := sse.Compressed(fmt.Appendf(nil, "event: state\nid: %d\ndata: {\"state\":%s", seq, s.doc.Whole()))
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
			head = sse.Compressed(fmt.Appendf(nil, "event: change\nid: %d\ndata: {\"change\":%s", seq, change))
			if len(s.since) < sinceMost {
				s.since[had] = head
			}
		}
	}
	pieces = []sse.Chunk{head}
	if v.May(bench.ReadCards) && len(u.Card) > 0 {
		if at.card != &u.Card[0] {
			at.card, at.cardChunk = &u.Card[0], sse.Compressed(fmt.Appendf(nil, ",\"card\":%s", u.Card))
		}
		pieces = append(pieces, at.cardChunk)
	}
	return pieces, seq, nil
}
