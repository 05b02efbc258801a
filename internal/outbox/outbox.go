package outbox

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"math/rand/v2"
	"slices"
	"strconv"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
)

// Times (ours). A hub that does not answer is asked again after a while that is drawn
// anew each time, so that benches which lost it together do not come back together.
const (
	waitLeast   = time.Second
	waitMost    = 60 * time.Second
	refusedWait = 5 * time.Minute  // after a no that asking again does not change
	lookEvery   = 20 * time.Second // how often it is looked for what came in by another way, and the hub hears that the bench is there
	quietAfter  = 3 * 3600_000     // milliseconds after which a game counts as no longer on
)

// Ledgers are those of the bench.
type Ledgers interface {
	Load(ctx context.Context, game string) ([]entry.Entry, error)
	Ends(ctx context.Context) (map[string]int, error) // number of the newest entry of each game
}

// Kept is what is remembered over a restart. Losing it costs a few questions.
type Kept struct {
	Link  string         `json:"link"`
	Epoch map[string]int `json:"epoch"` // under which each game was sent
	Sent  map[string]int `json:"sent"`  // entries of each game that the hub has

	Began map[string]int `json:"began"`          // entries of each game when the bench was paired: see meant
	Only  string         `json:"only,omitempty"` // the game that the link is for; empty: any, or it is not settled yet

	Ending map[string]Ending `json:"ending,omitempty"` // when names of sealed games end here

	Called string `json:"called,omitempty"` // what people call that game, once the hub said so
}

// Config is what an outbox needs.
type Config struct {
	Ledgers Ledgers
	Link    Link
	Kept    Kept
	Keep    func([]byte) error  // keeps what is remembered; nil: it is not
	Now     func() entry.Millis // the bench's time
	Logger  *slog.Logger
	Client  Client

	EndNames func(ctx context.Context, game string) error // takes the names of a game's people out; nil: they stay

	Wait func(context.Context, time.Duration) error // nil: the computer's clock
}

// State is how the hub stands, for the list of copies.
type State struct {
	Hub    string
	State  string // up_to_date, behind, failing, differs: as copies in folders
	Behind int
	Since  entry.Millis
	Say    rules.Say
}

// ready is a game that was sent whole: with what is entered next it need not be read
// again.
type ready struct {
	lines []line
	fresh []entry.Entry // on the disk here, and not among the lines yet
}

// freshMost is how many entries wait in memory; beyond that the game is read again.
const freshMost = 500

// Outbox sends the games of a bench. It is safe for use by many goroutines.
type Outbox struct {
	Config
	hub    *hub
	wake   chan struct{}
	ctx    context.Context
	cancel context.CancelFunc
	group  sync.WaitGroup

	mutex   sync.Mutex
	ends    map[string]int          // newest entry of each game here
	ready   map[string]*ready       // games that are on
	moved   map[string]entry.Millis // when a game was entered into last, since the start
	trouble map[string]rules.Say    // games that the hub does not take, and why
	shown   State
	changed bool             // since it was kept
	names   map[string]named // of the games whose names the hub wants
	first   bool             // the link is for one game, and the hub has none yet
	open    map[string]int   // games without a seal that counts, or without names, and how far they were then
	checked string           // the game that was asked about last to see whether the hub still has it
}

// New begins to send what the hub does not have.
func New(c Config) *Outbox {
	if c.Wait == nil {
		c.Wait = wait
	}
	if c.Kept.Epoch == nil {
		c.Kept.Epoch = map[string]int{}
	}
	if c.Kept.Sent == nil {
		c.Kept.Sent = map[string]int{}
	}
	if c.Kept.Ending == nil {
		c.Kept.Ending = map[string]Ending{}
	}
	c.Kept.Link = c.Link.String()
	o := &Outbox{
		Config: c, hub: &hub{link: c.Link, client: c.Client, now: c.Now}, wake: make(chan struct{}, 1),
		ends: map[string]int{}, ready: map[string]*ready{}, moved: map[string]entry.Millis{}, trouble: map[string]rules.Say{}, names: map[string]named{}, open: map[string]int{},
		changed: true,
	}
	o.show("behind", say("hubcopy.behind", "hub", o.Link.Hub, "count", "0"))
	o.ctx, o.cancel = context.WithCancel(context.Background())
	o.group.Go(o.run)
	return o
}

