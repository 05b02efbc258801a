package seats_test

import (
	"encoding/json"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/seats"
)

// A device that was not heard of for six hours is no seat any more; one that
// listens is heard, and after a start of the program the time begins anew.
func TestAnIdleSeatEnds(t *testing.T) {
	const hour = entry.Millis(3600_000)
	for _, test := range []struct {
		name  string
		after entry.Millis
		while func(d *desk, token string) (closed func())
		known bool
	}{
		{"just before", 6*hour - 1, nil, true},
		{"after six hours", 6 * hour, nil, false},
		{"heard in between", 9 * hour, func(d *desk, token string) func() {
			d.now += 4 * hour
			d.Session(token)
			d.now -= 4 * hour
			return nil
		}, true},
		{"listening", 20 * hour, func(d *desk, token string) func() {
			s, _, _ := d.Session(token)
			return d.Streaming(s)
		}, true},
		{"a day, listening", 24 * hour, func(d *desk, token string) func() {
			s, _, _ := d.Session(token)
			return d.Streaming(s)
		}, false},
	} {
		d := newDesk()
		token := d.pair(t, box).Token
		if test.while != nil {
			if closed := test.while(d, token); closed != nil {
				defer closed()
			}
		}
		d.now += test.after
		if _, _, known := d.Session(token); known != test.known {
			t.Errorf("%s: known %v", test.name, known)
		}
	}
	d := newDesk()
	token := d.pair(t, box).Token
	saved := d.saved
	again := newDesk()
	again.now = d.now + 10*hour
	if err := again.Restore(saved); err != nil {
		t.Fatal(err)
	}
	if _, _, known := again.Session(token); !known {
		t.Error("a device that may have been heard an hour before the start is no seat")
	}
}

// A device named after a person loses the name, here and on the disk, and stays
// the seat that it is.
func TestADeviceLosesTheNameOfAPerson(t *testing.T) {
	d := newDesk()
	paired := d.pair(t, box)
	named := func(device string) bool { return strings.Contains(device, "phone") }
	without := func(e entry.Entry) (entry.Entry, bool) {
		return entry.Entry{ID: e.ID, Game: e.Game, Body: entry.Note{Text: entry.TakenOut}}, true
	}
	note := `{"specversion":"1.0","id":"01JD0000000000000000000009","source":"/game/` + game +
		`","type":"whistlestop.note.v1","time":"2026-01-01T00:00:00Z","data":{"at":{"period":1,"elapsed_ms":0},"body":{"text":"a phone"}}}`
	if err := d.HandOver(seats.Handed{ID: "x", Game: game, Device: "a phone", Role: box, Entries: []json.RawMessage{[]byte(note)}}); err != nil {
		t.Fatal(err)
	}
	for _, write := range []bool{false, true} {
		if count, err := d.Nameless(named, without, write); err != nil || count != 3 {
			t.Errorf("writing %v: %d, %v", write, count, err)
		}
	}
	if one, err := d.HandedOver(game, "x"); err != nil || one.Device != "" || strings.Contains(string(one.Entries[0]), "phone") {
		t.Errorf("what waits is %+v, %v", one, err)
	}
	none := func(e entry.Entry) (entry.Entry, bool) { return e, false }
	if _, info, known := d.Session(paired.Token); !known || info.Device != "" || info.Role != box {
		t.Errorf("it is %+v, %v", info, known)
	}
	if strings.Contains(string(d.saved), "phone") {
		t.Errorf("kept: %s", d.saved)
	}
	if count, err := d.Nameless(named, none, true); err != nil || count != 0 {
		t.Errorf("again: %d, %v", count, err)
	}
}
