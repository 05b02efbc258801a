package bench

import (
	"crypto/sha256"
	"encoding/json"
	"errors"

	"whistlestop/game/entry"
)

// refusedMost is how many refused posts a game remembers: far more than a
// network can hold back.
const refusedMost = 2000

// turnedDown remembers which posts were refused. A network may deliver a post
// twice, the second time when the game has gone on and would take it; but the
// person was told that nothing was kept, and has entered it anew. Posting the
// same entry in other words, or with others, is a new post.
type turnedDown struct {
	why   map[[sha256.Size]byte]*Problem // by what was posted
	order [][sha256.Size]byte            // the oldest first
}

// markOf is the mark by which a post is known again.
func markOf(drafts []entry.Entry) (mark [sha256.Size]byte, ok bool) {
	sum := sha256.New()
	for _, d := range drafts {
		raw, err := json.Marshal(d)
		if err != nil {
			return mark, false // it is refused for that, each time
		}
		sum.Write(raw)
	}
	return [sha256.Size]byte(sum.Sum(nil)), true
}

// note remembers a post that was refused for what it is. What may be tried again
// is no such post, and neither is an edit that came too late: it stays too late.
func (r *turnedDown) note(drafts []entry.Entry, err error) {
	var p *Problem
	if !errors.As(err, &p) || p.Kind != Refused {
		return
	}
	mark, ok := markOf(drafts)
	if !ok || r.why[mark] != nil {
		return
	}
	if r.why == nil {
		r.why = map[[sha256.Size]byte]*Problem{}
	}
	r.why[mark] = p
	r.order = append(r.order, mark)
	if len(r.order) > refusedMost {
		delete(r.why, r.order[0])
		r.order = r.order[1:]
	}
}

// of returns why the post was refused before, or nil.
func (r *turnedDown) of(drafts []entry.Entry) error {
	if len(r.why) == 0 {
		return nil
	}
	if mark, ok := markOf(drafts); ok && r.why[mark] != nil {
		return r.why[mark]
	}
	return nil
}