// wait waits so long, or until it is no longer wanted.
func wait(ctx context.Context, long time.Duration) error {
	timer := time.NewTimer(long)
	defer timer.Stop()
	select {
	case <-timer.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Moved says that entries of a game are on the disk here; nil: look yourself. It never
// waits.
func (o *Outbox) Moved(game string, entries []entry.Entry) {
	o.mutex.Lock()
	at := o.ready[game]
	switch n := len(entries); {
	case n == 0 || at != nil && len(at.fresh)+n > freshMost:
		delete(o.ready, game)
	case at != nil:
		at.fresh = append(at.fresh, entries...)
	}
	if n := len(entries); n > 0 {
		o.ends[game], o.moved[game] = entries[n-1].Seq, o.Now()
	}
	o.mutex.Unlock()
	select {
	case o.wake <- struct{}{}:
	default:
	}
}

// State returns how the hub stands.
func (o *Outbox) State() State {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	return o.shown
}

// Close ends the sending at once; what was not sent is sent after the next start.
func (o *Outbox) Close() {
	o.cancel()
	o.group.Wait()
	o.keep()
}

func say(key string, pairs ...string) rules.Say {
	return rules.Say{Key: key, Args: rules.Pairs(pairs...)}
}

// show sets what the list of copies says.
func (o *Outbox) show(state string, what rules.Say) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	behind := 0
	for game, end := range o.ends {
		if _, bad := o.trouble[game]; !bad && !o.aside(game) {
			behind += max(0, end-o.Kept.Sent[game])
		}
	}
	if what.Key == "hubcopy.behind" {
		what = say("hubcopy.behind", "hub", o.Link.Hub, "count", strconv.Itoa(behind))
	}
	if o.shown.State != state || o.shown.Say.Key != what.Key {
		o.shown.Since = o.Now()
	}
	o.shown.Hub, o.shown.State, o.shown.Behind, o.shown.Say = o.Link.Hub, state, behind, what
}

// run sends until the outbox is closed.
func (o *Outbox) run() {
	look := time.NewTicker(lookEvery)
	defer look.Stop()
	tries := 0
	for o.ctx.Err() == nil {
		err := o.sendAll()
		if o.ctx.Err() != nil {
			return
		}
		if err != nil {
			if tries++; tries == 1 {
				o.Logger.Info("the hub does not have everything yet; it is tried again", "hub", o.Link.Hub, "error", err)
			}
			if o.Wait(o.ctx, o.pause(err, tries)) != nil {
				return
			}
			continue
		}
		tries = 0
		o.settled()
		o.keep()
		select {
		case <-o.wake:
		case <-look.C:
			o.greet()
		case <-o.ctx.Done():
			return
		}
	}
}

// pause is how long to wait after an error.
func (o *Outbox) pause(err error, tries int) time.Duration {
	var no *refusal
	if errors.As(err, &no) {
		if no.Status == statusUnauthorized {
			o.show("failing", say("hubcopy.ended", "hub", o.Link.Hub))
			return refusedWait
		}
		if no.after > 0 {
			return min(no.after, refusedWait) + rand.N(waitLeast)
		}
	}
	o.show("behind", say("hubcopy.away", "hub", o.Link.Hub))
	most := waitLeast << min(tries, 6)
	return waitLeast + rand.N(min(most, waitMost)-waitLeast+1)
}

// settled says how the hub stands after everything that can be sent was.
func (o *Outbox) settled() {
	o.mutex.Lock()
	var worst *rules.Say
	for _, game := range sorted(o.trouble) {
		why := o.trouble[game]
		worst = &why
	}
	stay := 0
	for game, end := range o.ends {
		if end > 0 && o.aside(game) {
			stay++
		}
	}
	o.mutex.Unlock()
	switch {
	case worst == nil && stay > 0 && o.Kept.Only == "":
		o.show("behind", say("hubcopy.first_game", "hub", o.Link.Hub))
	case worst == nil && stay > 0:
		o.show("behind", say("hubcopy.others_stay", "hub", o.Link.Hub))
	case worst == nil:
		o.show("up_to_date", say("hubcopy.up_to_date", "hub", o.Link.Hub))
	case worst.Key == "hubcopy.forked" || worst.Key == "hubcopy.more":
		o.show("differs", *worst)
	default:
		o.show("failing", *worst)
	}
}

func sorted[T any](m map[string]T) []string {
	list := make([]string, 0, len(m))
	for one := range m {
		list = append(list, one)
	}
	slices.Sort(list)
	return list
}

// sendAll sends every game of which the hub does not have everything.
func (o *Outbox) sendAll() error {
	ends, err := o.Ledgers.Ends(o.ctx)
	if err != nil {
		return err
	}
	o.mutex.Lock()
	begun := o.begin(ends)
	var due []string
	for _, game := range sorted(ends) {
		o.ends[game] = ends[game]
		if _, bad := o.trouble[game]; ends[game] > 0 && ends[game] != o.Kept.Sent[game] && (!bad || o.moved[game] > 0) {
			due = append(due, game)
		}
	}
	// The games that are on come first; a season that was never sent comes behind them.
	slices.SortStableFunc(due, func(a, b string) int { return int(o.moved[b] - o.moved[a]) })
	o.mutex.Unlock()
	if begun {
		o.keep() // a hub that is away would be without it after a restart
	}
	for _, game := range due {
		if o.stays(game) {
			continue
		}
		o.show("behind", say("hubcopy.behind", "hub", o.Link.Hub, "count", "0"))
		if err := o.sendGame(game); err != nil {
			return err
		}
	}
	return nil
}

// sendGame sends one game. What is wrong with that game alone is kept for the list and
// holds up no other.
func (o *Outbox) sendGame(game string) error {
	s, bad := o.sender(game)
	if bad != nil {
		o.bad(game, *bad)
		return nil
	}
	done, err := s.send(o.ctx)
	var no *refusal
	switch {
	case done.kept:
		o.bound("", "")
		return nil
	case errors.As(err, &no) && no.kind() == otherGame && no.Game != "":
		o.bound(no.Game, cmp.Or(no.Called, no.Game))
		o.stays(game)
		return nil
	case done.head.OneGame == thisGame:
		o.bound(game, "")
	}
	o.took(game, s, done, err == nil && !done.forked && !done.more)
	switch {
	case errors.Is(err, ErrFenced):
		o.bad(game, say("hubcopy.fenced", "hub", o.Link.Hub, "game", game))
	case errors.As(err, &no) && (no.Status == statusUnread || no.Status == statusTooLarge):
		o.bad(game, say("hubcopy.refused", "hub", o.Link.Hub, "game", game, "why", no.Detail))
	case err != nil:
		return err
	case done.forked:
		o.bad(game, say("hubcopy.forked", "hub", o.Link.Hub, "game", game))
	case done.more:
		o.bad(game, say("hubcopy.more", "hub", o.Link.Hub, "game", game))
	default:
		return o.sendNames(game, done.head)
	}
	return nil
}

// sender makes a game ready to be sent: from what was sent before and what was entered
// since, or else from the ledger.
func (o *Outbox) sender(game string) (*sender, *rules.Say) {
	o.mutex.Lock()
	s := &sender{hub: o.hub, game: game, epoch: o.Kept.Epoch[game], meant: o.meant(game)}
	at := o.ready[game]
	delete(o.ready, game)
	o.mutex.Unlock()
	if at != nil && len(at.fresh) > 0 && at.fresh[0].Seq == len(at.lines)+1 {
		if more, err := linesOf(at.fresh); err == nil {
			s.known, s.lines = len(at.lines), append(at.lines, more...)
			return s, nil
		}
	}
	ledger, err := o.Ledgers.Load(o.ctx, game)
	if err != nil {
		why := say("hubcopy.unread", "hub", o.Link.Hub, "game", game, "why", message.Inside(err))
		return nil, &why
	}
	if s.lines, err = linesOf(ledger); err != nil {
		why := say("hubcopy.refused", "hub", o.Link.Hub, "game", game, "why", message.Inside(err))
		return nil, &why
	}
	return s, nil
}

// took notes how far the hub is. Whole says that it ends where the ledger does.
func (o *Outbox) took(game string, s *sender, done outcome, whole bool) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if done.epoch > 0 && done.epoch != o.Kept.Epoch[game] {
		o.Kept.Epoch[game], o.changed = done.epoch, true
	}
	if done.sent != o.Kept.Sent[game] {
		o.Kept.Sent[game], o.changed = done.sent, true
	}
	delete(o.trouble, game)
	if whole && o.moved[game] > 0 {
		o.ready[game] = &ready{lines: s.lines}
	}
}

func (o *Outbox) bad(game string, why rules.Say) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if o.trouble[game].Key != why.Key {
		o.Logger.Warn("the hub and this bench differ about a game", "game", game, "why", why.Key)
	}
	o.trouble[game] = why
	delete(o.moved, game)
}

// keep keeps what is remembered.
func (o *Outbox) keep() {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if !o.changed || o.Keep == nil {
		return
	}
	raw, err := json.Marshal(o.Kept)
	if err == nil {
		err = o.Keep(raw)
	}
	if err != nil {
		o.Logger.Warn("what the hub has was not written down; it is asked again after the next start", "error", err)
		return
	}
	o.changed = false
}
