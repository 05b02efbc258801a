package bench

import (
	"context"
	"encoding/json"

	"whistlestop/game/entry"
)

// Index keeps what the list shows of each game beside the ledgers. What it gives
// back is of games that are as they were when it was kept.
type Index interface {
	Titles(ctx context.Context) (map[string][]byte, error)
	KeepTitle(ctx context.Context, game string, entries int, title []byte) error
}

// MindIndex makes the bench keep and use an index for the list of games. It must
// be called before anything else.
func (b *Bench) MindIndex(i Index) { b.index = i }

// indexed is a title as the index has it.
type indexed struct {
	Title
	Newest entry.Millis `json:"newest_ms"`
}

// readIndex takes the titles of the index, once. Games that are in memory or whose
// title is known have a newer one.
func (b *Bench) readIndex(ctx context.Context) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.index == nil || b.indexRead {
		return
	}
	kept, err := b.index.Titles(ctx)
	if err != nil {
		b.logger.Warn("the index of the games cannot be read; they are read one by one", "error", err)
		return
	}
	b.indexRead = true
	for id, text := range kept {
		var one indexed
		if err := json.Unmarshal(text, &one); err != nil || one.ID != id {
			continue // it is made anew
		}
		if b.games[id] == nil && b.titles[id].ID == "" {
			one.newest = one.Newest
			b.titles[id] = one.Title
		}
	}
}

// keepIndexed keeps the title of a game with so many entries in the index. When
// that fails the game is read for the next list.
func (b *Bench) keepIndexed(title Title, entries int) {
	if b.index == nil {
		return
	}
	text, err := json.Marshal(indexed{title, title.newest})
	if err == nil {
		err = b.index.KeepTitle(context.Background(), title.ID, entries, text)
	}
	if err != nil {
		b.logger.Warn("keep what the list shows of a game", "game", title.ID, "error", err)
	}
}

// Changed says that a ledger was changed behind the bench, before the bench read
// it: what the list shows of it is not known any more.
func (b *Bench) Changed(id string) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	delete(b.titles, id)
}
