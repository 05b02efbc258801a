package withdrawal

import (
	"context"
	"encoding/json"
	"slices"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/mirror"
)

// EndedFile is the name of the list of games whose names ended on all copies, beside
// the games.
const EndedFile = "names-ended.json"

// Ended is the games whose names no copy has any more. It is safe for use by
// many goroutines.
type Ended struct {
	file privatefile.File

	mutex sync.Mutex
	games []string
}

// ReadEnded reads the list of games. What cannot be read is an error.
func ReadEnded(file privatefile.File) (*Ended, error) {
	n := &Ended{file: file}
	saved, err := file.Read()
	if err == nil && saved != nil {
		err = json.Unmarshal(saved, &n.games)
	}
	return n, err
}

// Has says whether a game's names ended on all copies.
func (n *Ended) Has(game string) bool {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	return slices.Contains(n.games, game)
}

// Some says whether any game's did.
func (n *Ended) Some() bool {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	return len(n.games) > 0
}

// add notes games. It returns when that is safe.
func (n *Ended) add(games []string) error {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	all := union(n.games, games)
	text, err := json.Marshal(all)
	if err == nil {
		err = n.file.Write(text)
	}
	if err == nil {
		n.games = all
	}
	return err
}

// Scrub is what goes from copies by the list.
func (n *Ended) Scrub() mirror.Scrub {
	return mirror.Scrub{
		Beside:  func(name entry.Name) bool { return n.Has(name.Game) },
		Inside:  func(entry.Entry) []bool { return nil },
		Instead: func(entry.Entry) (entry.Entry, bool) { return entry.Entry{}, false },
	}
}

// phones takes the seats of games that are over away: a phone whose seat was taken
// away deletes its copy when it hears so.
func (k *Kept) phones(ctx context.Context, games []string, act bool, told *laptop.NamesEnded) error {
	for _, game := range games {
		sessions := k.Seats.List(game).Sessions
		if len(sessions) == 0 {
			continue
		}
		update, err := k.Live.State(ctx, game)
		if err != nil || update.State.Stage.Kind != entry.Over && !update.State.Book.Sealed {
			told.Kept += len(sessions)
			continue
		}
		for _, one := range sessions {
			if act {
				if err := k.Seats.Revoke(game, one.ID); err != nil {
					return err
				}
			}
			told.Phones++
		}
	}
	return nil
}

// EndNames takes the names of people out of every copy; the bench keeps them. It says
// what it reached and what not.
func (k *Kept) EndNames(ctx context.Context, act bool) (laptop.NamesEnded, error) {
	told := laptop.NamesEnded{Reached: []string{}, Waiting: []string{}, Failed: []string{}, Done: act}
	games, err := k.Games(ctx)
	if err != nil {
		return told, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "bench.unreadable"}, Cause: err}
	}
	told.Games = len(games)
	if act {
		if err := k.Ended.add(games); err != nil {
			k.Logger.Error("note that names end on copies", "error", err)
			return told, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "copies_end.not_kept"}, Cause: err}
		}
		told.Failed = k.scrubBackups(k.Ended.Scrub(), k.Also)
		for _, path := range k.Also {
			if !slices.Contains(told.Failed, path) {
				told.Reached = append(told.Reached, path)
			}
		}
		if k.Copies != nil {
			k.Copies.Scrub(k.Ended.Scrub())
		}
	}
	if err := k.phones(ctx, games, act, &told); err != nil {
		k.Logger.Error("take seats away", "error", err)
		return told, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "web.seats_not_kept"}, Cause: err}
	}
	if k.Copies == nil {
		return told, nil
	}
	told.Waiting = k.scrubbed(ctx)
	for _, folder := range k.CopyTo {
		if !slices.Contains(told.Waiting, folder) {
			told.Reached = append(told.Reached, folder)
		}
	}
	return told, nil
}
