package outbox

import "maps"

// begin remembers how far the games were when the bench was paired, once. The caller
// holds the mutex.
func (o *Outbox) begin(ends map[string]int) (begun bool) {
	if o.Kept.Began != nil {
		return false
	}
	o.Kept.Began, o.changed = maps.Clone(ends), true
	for game := range o.moved { // it was entered into since
		delete(o.Kept.Began, game)
	}
	return true
}

// meant reports whether a game may be the one of a link for one game: it was entered into
// since the bench was paired. Games of other days are not, although they were never sent.
// The caller holds the mutex.
func (o *Outbox) meant(game string) bool { return o.ends[game] > o.Kept.Began[game] }

// aside reports whether the link is for one game, and this is not it. The caller holds
// the mutex.
func (o *Outbox) aside(game string) bool {
	if o.Kept.Only != "" {
		return game != o.Kept.Only
	}
	return o.first && !o.meant(game)
}

// bound notes what the hub says of a link for one game: which game that is, and what people
// call it, where it says so; an empty game: none yet.
func (o *Outbox) bound(game, called string) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if o.first = game == ""; o.first {
		return
	}
	if called == "" && game == o.Kept.Only {
		called = o.Kept.Called
	}
	if game != o.Kept.Only || called != o.Kept.Called {
		o.Kept.Only, o.Kept.Called, o.changed = game, called, true
	}
}

// stays reports whether a game is not sent because the link is for another one. Somebody who
// plays it is told, and the hub is asked once for which game the link is; the games of other
// days stay without an alarm.
func (o *Outbox) stays(game string) bool {
	o.mutex.Lock()
	aside, meant, called := o.aside(game), o.meant(game), o.Kept.Called
	o.mutex.Unlock()
	switch {
	case !aside || meant && called == "":
		return false
	case meant:
		o.bad(game, say("hubcopy.one_game", "hub", o.Link.Hub, "called", called))
	}
	return true
}
