package seats_test

import (
	"bytes"
	"encoding/json"
	"testing"
)

// A device whose seat was taken away is known after the program was started again, for
// as long as before: what it had kept is not lost by that.
func TestAFormerSeatIsKnownAfterAStart(t *testing.T) {
	d := newDesk()
	paired := d.pair(t, shots)
	stays := d.pair(t, box)
	is(t, "revoke", d.Revoke(game, paired.ID), nil)
	if bytes.Contains(d.formers, []byte(paired.Token)) {
		t.Errorf("the token itself is kept: %s", d.formers)
	}
	start := func() *desk {
		again := newDesk()
		again.now = d.now
		is(t, "sessions", again.Restore(d.saved), nil)
		is(t, "former ones", again.RestoreFormers(d.formers), nil)
		return again
	}
	for range 2 { // and it is kept again with what comes then
		again := start()
		was, known := again.Former(paired.Token)
		if !known || was.Game != game || was.Device != paired.Device || was.Role != shots {
			t.Fatalf("after a start the device is %+v, %v", was, known)
		}
		if _, _, sits := again.Session(paired.Token); sits {
			t.Error("it is a seat again")
		}
		if _, known := again.Former(stays.Token); known {
			t.Error("a seat is a former one")
		}
		other := again.pair(t, shots)
		is(t, "revoke another", again.Revoke(game, other.ID), nil)
		d.saved, d.formers = again.saved, again.formers
	}
	// The program stopped after it was noted and before the seat was gone.
	var list []json.RawMessage
	if err := json.Unmarshal(d.formers, &list); err != nil || len(list) != 3 {
		t.Fatalf("%s: %v", d.formers, err)
	}
	half := newDesk()
	half.now = d.now
	sits := half.pair(t, shots)
	before := half.saved
	is(t, "revoke", half.Revoke(game, sits.ID), nil)
	after := newDesk()
	after.now = d.now
	is(t, "sessions", after.Restore(before), nil)
	is(t, "former ones", after.RestoreFormers(half.formers), nil)
	if _, known := after.Former(sits.Token); known {
		t.Error("a seat that is one is a former one as well")
	}
	// A day later nobody is known, and nothing of them is kept.
	d.now += 24 * 3600_000
	again := start()
	if _, known := again.Former(paired.Token); known {
		t.Error("a device is known a day later")
	}
	one := again.pair(t, shots)
	is(t, "revoke", again.Revoke(game, one.ID), nil)
	if err := json.Unmarshal(again.formers, &list); err != nil || len(list) != 1 {
		t.Errorf("%d are kept: %s", len(list), again.formers)
	}
}

// The list has bounds, and one that is not whole is an error.
func TestFormerSeatsHaveBounds(t *testing.T) {
	d := newDesk()
	for range 70 {
		paired := d.pair(t, shots)
		is(t, "revoke", d.Revoke(game, paired.ID), nil)
		d.now += 11 * 60_000 // an invite and a request are over
	}
	var list []json.RawMessage
	if err := json.Unmarshal(d.formers, &list); err != nil || len(list) != 64 {
		t.Errorf("%d are kept, %v", len(list), err)
	}
	for _, bad := range []string{"x", `{}`, `[{}]`, `[{"token_sha256":"AAAA","id":"a","game":"g","role":{"seat":"box"},"until_ms":1}]`} {
		if err := newDesk().RestoreFormers([]byte(bad)); err == nil {
			t.Errorf("%s is a list of former seats", bad)
		}
	}
	// Whoever writes the file gives nobody longer than a day.
	far := newDesk()
	far.now = d.now
	paired := far.pair(t, shots)
	is(t, "revoke", far.Revoke(game, paired.ID), nil)
	later := bytes.ReplaceAll(far.formers, []byte(`"until_ms": `), []byte(`"until_ms": 9`))
	again := newDesk()
	again.now = d.now
	is(t, "former ones", again.RestoreFormers(later), nil)
	again.now += 24 * 3600_000
	if _, known := again.Former(paired.Token); known {
		t.Error("a device is known for longer than a day")
	}
}

// A name that is taken out goes from the list as well.
func TestAFormerSeatLosesItsName(t *testing.T) {
	d := newDesk()
	paired := d.pair(t, shots)
	is(t, "revoke", d.Revoke(game, paired.ID), nil)
	if !bytes.Contains(d.formers, []byte("a phone")) {
		t.Fatalf("the device has no name: %s", d.formers)
	}
	count, err := d.Nameless(func(name string) bool { return name == "a phone" }, nil, true)
	if err != nil || count == 0 || bytes.Contains(d.formers, []byte("a phone")) {
		t.Errorf("%d, %v: %s", count, err, d.formers)
	}
}

// F1: whatever stands in the file of the seats, it is refused or whole.
func FuzzRestore(f *testing.F) {
	d := newDesk()
	d.pair(f, box)
	f.Add(d.saved)
	f.Add([]byte("[]"))
	f.Add([]byte("null"))
	f.Add([]byte(`[{"token_sha256":"AAAA"}]`))
	f.Fuzz(func(t *testing.T, saved []byte) {
		d := newDesk()
		if err := d.Restore(saved); err == nil {
			for _, s := range d.List(game).Sessions {
				if !s.Role.Valid() || len([]rune(s.Device)) > 40 {
					t.Errorf("%+v", s)
				}
			}
		}
	})
}
