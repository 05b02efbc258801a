package restart

import (
	"errors"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// memoryFile is a file that a test writes.
type memoryFile struct {
	text []byte
	err  error
}

func (f *memoryFile) Read() ([]byte, error)   { return f.text, f.err }
func (f *memoryFile) Write(text []byte) error { f.text = text; return nil }

const (
	at     entry.Millis = 1_770_000_000_000
	second entry.Millis = 1000
	hour                = 3600 * second
	year                = 365 * 24 * hour
)

// T4: every step of more than two seconds is found, either way, and what is
// shorter moves nothing; a computer that was switched off vouches for nothing.
func TestT4_StepsAreFound(t *testing.T) {
	const dead = 20 * second
	for _, step := range []entry.Millis{
		0, 1, -1, 1999, -1999, 2001, -2001, 5 * second, -5 * second, hour, -hour, 30 * 24 * hour, -30 * 24 * hour, year, -year,
	} {
		for _, reboot := range []bool{false, true} {
			for _, still := range []bool{false, true} {
				file := &memoryFile{}
				now := Reading{Wall: at, Count: 500 * second, Boot: "a"}
				k, found, err := Open(file, func() Reading { return now })
				if err != nil || !found.Doubt || found.Now != at {
					t.Fatalf("the first start: %+v, %v", found, err)
				}
				running := []string{"x"}
				if still {
					running = nil
				}
				if err := k.Write(at, at, running, still); err != nil {
					t.Fatal(err)
				}
				now.Wall += dead + step
				if now.Count += dead; reboot {
					now.Count, now.Boot = 30*second, "b"
				}
				_, found, err = Open(file, func() Reading { return now })
				stepped := step > 2*second || step < -2*second
				if want := !still && (reboot || stepped); err != nil || found.Doubt != want || found.Kept != at {
					t.Errorf("a step of %d ms, reboot %v, still %v: %+v, %v", step, reboot, still, found, err)
				}
				if want := !reboot; found.Counted != want || want && (found.Since != dead || stepped && found.Step != step) {
					t.Errorf("a step of %d ms, reboot %v: %+v", step, reboot, found)
				}
				if !reboot && (found.Own != at+dead || !stepped && found.Now != at+dead || stepped && found.Now != now.Wall) {
					t.Errorf("a step of %d ms: the time is %d, own %d", step, found.Now-at, found.Own-at)
				}
				if found.Own < at || found.OwnAt(found.Now+hour) != found.Own+hour {
					t.Errorf("a step of %d ms, reboot %v: own time went back: %+v", step, reboot, found)
				}
				if want := dead+step < -2*second; found.Behind != want {
					t.Errorf("a step of %d ms: behind is %v", step, found.Behind)
				}
			}
		}
	}
}

// What cannot be read vouches for nothing, and is no reason to stay away.
func TestT4_ADamagedRecordVouchesForNothing(t *testing.T) {
	read := func() Reading { return Reading{Wall: at, Count: 1, Boot: "a"} }
	for _, text := range []string{"", "{", `{"version":2}`, `[]`, `{"version":1,"boot":"a","time_ms":"x"}`} {
		if _, found, err := Open(&memoryFile{text: []byte(text)}, read); err == nil || !found.Doubt || found.Now != at {
			t.Errorf("%q: %+v, %v", text, found, err)
		}
	}
	if _, found, err := Open(&memoryFile{err: errors.New("gone")}, read); err == nil || !found.Doubt {
		t.Errorf("%+v, %v", found, err)
	}
}

// The system's own clocks: the count goes on as time does.
func TestTheClocksAreRead(t *testing.T) {
	first := Read()
	began := time.Now()
	time.Sleep(20 * time.Millisecond)
	second := Read()
	passed := entry.Millis(time.Since(began).Milliseconds())
	if first.Wall <= 0 || second.Boot != first.Boot {
		t.Errorf("%+v, %+v", first, second)
	}
	if counted := second.Count - first.Count; first.Boot != "" && (counted < 19 || counted < passed-2) {
		t.Errorf("%d ms were counted where at least %d passed", counted, passed)
	}
}
