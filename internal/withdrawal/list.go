package withdrawal

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

// ListFile is the name of the list of what was taken out, beside the games.
const ListFile = "withdrawn.json"

// List is what was taken out. It has ids and hashes only, and outlives the games: an
// older copy brings no name back. It is safe for use by many goroutines.
type List struct {
	file privatefile.File

	mutex sync.Mutex
	games map[string]bench.Gone
}

// ReadList reads the list. What cannot be read is an error, and nothing is
// added to it then: the file stays as it is.
func ReadList(file privatefile.File) (*List, error) {
	l := &List{file: file, games: map[string]bench.Gone{}}
	saved, err := file.Read()
	if err == nil && saved != nil {
		err = json.Unmarshal(saved, &l.games)
	}
	return l, err
}

// Of returns what was taken out of a game.
func (l *List) Of(game string) bench.Gone {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.games[game]
}

// Games returns the games that something was taken out of.
func (l *List) Games() []string {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return slices.Sorted(maps.Keys(l.games))
}

// add notes what goes from a game. It returns when that is safe.
func (l *List) add(game string, more bench.Gone) error {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	before := l.games[game]
	all := bench.Gone{Texts: union(before.Texts, more.Texts), Places: map[string][]int{}}
	for _, gone := range []bench.Gone{before, more} {
		for id, places := range gone.Places {
			all.Places[id] = union(all.Places[id], places)
		}
	}
	games := maps.Clone(l.games)
	games[game] = all
	text, err := json.Marshal(games)
	if err == nil {
		err = l.file.Write(text)
	}
	if err == nil {
		l.games = games
	}
	return err
}

func union[T string | int](a, b []T) []T {
	all := slices.Concat(a, b)
	slices.Sort(all)
	return slices.Compact(all)
}

// Scrub is what goes from copies by the list alone, as from a stick that was not
// there when the name was taken out.
func (l *List) Scrub() mirror.Scrub {
	return mirror.Scrub{
		Beside:  func(name entry.Name) bool { return slices.Contains(l.Of(name.Game).Texts, name.Commitment) },
		Inside:  func(e entry.Entry) []bool { return l.Of(e.Game).In(e) },
		Instead: func(entry.Entry) (entry.Entry, bool) { return entry.Entry{}, false },
	}
}
