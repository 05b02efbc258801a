package rooms

import (
	"context"
	"errors"
	"strings"

	"whistlestop/game/entry"
)

// Opened is a room as its bench has it. Close it.
type Opened struct {
	*end
	room string

	// of the mutex of end
	phones map[string]bool
	codes  map[string]codeOf
	heard  entry.Millis // when a phone was there last
}

type codeOf struct {
	until entry.Millis
	stop  func() // nil: it is not answered to yet
}

// Open opens the room of a bench. One that it had open before, here or at another
// process, is over.
func (r *Rooms) Open(ctx context.Context, b Bench, salt string) (*Opened, error) {
	room, err := b.Room(salt)
	if err != nil {
		return nil, err
	}
	if _, err := r.ask(ctx, b.address(), question{Do: "end"}); err != nil && !errors.Is(err, ErrNobody) {
		return nil, err
	}
	e, err := r.newEnd(b, Count{Benches: 1})
	if err != nil {
		return nil, err
	}
	o := &Opened{end: e, room: room, phones: map[string]bool{}, codes: map[string]codeOf{}, heard: r.Now()}
	stop, err := r.answer(b.address(), o.do, "")
	if err != nil {
		e.finish(Left)
		return nil, err
	}
	e.mutex.Lock()
	e.stop = stop
	e.mutex.Unlock()
	return o, nil
}

// Room is the name that opens the room for phones.
func (o *Opened) Room() string { return o.room }

// do is what another process wants of the room.
func (o *Opened) do(q question) error {
	switch {
	case q.Do == "end": // asked by the bench itself, from wherever
		go o.close(Replaced) // it stops answering, which waits until this is answered
		return nil
	case q.Do == "code":
		return o.name(q.Code, q.Until)
	case !same(o.room, q.Room):
		return ErrNobody
	}
	switch q.Do {
	case "enter":
		return o.enter(q.Phone)
	case "leave":
		if o.drop(q.Phone) {
			return o.put(Event{Kind: "gone", Phone: q.Phone})
		}
	case "texts":
		o.mutex.Lock()
		there := o.phones[q.Phone]
		o.heard = o.of.Now()
		o.mutex.Unlock()
		if there {
			return o.put(Event{Kind: "texts", Phone: q.Phone, Texts: q.Texts})
		}
	}
	return ErrNobody
}

func (o *Opened) enter(phone string) error {
	o.mutex.Lock()
	over, full := o.over != "", len(o.phones) >= PhonesMost
	if !over && !full {
		o.phones[phone], o.heard = true, o.of.Now()
	}
	o.mutex.Unlock()
	switch {
	case over:
		return ErrNobody
	case full:
		return ErrFull
	}
	return o.put(Event{Kind: "here", Phone: phone})
}

// drop forgets a phone and reports whether it was there.
func (o *Opened) drop(phone string) bool {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	was := o.phones[phone]
	delete(o.phones, phone)
	return was
}

// Still ends the room where no phone was there for long, and forgets codes that are
// over. Phones that are gone without a word, because their process ended, are found by
// asking. To be called now and then.
func (o *Opened) Still(ctx context.Context) {
	o.mutex.Lock()
	now := o.of.Now()
	var over []func()
	for code, one := range o.codes {
		if one.until <= now {
			if one.stop != nil {
				over = append(over, one.stop)
			}
			delete(o.codes, code)
		}
	}
	phones := make([]string, 0, len(o.phones))
	for phone := range o.phones {
		phones = append(phones, phone)
	}
	idle := len(phones) == 0 && now-o.heard >= IdleLasts
	o.mutex.Unlock()
	for _, stop := range over {
		stop()
	}
	if idle {
		o.close(Idle)
	}
	for _, phone := range phones {
		_, err := o.of.ask(ctx, phoneAddress(phone), question{Do: "still", Room: o.bench.address()})
		if errors.Is(err, ErrNobody) && o.drop(phone) {
			_ = o.put(Event{Kind: "gone", Phone: phone}) // an end that takes no more hears nothing else either
		}
	}
}

// Close ends the room. Its phones are told.
func (o *Opened) Close() { o.close(Left) }

func (o *Opened) close(why string) {
	if !o.finish(why) {
		return
	}
	o.mutex.Lock()
	phones, codes := o.phones, o.codes
	o.phones, o.codes = nil, nil
	o.mutex.Unlock()
	for _, one := range codes {
		if one.stop != nil {
			one.stop()
		}
	}
	for phone := range phones {
		// Who cannot be told finds out when it says something.
		_, _ = o.of.ask(context.Background(), phoneAddress(phone), question{Do: "cut", Room: o.bench.address()})
	}
}

// codeSigns are the letters of which a code has eight: the twenty that make no words and
// look like no digits, as a bench makes its invites' codes.
const (
	codeSigns   = "BCDFGHJKLMNPQRSTVWXZ"
	codeLetters = 8
)

// ReadCode is a code as it is compared, however it was typed; false: it is none.
func ReadCode(typed string) (string, bool) {
	code := strings.ToUpper(strings.NewReplacer("-", "", " ", "").Replace(typed))
	return code, len(code) == codeLetters && strings.Trim(code, codeSigns) == ""
}

func codeAddress(code string) string { return "code " + code }

// Name lets a code lead to the room that a bench has open, until an instant.
func (r *Rooms) Name(ctx context.Context, b Bench, typed string, until entry.Millis) error {
	code, is := ReadCode(typed)
	if !is {
		return ErrBad
	}
	// One that leads to another room stays with it.
	room, err := r.Find(ctx, code)
	if other, _ := BenchOf(room); err == nil && other != b {
		return ErrFull
	}
	if err != nil && !errors.Is(err, ErrNobody) {
		return err
	}
	_, err = r.ask(ctx, b.address(), question{Do: "code", Code: code, Until: min(until, r.Now()+CodeLasts)})
	return err
}

// name answers to a code from now on.
func (o *Opened) name(code string, until entry.Millis) error {
	o.mutex.Lock()
	known, again := o.codes[code]
	over, full := o.over != "", !again && len(o.codes) >= codesMost
	if !over && !full {
		known.until = until
		o.codes[code] = known
	}
	o.mutex.Unlock()
	switch {
	case over:
		return ErrNobody
	case full:
		return ErrFull
	case again:
		return nil
	}
	stop, err := o.of.answer(codeAddress(code), func(question) error {
		o.mutex.Lock()
		defer o.mutex.Unlock()
		if o.of.Now() >= o.codes[code].until {
			return ErrNobody
		}
		return nil
	}, o.room)
	o.mutex.Lock()
	defer o.mutex.Unlock()
	switch {
	case err != nil:
		delete(o.codes, code)
	case o.over != "":
		go stop() // beside the lock that an answer may wait for
		err = ErrNobody
	default:
		o.codes[code] = codeOf{until, stop}
	}
	return err
}

// Find returns the room that a code leads to.
func (r *Rooms) Find(ctx context.Context, typed string) (room string, err error) {
	code, is := ReadCode(typed)
	if !is {
		return "", ErrNobody
	}
	got, err := r.ask(ctx, codeAddress(code), question{Do: "find"})
	return got.Room, err
}
