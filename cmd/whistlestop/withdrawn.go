package main

import (
	"encoding/json"
	"maps"
	"slices"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/mirror"
)

// withdrawnFile is the list of what was taken out, beside the games. It has ids
// and hashes only, and outlives the games: an older copy brings no name back.
const withdrawnFile = "withdrawn.json"

// withdrawn is that list. It is safe for use by many goroutines.
type withdrawn struct {
	file privatefile.File

	mutex sync.Mutex
	games map[string]bench.Gone
}

// newWithdrawn reads the list. What cannot be read is an error, and nothing is
// added to it then: the file stays as it is.
func newWithdrawn(file privatefile.File) (*withdrawn, error) {
	w := &withdrawn{file: file, games: map[string]bench.Gone{}}
	saved, err := file.Read()
	if err == nil && saved != nil {
		err = json.Unmarshal(saved, &w.games)
	}
	return w, err
}

// of returns what was taken out of a game.
func (w *withdrawn) of(game string) bench.Gone {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return w.games[game]
}

// list returns the games that something was taken out of.
func (w *withdrawn) list() []string {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return slices.Sorted(maps.Keys(w.games))
}

// add notes what goes from a game. It returns when that is safe.
func (w *withdrawn) add(game string, more bench.Gone) error {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	before := w.games[game]
	all := bench.Gone{Texts: union(before.Texts, more.Texts), Places: map[string][]int{}}
	for _, gone := range []bench.Gone{before, more} {
		for id, places := range gone.Places {
			all.Places[id] = union(all.Places[id], places)
		}
	}
	games := maps.Clone(w.games)
	games[game] = all
	text, err := json.Marshal(games)
	if err == nil {
		err = w.file.Write(text)
	}
	if err == nil {
		w.games = games
	}
	return err
}

func union[T string | int](a, b []T) []T {
	all := slices.Concat(a, b)
	slices.Sort(all)
	return slices.Compact(all)
}

// scrub is what goes from copies by the list alone, as from a stick that was not
// there when the name was taken out.
func (w *withdrawn) scrub() mirror.Scrub {
	return mirror.Scrub{
		Beside:  func(name entry.Name) bool { return slices.Contains(w.of(name.Game).Texts, name.Commitment) },
		Inside:  func(e entry.Entry) []bool { return w.of(e.Game).In(e) },
		Instead: func(entry.Entry) (entry.Entry, bool) { return entry.Entry{}, false },
	}
}
