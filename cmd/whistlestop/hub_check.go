package main

import (
	"context"
	"errors"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// checkEvery is how often a hub follows the chain of every game, and checkAfter how long
// after its start it does so for the first time, when benches have come back (ours).
const (
	checkEvery = 24 * time.Hour
	checkAfter = time.Minute
)

// chainsFollowed is what came of following every chain.
type chainsFollowed struct {
	mutex      sync.Mutex
	at         entry.Millis // when it ended; 0: never
	games, bad int
}

// last is what came of it the last time.
func (c *chainsFollowed) last() (at entry.Millis, games, bad int) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return c.at, c.games, c.bad
}

// whole reports whether the chain of a game can be followed from its first line to its
// head, and how many lines there are. It goes around lines out of which the hub took names:
// those must be the copies that it put there.
func (p *Program) whole(ctx context.Context, at ledgers.Where, head ledgers.Head) (bool, int, error) {
	lines, err := p.hub.store.Lines(ctx, at, 0, head.Seq)
	if err != nil {
		return false, 0, err
	}
	if len(lines) != head.Seq || head.Seq == 0 || lines[len(lines)-1].Hash != head.Hash {
		return false, len(lines), nil
	}
	if _, err = ledgers.Entries(lines); err != nil {
		return false, len(lines), nil
	}
	older, err := p.hub.store.OlderLines(ctx, at)
	if err != nil {
		return false, len(lines), err
	}
	_, err = ledgers.Without(lines, older)
	return err == nil, len(lines), nil
}

// followAll follows the chain of every game of every association, with as long a rest after
// each as it took, and notes how many do not hold.
func (p *Program) followAll(ctx context.Context) error {
	all, err := p.hub.store.Associations(ctx)
	if err != nil {
		return err
	}
	games, bad := 0, 0
	for _, a := range all {
		list, err := p.hub.store.Games(ctx, a.ID)
		if err != nil {
			return err
		}
		for _, g := range list {
			began := time.Now()
			at := ledgers.Where{Association: a.ID, Game: g.ID}
			holds, _, err := p.whole(ctx, at, g.Head)
			if err == nil && !holds { // others may have been put in the places of some meanwhile
				var head ledgers.Head
				if head, err = p.hub.store.Head(ctx, at); err == nil {
					holds, _, err = p.whole(ctx, at, head)
				}
			}
			if err != nil {
				return err
			}
			if games++; !holds {
				bad++
				p.logger.Error("the chain of a game does not hold: a line is missing or is not the one that was written", "association", a.ID, "game", g.ID)
			}
			select {
			case <-ctx.Done():
				return ctx.Err()
			case <-time.After(time.Since(began)):
			}
		}
	}
	p.hub.followed.mutex.Lock()
	defer p.hub.followed.mutex.Unlock()
	p.hub.followed.at, p.hub.followed.games, p.hub.followed.bad = office.Now(), games, bad
	return nil
}

// keepChecking follows all chains a while after the start and once a day, until the hub
// closes. It returns at once.
func (p *Program) keepChecking(ctx context.Context) {
	p.hub.house.Go(func() {
		for wait := checkAfter; ; wait = checkEvery {
			select {
			case <-ctx.Done():
				return
			case <-time.After(wait):
			}
			if err := p.followAll(ctx); err != nil && !errors.Is(err, context.Canceled) {
				p.logger.Error("not every game was looked at; it is done again tomorrow", "error", err)
			}
		}
	})
}
