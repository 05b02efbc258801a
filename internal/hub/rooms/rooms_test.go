package rooms_test

import (
	"context"
	"crypto/rand"
	"errors"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/rooms"
)

const salt = "abcdefghijklmnopqrstuvwx"

var saltworks = rooms.Bench{Association: "harbour", ID: "b1"}

// hub is two processes of a hub over one bus.
type hub struct {
	here, there *rooms.Rooms
	at          atomic.Int64
}

func newHub() *hub {
	h, between := &hub{}, bus.NewMemory()
	h.at.Store(1_000_000)
	c := rooms.Config{Asker: between, Now: func() entry.Millis { return entry.Millis(h.at.Load()) }, Random: rand.Reader}
	h.here, h.there = rooms.New(c), rooms.New(c)
	return h
}

func open(t *testing.T, at *rooms.Rooms, b rooms.Bench) *rooms.Opened {
	t.Helper()
	room, err := at.Open(t.Context(), b, salt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(room.Close)
	return room
}

func enter(t *testing.T, at *rooms.Rooms, room string) *rooms.Phone {
	t.Helper()
	phone, err := at.Enter(t.Context(), room)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(phone.Close)
	return phone
}

// said is what an end hears of kinds and texts.
func said(events []rooms.Event) (all []string) {
	for _, e := range events {
		all = append(all, e.Kind+" "+strings.Join(e.Texts, ","))
	}
	return all
}

func over(t *testing.T, done <-chan struct{}) {
	t.Helper()
	select {
	case <-done:
	case <-time.After(time.Minute):
		t.Fatal("it is not over")
	}
}

func TestWhatIsSaidComesWholeAndInOrder(t *testing.T) {
	h := newHub()
	room := open(t, h.here, saltworks)
	one, two := enter(t, h.there, room.Room()), enter(t, h.here, room.Room())
	ctx := t.Context()
	for _, texts := range [][]string{{"a", "b"}, {"c"}} {
		if err := errors.Join(h.there.Say(ctx, room.Room(), one.ID(), texts), h.there.Tell(ctx, saltworks, two.ID(), texts)); err != nil {
			t.Fatal(err)
		}
	}
	if got := said(room.Take()); !slices.Equal(got, []string{"here ", "here ", "texts a,b", "texts c"}) {
		t.Errorf("the bench heard %q", got)
	}
	if got := said(two.Take()); !slices.Equal(got, []string{"texts a,b", "texts c"}) {
		t.Errorf("the phone heard %q", got)
	}
	if got := one.Take(); len(got) != 0 {
		t.Errorf("the other phone heard %v", got)
	}
	one.Close()
	if got := room.Take(); len(got) != 1 || got[0].Kind != "gone" || got[0].Phone != one.ID() {
		t.Errorf("of a phone that left the bench heard %v", got)
	}
	if err := h.here.Tell(ctx, saltworks, one.ID(), []string{"x"}); !errors.Is(err, rooms.ErrNobody) {
		t.Errorf("a phone that left: %v", err)
	}
	room.Close()
	over(t, two.Done())
	if _, err := h.here.Enter(ctx, room.Room()); !errors.Is(err, rooms.ErrNobody) || two.Why() != rooms.Away {
		t.Errorf("a room that was closed: %v, %q", err, two.Why())
	}
}

// Whoever is not in the room says nothing there and hears nothing, also another bench.
func TestStrangers(t *testing.T) {
	h := newHub()
	ctx := t.Context()
	room := open(t, h.here, saltworks)
	phone := enter(t, h.here, room.Room())
	other := rooms.Bench{Association: "harbour", ID: "b2"}
	elsewhere := rooms.Bench{Association: "northern", ID: "b1"}
	room.Take()
	theirs := open(t, h.here, other)
	guessed, err := saltworks.Room(strings.Repeat("x", 24))
	if err != nil {
		t.Fatal(err)
	}
	for name, err := range map[string]error{
		"another bench tells the phone":       h.here.Tell(ctx, other, phone.ID(), []string{"x"}),
		"another association's bench does":    h.here.Tell(ctx, elsewhere, phone.ID(), []string{"x"}),
		"another bench sends the phone away":  h.here.Tell(ctx, other, phone.ID(), nil),
		"a phone that is none":                h.here.Say(ctx, room.Room(), "guessed", []string{"x"}),
		"the phone in another bench's room":   h.here.Say(ctx, theirs.Room(), phone.ID(), []string{"x"}),
		"the phone by a salt that is guessed": h.here.Say(ctx, guessed, phone.ID(), []string{"x"}),
		"a room that is none":                 h.here.Say(ctx, "none", phone.ID(), []string{"x"}),
		"a code that is none":                 h.here.Name(ctx, elsewhere, "BCDF-GHJK", 2_000_000),
	} {
		if !errors.Is(err, rooms.ErrNobody) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, name := range []string{guessed, "", "harbour.b1-", "harbour.b1-" + salt + "x", "northern.b1-" + salt} {
		if _, err := h.here.Enter(ctx, name); !errors.Is(err, rooms.ErrNobody) {
			t.Errorf("room %q: %v", name, err)
		}
	}
	if got := append(room.Take(), phone.Take()...); len(got) != 0 || phone.Why() != "" {
		t.Errorf("strangers were heard: %v", got)
	}
	for _, bad := range []string{"", "short", strings.Repeat("x", 23) + "."} {
		if _, err := h.here.Open(ctx, saltworks, bad); !errors.Is(err, rooms.ErrBad) {
			t.Errorf("salt %q: %v", bad, err)
		}
	}
}

// A bench has one room at a time, wherever it opens it: phones of the one before come
// again.
func TestAnotherPageOfTheBench(t *testing.T) {
	h := newHub()
	before := open(t, h.here, saltworks)
	phone := enter(t, h.here, before.Room())
	after := open(t, h.there, saltworks)
	over(t, before.Done())
	over(t, phone.Done())
	if before.Why() != rooms.Replaced || after.Room() != before.Room() {
		t.Errorf("%q, %q and %q", before.Why(), before.Room(), after.Room())
	}
	again := enter(t, h.here, after.Room())
	if got := after.Take(); len(got) != 1 || got[0].Phone != again.ID() {
		t.Errorf("%v", got)
	}
}

func TestLimits(t *testing.T) {
	h := newHub()
	ctx := t.Context()
	room := open(t, h.here, saltworks)
	phones := make([]*rooms.Phone, rooms.PhonesMost)
	for i := range phones {
		phones[i] = enter(t, h.here, room.Room())
	}
	if _, err := h.here.Enter(ctx, room.Room()); !errors.Is(err, rooms.ErrFull) {
		t.Errorf("one phone too many: %v", err)
	}
	phones[7].Close()
	enter(t, h.here, room.Room())
	large := []string{strings.Repeat("x", rooms.TextsMost)}
	if err := h.here.Say(ctx, room.Room(), phones[0].ID(), append(large, "x")); !errors.Is(err, rooms.ErrFull) {
		t.Errorf("a text too large: %v", err)
	}
	flood := func(say func() error) {
		t.Helper()
		for range 100 {
			if err := say(); err != nil {
				if !errors.Is(err, rooms.ErrFull) {
					t.Error(err)
				}
				return
			}
		}
		t.Error("a flood is held back nowhere")
	}
	flood(func() error { return h.here.Say(ctx, room.Room(), phones[0].ID(), large) })
	if err := h.here.Tell(ctx, saltworks, phones[1].ID(), []string{"x"}); err != nil {
		t.Errorf("the bench may still speak: %v", err)
	}
	room.Take()
	if err := h.here.Say(ctx, room.Room(), phones[0].ID(), large); !errors.Is(err, rooms.ErrFull) {
		t.Errorf("also who reads at once is sent so much a second: %v", err)
	}
	h.at.Add(60_000)
	if err := h.here.Say(ctx, room.Room(), phones[0].ID(), large); err != nil {
		t.Errorf("a minute later: %v", err)
	}
	// A phone that takes nothing is sent away, so that it begins anew.
	flood(func() error { return h.here.Tell(ctx, saltworks, phones[1].ID(), large) })
	over(t, phones[1].Done())
	room.Take()
	if err := h.here.Tell(ctx, saltworks, phones[2].ID(), nil); err != nil {
		t.Fatal(err)
	}
	over(t, phones[2].Done())
}

func TestRoomWithoutPhonesEnds(t *testing.T) {
	h := newHub()
	room := open(t, h.here, saltworks)
	phone := enter(t, h.here, room.Room())
	h.at.Add(int64(rooms.IdleLasts))
	room.Still(t.Context())
	if room.Why() != "" {
		t.Fatal("with a phone it is over")
	}
	phone.Close()
	room.Still(t.Context())
	if room.Why() != rooms.Idle {
		t.Errorf("%q", room.Why())
	}
}

// Each process counts the ends that it has, for each association.
func TestHowManyAreThere(t *testing.T) {
	h := newHub()
	counts := func(at *rooms.Rooms, association string, want rooms.Count) {
		t.Helper()
		if got := at.Count(association); got != want {
			t.Errorf("%s: %+v, want %+v", association, got, want)
		}
	}
	room := open(t, h.here, saltworks)
	other := open(t, h.here, rooms.Bench{Association: "reef", ID: "b1"})
	first, second := enter(t, h.here, room.Room()), enter(t, h.there, room.Room())
	counts(h.here, "harbour", rooms.Count{Benches: 1, Phones: 1})
	counts(h.there, "harbour", rooms.Count{Phones: 1})
	counts(h.here, "reef", rooms.Count{Benches: 1})
	if all := h.here.All(); all != (rooms.Count{Benches: 2, Phones: 1}) {
		t.Errorf("all: %+v", all)
	}
	if _, err := h.there.Enter(t.Context(), "harbour b9 x"); err == nil {
		t.Error("there is such a room")
	}
	other.Close()
	first.Close()
	second.Close()
	room.Close()
	room.Close()
	counts(h.here, "harbour", rooms.Count{})
	counts(h.there, "harbour", rooms.Count{})
	counts(h.here, "reef", rooms.Count{})
}

// lost is a bus on which a process that ended answers no more.
type lost struct {
	bus.Asker
	gone atomic.Value
}

func (l *lost) Ask(ctx context.Context, address string, question []byte) ([]byte, error) {
	if gone, _ := l.gone.Load().(string); gone != "" && strings.Contains(address, gone) {
		return nil, bus.ErrNobody
	}
	return l.Asker.Ask(ctx, address, question)
}

// A phone whose process was killed says nothing any more: the bench hears that it is gone.
func TestAPhoneThatIsGoneWithoutAWord(t *testing.T) {
	between := &lost{Asker: bus.NewMemory()}
	all := rooms.New(rooms.Config{Asker: between, Now: func() entry.Millis { return 1 }, Random: rand.Reader})
	room := open(t, all, saltworks)
	killed, stays := enter(t, all, room.Room()), enter(t, all, room.Room())
	room.Take()
	between.gone.Store(killed.ID())
	room.Still(t.Context())
	if got := room.Take(); len(got) != 1 || got[0].Kind != "gone" || got[0].Phone != killed.ID() {
		t.Errorf("%v", got)
	}
	if err := all.Say(t.Context(), room.Room(), stays.ID(), []string{"x"}); err != nil {
		t.Error(err)
	}
}

func TestCodes(t *testing.T) {
	h := newHub()
	ctx := t.Context()
	if err := h.here.Name(ctx, saltworks, "BCDF-GHJK", 2_000_000); !errors.Is(err, rooms.ErrNobody) {
		t.Errorf("without a room: %v", err)
	}
	room := open(t, h.here, saltworks)
	for _, bad := range []string{"", "BCDF-GHJ", "BCDF-GHJA", "BCDF-GHJKL"} {
		if err := h.here.Name(ctx, saltworks, bad, 2_000_000); !errors.Is(err, rooms.ErrBad) {
			t.Errorf("code %q: %v", bad, err)
		}
		if _, err := h.here.Find(ctx, bad); !errors.Is(err, rooms.ErrNobody) {
			t.Errorf("code %q is found: %v", bad, err)
		}
	}
	name := func(code string, lasts int64) {
		t.Helper()
		if err := h.there.Name(ctx, saltworks, code, entry.Millis(h.at.Load()+lasts)); err != nil {
			t.Fatal(err)
		}
	}
	name("BCDF-GHJK", 60_000)
	if got, err := h.there.Find(ctx, "bcdf ghjk"); err != nil || got != room.Room() {
		t.Errorf("%q, %v", got, err)
	}
	other := rooms.Bench{Association: "northern", ID: "b9"}
	theirs := open(t, h.here, other)
	if err := h.here.Name(ctx, other, "BCDFGHJK", 2_000_000); !errors.Is(err, rooms.ErrFull) {
		t.Errorf("a code of another room: %v", err)
	}
	h.at.Add(60_000)
	if _, err := h.here.Find(ctx, "BCDFGHJK"); !errors.Is(err, rooms.ErrNobody) {
		t.Errorf("a code that is over: %v", err)
	}
	name("BCDFGHJK", 3600_000)
	h.at.Add(int64(rooms.CodeLasts) - 1)
	if _, err := h.here.Find(ctx, "BCDFGHJK"); err != nil {
		t.Error(err)
	}
	h.at.Add(1)
	room.Still(ctx)
	if _, err := h.here.Find(ctx, "BCDFGHJK"); !errors.Is(err, rooms.ErrNobody) {
		t.Errorf("longer than any code: %v", err)
	}
	name("BCDFGHJK", 60_000)
	room.Close()
	if _, err := h.here.Find(ctx, "BCDFGHJK"); !errors.Is(err, rooms.ErrNobody) {
		t.Errorf("a room that was closed: %v", err)
	}
	theirs.Close()
}
