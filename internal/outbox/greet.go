package outbox

import "slices"

// greet tells the hub that the bench is there, while a game is on: followers can then
// tell a quiet game from a lost bench. Of the other games it asks about one at a time, in
// turn: a hub that was restored from a copy lacks what came in after the copy, and
// nothing else would say so of a game that is over.
func (o *Outbox) greet() {
	for _, game := range o.toGreet() {
		at, err := o.hub.head(o.ctx, game)
		if err != nil {
			return // the next sending finds out why
		}
		if o.lost(game, at) {
			return
		}
		if err := o.sendNames(game, at); err != nil {
			return // and again the next time
		}
		o.ending(game, at)
	}
}

// toGreet is the games that are on, and the next of the others.
func (o *Outbox) toGreet() (games []string) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	for _, game := range sorted(o.moved) {
		if o.Now()-o.moved[game] < quietAfter && !o.aside(game) {
			games = append(games, game)
		}
	}
	next, first := "", ""
	for _, game := range sorted(o.Kept.Sent) {
		if o.Kept.Sent[game] == 0 || o.aside(game) || slices.Contains(games, game) {
			continue
		}
		if first == "" {
			first = game
		}
		if next == "" && game > o.checked {
			next = game
		}
	}
	if next == "" {
		next = first
	}
	if next != "" {
		o.checked = next
		games = append(games, next)
	}
	return games
}

// lost notes that a hub has less of a game than it said before. What it has of the others
// is then asked anew, and sent.
func (o *Outbox) lost(game string, at head) bool {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if _, bad := o.trouble[game]; bad || at.Seq >= o.Kept.Sent[game] {
		return false
	}
	o.Logger.Warn("the hub has less than it had, and is sent what it lacks", "hub", o.Link.Hub, "game", game, "had", o.Kept.Sent[game], "has", at.Seq)
	clear(o.Kept.Sent)
	clear(o.ready)
	o.changed = true
	select {
	case o.wake <- struct{}{}:
	default:
	}
	return true
}
