package pocket

import (
	"crypto/rand"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/restart"
	"whistlestop/internal/seats"
)

// Device is another device, whose questions the bench's page hands on.
type Device struct {
	Token string // of the seat that it shows; empty: none
	From  string // the way by which it came, in a word, for the bench to see
}

// here is the bench's own page.
var here = api.Caller{Here: true, Secure: true}

// caller is who asks, with the session of its seat; nil: it has none.
func (b *Bench) caller(d Device) (api.Caller, *seats.Session) {
	who := api.Caller{Token: d.Token, Address: d.From, Secure: true}
	session := b.service.Know(&who)
	if session != nil {
		b.service.Seats.Came(session, d.From)
	}
	return who, session
}

// openSeats returns the register of the seats, with those that were paired before the
// browser ended. What of it cannot be read is told to trouble, and the games go on:
// those devices have to be let in again.
func openSeats(in *papers, start restart.Found, now func() entry.Millis, trouble func(what string, err error)) *seats.Register {
	sessions, handed, formers := in.named("seats"), in.named("handed"), in.named("former seats")
	register := seats.New(seats.Config{
		Now: func() entry.Millis { return start.OwnAt(now()) }, Shown: start.Now - start.Own, Random: rand.Reader,
		Keep: sessions.Write, KeepHanded: handed.Write, KeepFormers: formers.Write,
	})
	for _, one := range []struct {
		paper
		restore func([]byte) error
	}{{sessions, register.Restore}, {formers, register.RestoreFormers}, {handed, register.RestoreHanded}} {
		saved, err := one.Read()
		if err == nil && saved != nil {
			err = one.restore(saved)
		}
		if err != nil {
			trouble(one.name, err)
		}
	}
	return register
}
