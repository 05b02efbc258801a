package outbox

import (
	"context"
	"errors"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// outcome is how sending a game ended.
type outcome struct {
	sent   int  // entries that the hub has of this ledger
	epoch  int  // under which they were sent
	forked bool // the hub has another bench's lines in the places of some; both are kept
	more   bool // the hub has entries that this bench does not have
	head   head // what the hub said last
	kept   bool // the link is for one game, which is to be another one: nothing was sent
}

// ErrFenced is that the game was handed over to another bench.
var ErrFenced = errors.New("the game was handed over to another bench")

// line is one as it goes to the hub.
type line struct {
	hash  string
	raw   []byte
	older []byte // as it stands here, where that has texts about people inside
}

// linesOf are the lines of a ledger as they go out: without names.
func linesOf(ledger []entry.Entry) ([]line, error) {
	lines := make([]line, len(ledger))
	for i, e := range ledger {
		out, err := entry.WithoutTexts(e)
		if err != nil {
			return nil, err
		}
		if e.Inside() {
			if lines[i].older, err = e.MarshalJSON(); err != nil {
				return nil, err
			}
		}
		if lines[i].hash, err = out.Hash(); err != nil {
			return nil, err
		}
		if lines[i].raw, err = out.MarshalJSON(); err != nil {
			return nil, err
		}
		if max(len(lines[i].raw), len(lines[i].older)) >= bytesMost {
			return nil, message.New("hubcopy.line_too_long", "number", e.Seq)
		}
	}
	return lines, nil
}

// sender sends one ledger.
type sender struct {
	*hub
	game  string
	lines []line
	epoch int // under which it was sent before; 0: never
	known int // entries that the hub is known to have at its end, so that it need not be asked; 0: ask

	meant bool // it may be the one game of a link for one
	older bool // the hub takes lines of version 1 as they are, and takes the names out itself
}

// send brings the hub up to the ledger and says how far it is. It may be called again
// after any error.
func (s *sender) send(ctx context.Context) (outcome, error) {
	o := outcome{epoch: s.epoch, sent: s.known}
	if s.known > 0 && s.epoch > 0 {
		err := s.rest(ctx, &o)
		return o, err
	}
	at, err := s.head(ctx, s.game)
	if err != nil {
		return outcome{}, err
	}
	o.head, s.older = at, at.Older
	switch {
	case at.OneGame == firstGame && !s.meant:
		o.kept = true
		return o, nil
	case o.epoch == 0:
		o.epoch = at.Epoch
	case at.Epoch > o.epoch:
		return o, ErrFenced
	}
	if o.sent, err = s.common(ctx, at); err != nil {
		return o, err
	}
	if o.sent == len(s.lines) {
		o.more = at.Seq > o.sent
		return o, nil
	}
	o.forked = o.sent < at.Seq
	err = s.rest(ctx, &o)
	return o, err
}

// rest sends what the hub does not have.
func (s *sender) rest(ctx context.Context, o *outcome) error {
	for o.sent < len(s.lines) {
		if err := s.batch(ctx, o); err != nil {
			return err
		}
	}
	return nil
}

// batch sends some lines.
func (s *sender) batch(ctx context.Context, o *outcome) error {
	var raw []byte
	count, inside := 0, false
	for _, one := range s.lines[o.sent:] {
		out := one.raw
		if s.older && one.older != nil {
			out = one.older
		}
		if count == linesMost || len(raw)+len(out)+1 > bytesMost {
			break
		}
		raw = append(append(raw, out...), '\n')
		inside = inside || s.older && one.older != nil
		count++
	}
	at, err := s.hub.send(ctx, s.game, o.epoch, raw)
	var no *refusal
	switch {
	case err == nil:
		o.head = at
		o.sent += count
		o.epoch = max(o.epoch, at.Epoch)
		return nil
	case !errors.As(err, &no):
		return err
	}
	switch kind := no.kind(); {
	case inside && no.Status == statusUnread:
		s.older = false // the association decided otherwise meanwhile: they go without names
		return nil
	case kind == "gap":
		if no.Want < 1 || no.Want > o.sent {
			return err // it wants what was sent just now
		}
		o.sent = no.Want - 1
		return nil
	case kind == "fork":
		o.forked = true
		if no.Kept > o.sent {
			o.sent = min(no.Kept, len(s.lines))
			return nil
		}
		before := o.sent
		if o.sent, err = s.commonUpTo(ctx, min(no.Seq, before)); err == nil && o.sent >= before {
			err = no
		}
		return err
	case kind == "fenced":
		return ErrFenced
	}
	return err
}

// common is how many lines from the first on the hub has as they are here.
func (s *sender) common(ctx context.Context, at head) (int, error) {
	if at.Seq <= len(s.lines) && (at.Seq == 0 || s.lines[at.Seq-1].hash == at.Hash) {
		return at.Seq, nil
	}
	return s.commonUpTo(ctx, min(at.Seq, len(s.lines)))
}

// commonUpTo finds where two ledgers part by asking at halving places: each line holds
// all before it, so what is the same at a place is the same up to there.
func (s *sender) commonUpTo(ctx context.Context, most int) (int, error) {
	same, other := 0, most+1
	for same+1 < other {
		at := (same + other) / 2
		hash, err := s.hashAt(ctx, s.game, at)
		if err != nil {
			return 0, err
		}
		if hash == s.lines[at-1].hash {
			same = at
		} else {
			other = at
		}
	}
	return same, nil
}

// Done is how sending one ledger ended.
type Done struct {
	Sent   int  // entries that the hub has of it
	Epoch  int  // under which it was sent: the next time it is sent under the same
	Forked bool // it has another bench's in the places of some; both are kept
}

// SendOnce sends one ledger, under the epoch of before; 0: it was never sent. What was
// done is said also with an error.
func SendOnce(
	ctx context.Context, link Link, client Client, now func() entry.Millis, epoch int, ledger []entry.Entry,
) (Done, error) {
	lines, err := linesOf(ledger)
	if err != nil {
		return Done{Epoch: epoch}, err
	}
	s := &sender{hub: &hub{link: link, client: client, now: now}, game: ledger[0].Game, lines: lines, epoch: epoch, meant: true}
	o, err := s.send(ctx)
	return Done{Sent: o.sent, Epoch: o.epoch, Forked: o.forked}, err
}
