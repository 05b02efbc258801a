package crew_test

import (
	"log/slog"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"whistlestop/crew/onduty"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/locale"
)

// kept are the files of a bench.
type kept struct{ onDuty, noted []byte }

func (k *kept) OnDuty() ([]byte, error)      { return k.onDuty, nil }
func (k *kept) Noted() ([]byte, error)       { return k.noted, nil }
func (k *kept) KeepOnDuty(text []byte) error { k.onDuty = text; return nil }
func (k *kept) KeepNoted(text []byte) error  { k.noted = text; return nil }
func (d *desk) bench(k *kept) *crew.Bench {
	b := &crew.Bench{Logger: slog.New(slog.DiscardHandler), Game: func(_ *api.Call, game string) (onduty.Wanted, error) {
		return onduty.Wanted{Schedule: game}, nil
	}}
	if k == nil {
		b.Desk = d.s
	} else {
		b.Files = k
	}
	return b
}

type onDuty struct {
	Desk, Known bool
	Codes       string
	Seats       []struct{ Seat, Name, Mark string }
}

func (o onDuty) mark(seat string) string {
	for _, s := range o.Seats {
		if s.Seat == seat {
			return s.Mark
		}
	}
	return "not there"
}

// The desk's file at a bench: the people of a game by short names; a seat that is taken
// marks its duty; "not shown" is by hand and can be taken back; the desk reads it back.
func TestWhoIsOnDutyAtTheBench(t *testing.T) {
	d := made(t)
	var one *duty
	for _, at := range d.rota() {
		if at.Seat == "clock" && at.Name != "" {
			one = &at
			break
		}
	}
	if one == nil {
		t.Fatal("nobody has a clock")
	}
	var file string
	d.must("GET", "/api/crew/on-duty.json", nil, &file)
	if strings.Contains(file, one.Name) || strings.Contains(file, "@") {
		t.Error("the file has whole names or ways to reach people")
	}
	k := &kept{}
	b := d.bench(k)
	ask := func(method, path string, body any) (out onDuty) {
		t.Helper()
		if err := d.of(b.Operations(), api.Caller{Here: true}, method, path, body, &out); err != nil {
			t.Fatal(said(err))
		}
		return out
	}
	path := "/api/games/" + one.Game + "/crew"
	if out := ask("GET", path, nil); out.Known || out.Desk {
		t.Errorf("%+v", out)
	}
	if err := d.of(b.Operations(), api.Caller{Here: true}, "PUT", "/api/crew/on-duty", []byte("{}"), nil); err == nil {
		t.Error("any file is kept")
	}
	ask("PUT", "/api/crew/on-duty", []byte(file))
	if out := ask("GET", path, nil); !out.Known || out.mark("clock") != "" {
		t.Errorf("%+v", out)
	}
	taken := func() {
		b.Taken(&api.Call{Context: t.Context(), Words: locale.English(), Part: func(string) string { return one.Game }}, entry.ClockSeat, "")
	}
	taken()
	if out := ask("GET", path, nil); out.mark("clock") != "came" || out.mark("book") == "came" {
		t.Errorf("%+v", out)
	}
	ask("POST", path, map[string]string{"seat": "clock", "act": "missed"})
	taken() // somebody else sits down at the clock: what was said by hand stays
	out := ask("GET", path, nil)
	if out.mark("clock") != "missed" {
		t.Errorf("%+v", out)
	}
	for _, step := range [][2]string{{"missed", "missed"}, {"came", "came"}, {"unmark", ""}} {
		back := ask("POST", path, map[string]string{"seat": "clock", "act": step[0]})
		d.must("POST", "/api/crew/answers", map[string]string{"text": "From the bench:\n" + back.Codes}, nil)
		for _, duty := range d.rota() {
			if duty.Game == one.Game && duty.Seat == "clock" && duty.Mark != step[1] {
				t.Errorf("after %s the desk has %q", step[0], duty.Mark)
			}
		}
	}
	if err := d.of(b.Operations(), api.Caller{}, "GET", path, nil, nil); err == nil {
		t.Error("a stranger sees who is on duty")
	}
}

// Where the desk is kept at the bench nothing has to be brought or given back.
func TestTheDeskIsAtTheBench(t *testing.T) {
	d := made(t)
	b := d.bench(nil)
	for _, duty := range d.rota() {
		if duty.Name == "" {
			continue
		}
		var out onDuty
		err := d.of(b.Operations(), api.Caller{Here: true}, "POST", "/api/games/"+duty.Game+"/crew", map[string]string{"seat": duty.Seat, "act": "came"}, &out)
		if err != nil || !out.Desk || !out.Known || out.mark(duty.Seat) != "came" || out.Codes != "" {
			t.Fatalf("%v %+v", err, out)
		}
		for _, now := range d.rota() {
			if now.Game == duty.Game && now.Seat == duty.Seat && now.Mark != "came" {
				t.Errorf("%+v", now)
			}
		}
		return
	}
	t.Fatal("nobody has a duty")
}

// slow are the files of a bench on a disk that takes its time: whoever reads while
// another writes would lose what the other noted.
type slow struct {
	kept
	mutex sync.Mutex
}

func (k *slow) Noted() ([]byte, error) {
	k.mutex.Lock()
	text := k.noted
	k.mutex.Unlock()
	runtime.Gosched()
	return text, nil
}

func (k *slow) KeepNoted(text []byte) error {
	runtime.Gosched()
	k.mutex.Lock()
	defer k.mutex.Unlock()
	k.noted = text
	return nil
}

// The same duties are marked from two devices at once: each mark is kept whole, the last
// one of a seat holds for both devices and at the desk, and no other seat loses its own.
func TestDutiesAreMarkedFromTwoDevicesAtOnce(t *testing.T) {
	d := made(t)
	var file string
	d.must("GET", "/api/crew/on-duty.json", nil, &file)
	all := slices.DeleteFunc(d.rota(), func(one duty) bool { return one.Name == "" })
	k := &slow{}
	k.onDuty = []byte(file)
	b := &crew.Bench{Files: k, Logger: slog.New(slog.DiscardHandler), Game: func(_ *api.Call, game string) (onduty.Wanted, error) {
		return onduty.Wanted{Schedule: game}, nil
	}}
	var devices sync.WaitGroup
	for device, acts := range [][]string{{"came", "missed", "came"}, {"missed", "unmark", "came"}} {
		devices.Go(func() {
			for _, act := range acts {
				for _, one := range all {
					err := d.of(b.Operations(), api.Caller{Here: true}, "POST", "/api/games/"+one.Game+"/crew", map[string]string{"seat": one.Seat, "act": act}, nil)
					if err != nil {
						t.Errorf("device %d: %v", device, said(err))
					}
				}
			}
		})
	}
	devices.Wait()
	var codes string
	if err := d.of(b.Operations(), api.Caller{Here: true}, "GET", "/api/crew/noted", nil, &codes); err != nil {
		t.Fatal(said(err))
	}
	d.must("POST", "/api/crew/answers", map[string]string{"text": codes}, nil)
	for _, one := range all {
		var out onDuty
		if err := d.of(b.Operations(), api.Caller{Here: true}, "GET", "/api/games/"+one.Game+"/crew", nil, &out); err != nil || out.mark(one.Seat) != "came" {
			t.Errorf("%s %s: %q at the bench (%v)", one.Game, one.Seat, out.mark(one.Seat), err)
		}
	}
	for _, one := range d.rota() {
		if one.Name != "" && one.Mark != "came" {
			t.Errorf("%s %s: %q at the desk", one.Game, one.Seat, one.Mark)
		}
	}
}
