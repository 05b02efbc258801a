package withdrawal

import (
	"context"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/office"
	"whistlestop/internal/mirror"
	"whistlestop/internal/seats"
	"whistlestop/record/person"
)

// Kept is everything in which a bench keeps names: the games, their copies, the teams'
// lists, the devices at its seats.
type Kept struct {
	Folder string                                      // of the games
	Games  func(ctx context.Context) ([]string, error) // ids of all games
	Live   *bench.Bench
	Copies *mirror.Mirror // nil: there are none
	CopyTo []string       // folders of the copies
	Office *office.Office
	Seats  *seats.Register
	List   *List
	Ended  *Ended
	Key    func() (bench.Withdrawer, error) // with which the bench signs what it takes out
	Logger *slog.Logger

	Also  []string // backups to go through besides
	Known []string // names of files of the folder that are gone through by what is above
}

// Withdraw says where a person is named and, if that is asked for, takes the name
// out of all of it. Each game is one step; what a power cut leaves undone is found
// by doing it again.
func (k *Kept) Withdraw(ctx context.Context, name string, act bool) (found laptop.Withdrawal, err error) {
	found = laptop.Withdrawal{Games: []bench.Taken{}, Teams: []string{}, Waiting: []string{}, Left: []string{}}
	who, ok := person.Named(name)
	if !ok {
		return found, &bench.Problem{Kind: bench.Refused, Say: rules.Say{Key: "withdraw.short"}}
	}
	key, err := k.Key()
	if err != nil && act {
		k.Logger.Error("read the bench's key", "error", err)
		return found, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "web.no_key"}}
	}
	games, err := k.Games(ctx)
	if err != nil {
		return found, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "bench.unreadable"}, Cause: err}
	}
	for _, id := range games {
		var taken bench.Taken
		if act {
			taken, err = k.Live.TakeOut(ctx, id, who, key, func(gone bench.Gone) error { return k.List.add(id, gone) })
		} else {
			taken, err = k.Live.Mentions(ctx, id, who)
		}
		if err != nil {
			return found, err
		}
		if taken.Texts > 0 {
			found.Games = append(found.Games, taken)
		}
	}
	if err := k.beside(who, act, &found); err != nil {
		k.Logger.Error("take a name out of what lies beside the games", "error", err)
		return found, &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "withdraw.not_kept"}, Cause: err}
	}
	if act {
		k.copies(ctx, who, &found)
	}
	found.Done = act
	found.Left = append(found.Left, k.left(name, act)...)
	return found, nil
}

// beside looks in what is kept beside the games.
func (k *Kept) beside(who person.Person, act bool, found *laptop.Withdrawal) (err error) {
	if act {
		found.Teams, err = k.Office.Forget(who)
	} else {
		found.Teams, err = k.Office.Mentions(who)
	}
	devices, failed := k.Seats.Nameless(who.In, who.Without, act)
	found.Devices = devices
	return errors.Join(err, failed)
}

// copies has every copy gone through, and waits a moment for those that are there.
func (k *Kept) copies(ctx context.Context, who person.Person, found *laptop.Withdrawal) {
	what := mirror.Scrub{
		Beside: func(name entry.Name) bool { return who.In(name.Text) || k.List.Scrub().Beside(name) },
		Inside: func(e entry.Entry) []bool {
			places, _ := who.Places(e)
			for i, gone := range k.List.Of(e.Game).In(e) {
				places[i] = places[i] || gone
			}
			return places
		},
		Instead: func(e entry.Entry) (entry.Entry, bool) { return k.instead(ctx, e) },
	}
	found.Left = append(found.Left, k.scrubBackups(what, k.Also)...)
	if k.Copies == nil {
		return
	}
	k.Copies.Scrub(what)
	found.Waiting = k.scrubbed(ctx)
}

// instead is the line that took the place of an older one.
func (k *Kept) instead(ctx context.Context, older entry.Entry) (entry.Entry, bool) {
	ledger, err := k.Live.Ledger(ctx, older.Game)
	if err != nil || older.Seq > len(ledger) {
		return entry.Entry{}, false
	}
	here := ledger[older.Seq-1]
	hash, err := older.Hash()
	return here, err == nil && here.Was == hash
}

// left names the files of the folder in which the name still stands, as in a rink
// card that somebody wrote. Databases are looked at only after the act: before it
// the name stands there, and that is said by game.
func (k *Kept) left(name string, act bool) (files []string) {
	_ = filepath.WalkDir(k.Folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return nil // what cannot be read cannot be looked into
		}
		base := filepath.Base(path)
		if kept := strings.HasPrefix(base, "whistlestop.db") || strings.Contains(base, ".jsonl") || slices.Contains(k.Known, base); kept && !act {
			return nil
		}
		content, err := os.ReadFile(path)
		if err != nil {
			return nil
		}
		if Names(content, name) {
			files = append(files, path)
		}
		return nil
	})
	return files
}
