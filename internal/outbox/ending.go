package outbox

import (
	"time"

	"whistlestop/game/entry"
)

// How long names stay at a bench whose hub says that they end, in milliseconds (ours): by
// then a report is settled, and somebody there has had the time to say no.
const (
	afterSeal = entry.Millis(30 * 24 * time.Hour / time.Millisecond)
	afterTold = entry.Millis(7 * 24 * time.Hour / time.Millisecond)
)

// Ending is when the names of a sealed game's people end at this bench.
type Ending struct {
	Of    int          `json:"of"`             // entries of the game
	Told  entry.Millis `json:"told"`           // when the hub said so first, by the later of both times
	Ends  entry.Millis `json:"ends"`           // by the times of both
	Keep  bool         `json:"keep,omitempty"` // somebody here keeps them
	Ended bool         `json:"ended,omitempty"`
}

// endsAt is when the names of a game end that was sealed, and of which the hub said so. A
// seal of a time to come is of a clock that was ahead.
func endsAt(sealed, told entry.Millis) entry.Millis {
	return max(min(sealed, told)+afterSeal, told+afterTold)
}

// sealedAt is when a game was sealed as it is now; 0: it is not. What says that a name was
// taken out changes no seal.
func sealedAt(ledger []entry.Entry) (at entry.Millis) {
	for _, e := range ledger {
		if _, sealed := e.Body.(entry.Sealed); sealed {
			at = e.Wall
		} else if _, out := e.Body.(entry.Withdrawn); !out {
			at = 0
		}
	}
	return at
}

// beside reports whether texts about people lie beside a ledger.
func beside(ledger []entry.Entry) bool {
	for _, e := range ledger {
		for _, one := range e.Apart {
			if one.Random != "" {
				return true
			}
		}
	}
	return false
}

// ending follows what the hub says of names at benches, for a game that is over. Both
// times have to agree that they end: one that jumped ahead ends nothing.
func (o *Outbox) ending(game string, at head) {
	o.mutex.Lock()
	e, known := o.Kept.Ending[game]
	end, on := o.ends[game], o.moved[game] > 0 && o.Now()-o.moved[game] < quietAfter
	open := o.open[game] == end
	o.mutex.Unlock()
	switch {
	case o.EndNames == nil || on || known && e.Keep || e.Ended && e.Of == end:
		return
	case !at.NamesEnd || at.Now <= 0:
		o.setEnding(game, nil)
		return
	case !known && open:
		return
	}
	if !known || e.Of != end {
		ledger, err := o.Ledgers.Load(o.ctx, game)
		if err != nil {
			return // what is wrong with it is said where it is sent
		}
		sealed := sealedAt(ledger)
		if sealed == 0 || !beside(ledger) {
			o.mutex.Lock()
			o.open[game] = len(ledger)
			o.mutex.Unlock()
			if !e.Ended { // that stays known, so that no names of a part are sent
				o.setEnding(game, nil)
			}
			return
		}
		told := max(at.Now, o.Now()) // one that is behind, and set right later, would end them unannounced
		e = Ending{Of: len(ledger), Told: told, Ends: endsAt(sealed, told), Ended: e.Ended}
		o.setEnding(game, &e)
	}
	if at.Now < e.Ends || o.Now() < e.Ends {
		return
	}
	if err := o.EndNames(o.ctx, game); err != nil {
		o.Logger.Warn("the names of a game were to end and are still here; it is tried again", "game", game, "error", err)
		return
	}
	e.Ended = true
	o.setEnding(game, &e)
}

// setEnding notes when the names of a game end; nil: they stay.
func (o *Outbox) setEnding(game string, e *Ending) {
	o.mutex.Lock()
	before, known := o.Kept.Ending[game]
	switch {
	case e != nil:
		o.Kept.Ending[game] = *e
	case known && !before.Ended:
		delete(o.Kept.Ending, game)
	default:
		o.mutex.Unlock()
		return
	}
	o.changed = true
	o.mutex.Unlock()
	o.keep()
}

// Ending is when the names of a game's people end here; false: they stay.
func (o *Outbox) Ending(game string) (Ending, bool) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	e, known := o.Kept.Ending[game]
	return e, known
}

// KeepNames keeps the names of a game here, whatever the hub says. It reports whether they
// were to end.
func (o *Outbox) KeepNames(game string) bool {
	e, known := o.Ending(game)
	if !known || e.Ended {
		return false
	}
	e.Keep = true
	o.setEnding(game, &e)
	return true
}
