package outbox

import (
	"context"
	"encoding/json"
	"errors"
	"sync"
	"sync/atomic"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// File keeps which hub a bench is paired with, and how far it is. Read returns nothing
// where nothing was written.
type File interface {
	Read() ([]byte, error)
	Write(content []byte) error
}

// Set makes a link the hub of a file; empty: none. What the same hub has stays known.
func Set(file File, link string) error {
	var kept Kept
	if link != "" {
		at, err := ParseLink(link)
		if err != nil {
			return err
		}
		before, err := KeptIn(file)
		if err != nil {
			before = Kept{} // a file that cannot be read is written anew
		}
		old, err := ParseLink(before.Link)
		if err == nil && old.Hub == at.Hub {
			kept = before
		}
		if old != at { // another link may be for another game
			kept.Began, kept.Only, kept.Called = nil, "", ""
		}
		kept.Link = at.String()
	}
	raw, err := json.Marshal(kept)
	if err != nil {
		return err
	}
	return file.Write(raw)
}

// KeptIn reads what a file keeps.
func KeptIn(file File) (kept Kept, err error) {
	raw, err := file.Read()
	if err != nil || len(raw) == 0 {
		return Kept{}, err
	}
	return kept, json.Unmarshal(raw, &kept)
}

// Pairing is the hub that a bench sends its games to, or that there is none. It is safe
// for use by many goroutines.
type Pairing struct {
	config Config
	file   File

	change sync.Mutex // one change at a time
	mutex  sync.Mutex
	box    *Outbox // nil: none
	ends   atomic.Pointer[func(ctx context.Context, game string) error]
}

// EndNames says how the names of a game's people are taken out of this bench. Until it is
// said, they stay.
func (p *Pairing) EndNames(by func(ctx context.Context, game string) error) { p.ends.Store(&by) }

// errNotYet is that nothing can be taken out before the bench is there.
var errNotYet = errors.New("the bench is not there yet")

// Open begins to send the games to the hub of the file, where there is one. Of the
// config, Link, Kept and Keep are not used.
func Open(c Config, file File) *Pairing {
	p := &Pairing{config: c, file: file}
	if err := p.begin(); err != nil {
		c.Logger.Error("which hub the bench is paired with cannot be read; pair it again", "error", err)
	}
	return p
}

func (p *Pairing) begin() error {
	kept, err := KeptIn(p.file)
	if err != nil || kept.Link == "" {
		return err
	}
	link, err := ParseLink(kept.Link)
	if err != nil {
		return err
	}
	c := p.config
	c.Link, c.Kept, c.Keep = link, kept, p.file.Write
	c.EndNames = func(ctx context.Context, game string) error {
		if by := p.ends.Load(); by != nil {
			return (*by)(ctx, game)
		}
		return errNotYet
	}
	p.mutex.Lock()
	p.box = New(c)
	p.mutex.Unlock()
	return nil
}

// now is the outbox; nil: none.
func (p *Pairing) now() *Outbox {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.box
}

// end ends the sending to the hub of before.
func (p *Pairing) end() {
	p.mutex.Lock()
	box := p.box
	p.box = nil
	p.mutex.Unlock()
	if box != nil {
		box.Close()
	}
}

// Moved says that entries of a game are on the disk here; nil: look yourself. It never
// waits.
func (p *Pairing) Moved(game string, entries []entry.Entry) {
	if box := p.now(); box != nil {
		box.Moved(game, entries)
	}
}

// State is how the hub stands; false: there is none.
func (p *Pairing) State() (State, bool) {
	box := p.now()
	if box == nil {
		return State{}, false
	}
	return box.State(), true
}

// NamesEnd is when the names of a game's people end here; 0: they stay, as where somebody
// keeps them, or ended.
func (p *Pairing) NamesEnd(game string) (ends entry.Millis, kept, ended bool) {
	box := p.now()
	if box == nil {
		return 0, false, false
	}
	e, _ := box.Ending(game)
	if !e.Keep && !e.Ended {
		ends = e.Ends
	}
	return ends, e.Keep && !e.Ended, e.Ended
}

// KeepNames keeps the names of a game here. It reports whether they were to end.
func (p *Pairing) KeepNames(game string) bool {
	box := p.now()
	return box != nil && box.KeepNames(game)
}

// Link is how the hub is reached that the bench is paired with; false: there is none.
func (p *Pairing) Link() (Link, bool) {
	box := p.now()
	if box == nil {
		return Link{}, false
	}
	return box.Link, true
}

// Pair pairs the bench with the hub of a link, after the hub said that it knows the
// link. It returns what the hub's association is called. With an error nothing changed.
func (p *Pairing) Pair(ctx context.Context, text string) (association string, err error) {
	link, err := ParseLink(text)
	if err != nil {
		return "", err
	}
	var who struct {
		Association string `json:"association"`
	}
	h := &hub{link: link, client: p.config.Client, now: p.config.Now}
	if err := h.ask(ctx, "GET", "/v1/bench", nil, nil, &who); err != nil {
		var no *refusal
		if errors.As(err, &no) && no.Status == statusUnauthorized {
			return "", message.New("hubcopy.unknown_link", "hub", link.Hub)
		}
		return "", message.Because(err, "hubcopy.not_paired", "hub", link.Hub)
	}
	p.change.Lock()
	defer p.change.Unlock()
	p.end()
	err = Set(p.file, text)
	if failed := p.begin(); err == nil { // where nothing was written, with the one of before
		err = failed
	}
	return who.Association, err
}

// Leave pairs the bench with no hub any more. What the hub has stays there.
func (p *Pairing) Leave() error {
	p.change.Lock()
	defer p.change.Unlock()
	if err := Set(p.file, ""); err != nil {
		return err
	}
	p.end()
	return nil
}

// Close ends the sending; what was not sent is sent after the next start.
func (p *Pairing) Close() { p.end() }
