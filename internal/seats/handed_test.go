package seats_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/seats"
)

var shots = seats.Role{Seat: entry.ShotsSeat}

// What a device had not handed over when its seat was taken away waits for a
// person, once, and over a start of the program.
func TestWhatARevokedDeviceHad(t *testing.T) {
	d := newDesk()
	paired := d.pair(t, shots)
	if _, known := d.Former(paired.Token); known {
		t.Error("a seat is a former one while it still is one")
	}
	is(t, "revoke", d.Revoke(game, paired.ID), nil)
	was, known := d.Former(paired.Token)
	if !known || was.Device != paired.Device || was.Seat != entry.ShotsSeat {
		t.Fatalf("the device is not known any more: %+v", was)
	}
	for _, token := range []string{"", "x" + paired.Token} {
		if _, known := d.Former(token); known {
			t.Errorf("%q is the token of a former seat", token)
		}
	}
	one := seats.Handed{ID: "a", Game: game, Device: was.Device, Role: was.Role, Saw: 3, Entries: []json.RawMessage{[]byte(`{"x":1}`)}}
	is(t, "handed", d.HandOver(one), nil)
	is(t, "handed again", d.HandOver(one), nil)
	if list := d.List(game).Handed; len(list) != 1 || list[0].Saw != 3 || len(d.List(other).Handed) != 0 {
		t.Errorf("handed over: %+v", list)
	}
	again := newDesk()
	is(t, "restored", again.RestoreHanded(d.handed), nil)
	if found, err := again.HandedOver(game, "a"); err != nil || string(found.Entries[0]) != `{"x":1}` {
		t.Errorf("after a start: %+v %v", found, err)
	}
	is(t, "decided", again.Decided(game, "a"), nil)
	is(t, "decided twice", again.Decided(game, "a"), seats.ErrMissing)
	if len(again.List(game).Handed) != 0 {
		t.Error("what was decided still waits")
	}
	d.now += 24 * 3600_000
	if _, known := d.Former(paired.Token); known {
		t.Error("a device is known a day later")
	}
}

// What cannot be kept is not taken: the device still has it.
func TestHandingOverHasBounds(t *testing.T) {
	d := newDesk()
	one := func(id string) seats.Handed {
		return seats.Handed{ID: id, Game: game, Device: "a phone", Role: shots, Entries: []json.RawMessage{[]byte("{}")}}
	}
	d.fails = errors.New("the disk is full")
	is(t, "a full disk", d.HandOver(one("a")), seats.ErrNotKept)
	d.fails = nil
	if len(d.List(game).Handed) != 0 {
		t.Error("what was not kept waits")
	}
	large := one("b")
	large.Entries[0] = []byte(`"` + strings.Repeat("x", 20<<10) + `"`)
	is(t, "too large", d.HandOver(large), seats.ErrFull)
	var err error
	for i := 0; err == nil && i < 1000; i++ {
		err = d.HandOver(one(fmt.Sprint(i)))
	}
	is(t, "too many", err, seats.ErrFull)
	if err := newDesk().RestoreHanded([]byte(`[{"id":"a"}]`)); err == nil {
		t.Error("half of something was restored")
	}
}

// In the Shots seat one person counts, whoever sat down first for that side; the
// next one is told who, and counts once the first has gone or the bench lets it.
func TestOnePersonCounts(t *testing.T) {
	d := newDesk()
	looksOn := func(p seats.Paired) string {
		t.Helper()
		s, info, known := d.Session(p.Token)
		if !known || d.Info(s).LooksOn != info.LooksOn {
			t.Fatalf("known %v, %q and %q", known, info.LooksOn, d.Info(s).LooksOn)
		}
		return info.LooksOn
	}
	home := d.pair(t, seats.Role{Seat: entry.ShotsSeat, Side: entry.Home})
	visitors := d.pair(t, seats.Role{Seat: entry.ShotsSeat, Side: entry.Visitors})
	both := d.pair(t, shots)
	books := []seats.Paired{d.pair(t, seats.Role{Seat: entry.BookSeat}), d.pair(t, seats.Role{Seat: entry.BookSeat})}
	for _, one := range append(books, home, visitors) {
		if got := looksOn(one); got != "" {
			t.Errorf("%s %s looks on: %q counts", one.Seat, one.Side, got)
		}
	}
	if got := looksOn(both); got != home.Device {
		t.Errorf("a second one counts beside the first: %q", got)
	}
	is(t, "remove the first", d.Revoke(game, home.ID), nil)
	if got := looksOn(both); got != visitors.Device {
		t.Errorf("with one side's gone, %q counts", got)
	}
	is(t, "allow", d.LetCount(game, both.ID), nil)
	is(t, "allow nobody", d.LetCount(game, "nobody"), seats.ErrMissing)
	if got := looksOn(both); got != "" {
		t.Errorf("let by the bench, %q still counts in its place", got)
	}
	again := newDesk()
	again.now = d.now
	is(t, "restore", again.Restore(d.saved), nil)
	if _, info, _ := again.Session(both.Token); info.LooksOn != "" {
		t.Error("what the bench allowed is forgotten with a start of the program")
	}
}
