package rooms

import (
	"context"
	"crypto/subtle"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"strings"
	"sync"
	"sync/atomic"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/bus"
)

// What a room may take (ours): eight phones are every seat of a game twice over.
const (
	PhonesMost = 8
	TextsMost  = 256 << 10 // bytes of texts that are said at once
	waitMost   = 4 << 20   // bytes that wait for one end; a game's state for a phone is a tenth of it at most
	allMost    = 256 << 20 // bytes that wait in all of the process
	secondMost = 512 << 10 // bytes a second that come to one end, in the long run
	codesMost  = 24        // codes of one room, as many as a bench has invites
	endsMost   = 8000      // ends in all of the process: benches and phones
)

// CodeLasts is the longest time in which a code leads to a room, in milliseconds: as an
// invite of a bench lasts. IdleLasts is how long a room is there without a phone (ours).
const (
	CodeLasts = entry.Millis(10 * 60_000)
	IdleLasts = entry.Millis(12 * 3600_000)
)

var (
	// ErrNobody is what is said of a room without a bench, a phone that left, and a code
	// that leads nowhere. All that is wrong looks alike.
	ErrNobody = errors.New("nobody is there")
	// ErrFull is what is said where more is wanted than a room, an end or the process takes.
	ErrFull = errors.New("there is too much of it")
	// ErrBad is what is said of a salt or a code that has not the form of one.
	ErrBad = errors.New("it has not the form that is wanted")
)

// Config is what rooms need of the world.
type Config struct {
	Asker  bus.Asker
	Now    func() entry.Millis
	Random io.Reader
}

// Rooms are those of a hub, as this process reaches them. They are safe for use by many
// goroutines.
type Rooms struct {
	Config
	waiting atomic.Int64 // bytes, of all ends here
	ends    atomic.Int64

	mutex sync.Mutex
	here  map[string]Count // by association
}

// Count is how many have an end of a room at this process.
type Count struct{ Benches, Phones int }

// Count is that of an association.
func (r *Rooms) Count(association string) Count {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	return r.here[association]
}

// All is that of all associations.
func (r *Rooms) All() (all Count) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	for _, one := range r.here {
		all.Benches += one.Benches
		all.Phones += one.Phones
	}
	return all
}

// count counts ends in, or out.
func (r *Rooms) count(association string, benches, phones int) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	if r.here == nil {
		r.here = map[string]Count{}
	}
	one := r.here[association]
	if one = (Count{one.Benches + benches, one.Phones + phones}); one == (Count{}) {
		delete(r.here, association)
	} else {
		r.here[association] = one
	}
}

// New returns the rooms of a hub.
func New(c Config) *Rooms { return &Rooms{Config: c} }

// Bench is a bench that is paired with the hub.
type Bench struct{ Association, ID string }

func (b Bench) address() string { return "bench " + b.Association + " " + b.ID }

// saltLetters is how many letters a salt has: 144 bits, which nobody guesses.
const saltLetters = 24

// Room is the name of a bench's room, which opens it for phones. The bench gives the
// salt, so that it finds the same room again at another process and after a restart.
func (b Bench) Room(salt string) (string, error) {
	if len(salt) != saltLetters || strings.Trim(salt, saltSigns) != "" {
		return "", ErrBad
	}
	return b.Association + "." + b.ID + "-" + salt, nil
}

const saltSigns = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-"

// BenchOf is the bench whose room has a name.
func BenchOf(room string) (Bench, bool) {
	association, rest, _ := strings.Cut(room, ".")
	id, salt, _ := strings.Cut(rest, "-")
	b := Bench{association, id}
	again, err := b.Room(salt)
	return b, err == nil && again == room && association != "" && id != ""
}

// question is what one process asks another.
type question struct {
	Do    string       `json:"do"`             // enter, leave, texts, cut, still, end, code, find
	Room  string       `json:"room,omitempty"` // by which a phone comes; of a bench its address
	Phone string       `json:"phone,omitempty"`
	Texts []string     `json:"texts,omitempty"`
	Code  string       `json:"code,omitempty"`
	Until entry.Millis `json:"until,omitempty"`
}

type reply struct {
	No   string `json:"no,omitempty"` // nobody, full
	Room string `json:"room,omitempty"`
}

func (r *Rooms) ask(ctx context.Context, address string, q question) (reply, error) {
	raw, err := json.Marshal(q)
	if err != nil {
		return reply{}, err
	}
	raw, err = r.Asker.Ask(ctx, address, raw)
	if errors.Is(err, bus.ErrNobody) {
		return reply{}, ErrNobody
	}
	var got reply
	if err == nil {
		err = json.Unmarshal(raw, &got)
	}
	switch {
	case err != nil:
		return reply{}, err
	case got.No == "full":
		return got, ErrFull
	case got.No != "":
		return got, ErrNobody
	}
	return got, nil
}

// answer answers at an address by a function; a question that cannot be read by nobody.
func (r *Rooms) answer(address string, do func(question) error, room string) (stop func(), err error) {
	return r.Asker.Answer(address, func(raw []byte) []byte {
		var q question
		err := json.Unmarshal(raw, &q)
		if err == nil {
			err = do(q)
		}
		said := reply{Room: room}
		switch {
		case errors.Is(err, ErrFull):
			said = reply{No: "full"}
		case err != nil:
			said = reply{No: "nobody"}
		}
		raw, err = json.Marshal(said)
		if err != nil {
			panic(err) // strings can always be written
		}
		return raw
	})
}

// same compares what a secret is with what was shown, in a time that tells nothing.
func same(is, shown string) bool { return subtle.ConstantTimeCompare([]byte(is), []byte(shown)) == 1 }

func (r *Rooms) name() (string, error) {
	raw := make([]byte, 16)
	_, err := io.ReadFull(r.Random, raw)
	return hex.EncodeToString(raw), err
}

// size is how many bytes texts have.
func size(texts []string) (bytes int) {
	for _, one := range texts {
		bytes += len(one)
	}
	return bytes
}

// Say says texts of a phone to the bench of its room.
func (r *Rooms) Say(ctx context.Context, room, phone string, texts []string) error {
	b, is := BenchOf(room)
	if !is {
		return ErrNobody
	}
	if size(texts) > TextsMost {
		return ErrFull
	}
	_, err := r.ask(ctx, b.address(), question{Do: "texts", Room: room, Phone: phone, Texts: texts})
	return err
}

// Tell says texts of a bench to a phone in its room; without texts it sends the phone
// away.
func (r *Rooms) Tell(ctx context.Context, b Bench, phone string, texts []string) error {
	if size(texts) > TextsMost {
		return ErrFull
	}
	q := question{Do: "texts", Room: b.address(), Phone: phone, Texts: texts}
	if len(texts) == 0 {
		q.Do = "cut"
	}
	_, err := r.ask(ctx, phoneAddress(phone), q)
	return err
}

func phoneAddress(phone string) string { return "phone " + phone }
