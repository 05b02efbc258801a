package mirror

import (
	"bytes"
	"context"
	"log/slog"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"go.uber.org/goleak"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/proof/crashdisk"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/storetest"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

const stick = "/stick"

// desk is ledgers with a copy on a stick.
type desk struct {
	t     *testing.T
	log   *memory.Store
	disk  *crashdisk.Disk
	m     *Mirror
	chain []entry.Entry
}

func newDesk(t *testing.T) *desk {
	d := &desk{t: t, log: memory.New(), disk: crashdisk.New("/", stick)}
	d.start()
	return d
}

func (d *desk) start() {
	now := func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }
	d.m = New(d.log, d.disk, slog.New(slog.DiscardHandler), now, benchMarks, stick)
	d.t.Cleanup(d.m.Close)
}

func (d *desk) append(count int) {
	d.t.Helper()
	game := storetest.Game(1)
	next := storetest.Chain(game, d.chain, count)
	before := time.Now()
	if err := d.m.Append(context.Background(), game, next); err != nil {
		d.t.Fatal(err)
	}
	if waited := time.Since(before); waited > 0 {
		d.t.Errorf("the post waited %v for the copy", waited)
	}
	d.chain = append(d.chain, next...)
}

func (d *desk) file() string { return filepath.Join(stick, storetest.Game(1)+ending) }

// settled waits until the copy had time to catch up and holds it against the
// ledger.
func (d *desk) settled() {
	d.t.Helper()
	time.Sleep(2*tryEvery + time.Second)
	synctest.Wait()
	if s := d.m.State()[0]; s.State != UpToDate || s.Behind != 0 {
		d.t.Fatalf("the copy is %+v", s)
	}
	want, err := lines(d.chain)
	if err != nil {
		d.t.Fatal(err)
	}
	got, err := d.disk.Read(d.file())
	if err != nil || string(got) != string(want) {
		d.t.Fatalf("the copy is\n%s\nand the ledger\n%s\n%v", got, want, err)
	}
}

func TestCopyFollowsTheLedger(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		for _, count := range []int{1, 3, 2} {
			d.append(count)
			if s := d.m.State()[0]; s.State != Behind || s.Behind != count || s.Folder != stick {
				t.Errorf("right after a post the copy is %+v", s)
			}
			time.Sleep(200 * time.Millisecond)
			synctest.Wait()
			if s := d.m.State()[0]; s.State != UpToDate {
				t.Errorf("a moment later it is %+v", s)
			}
		}
		d.settled()
		// Closing right after a post takes it along.
		d.append(1)
		d.m.Close()
		if got, err := d.disk.Read(d.file()); err != nil || len(got) == 0 {
			t.Error(err)
		} else if games, torn, err := Read(got); err != nil || torn || len(games[0].Ledger) != 7 {
			t.Errorf("after closing: %+v, %v, %v", games, torn, err)
		}
	})
}

func TestStickIsPulledOutAndPutBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		d.append(4)
		d.settled()
		d.disk.Pull(stick)
		d.append(2)
		time.Sleep(time.Second)
		if s := d.m.State()[0]; s.State != Missing || s.Say.Key != "copy.missing" || s.Behind != 2 {
			t.Errorf("without the stick: %+v", s)
		}
		d.append(1)
		time.Sleep(10 * time.Minute)
		d.disk.Put(stick)
		d.settled()
		// The ledger of a program that is started again is copied too.
		d.m.Close()
		d.disk.Pull(stick)
		d.start()
		d.append(1)
		d.disk.Put(stick)
		d.settled()
	})
}

// The stick fails, or loses its power, at every step of what is done with it.
// The posts never wait; when it works again the copy is whole.
func TestStickFails(t *testing.T) {
	for _, trouble := range []crashdisk.Trouble{crashdisk.Once, crashdisk.ForEver, crashdisk.PowerCut} {
		for step := 1; step <= 16; step++ {
			synctest.Test(t, func(t *testing.T) {
				random := rand.New(rand.NewPCG(uint64(step), uint64(trouble)))
				d := newDesk(t)
				d.disk.FailAt(step, trouble)
				for range 5 {
					d.append(1 + random.IntN(3))
					time.Sleep(time.Duration(random.IntN(400)) * time.Millisecond)
				}
				if trouble != crashdisk.Once && d.disk.Steps() >= step {
					time.Sleep(time.Second)
					if s := d.m.State()[0]; s.State != Failing || s.Say.Key != "copy.failing" {
						t.Errorf("step %d: the copy is %+v", step, s)
					}
				}
				if trouble == crashdisk.PowerCut {
					d.m.Close()
					d.disk = d.disk.Restarted(random)
					d.start()
				} else if trouble == crashdisk.ForEver {
					d.disk.FailAt(0, crashdisk.None)
				}
				d.append(2)
				d.settled()
			})
		}
	}
}

// A file that is not the beginning of the ledger is somebody's only copy of
// something: it is left alone, and people are told.
func TestOtherFileIsLeftAlone(t *testing.T) {
	other := storetest.Chain(storetest.Game(1), nil, 6)
	other[3].Body = entry.Note{Text: "another way"}
	for i := 4; i < len(other); i++ {
		other[i].Prev, _ = other[i-1].Hash()
	}
	longer := storetest.Chain(storetest.Game(1), nil, 9)
	two := append(storetest.Chain(storetest.Game(1), nil, 1), storetest.Chain(storetest.Game(2), nil, 1)...)
	for name, content := range map[string][]byte{
		"went another way": must(lines(other)), "is longer": must(lines(longer)),
		"of two games": must(lines(two)), "no ledger": []byte("a shopping list\nmilk\n"),
	} {
		synctest.Test(t, func(t *testing.T) {
			d := newDesk(t)
			if err := durable.Write(d.disk, d.file(), content); err != nil {
				t.Fatal(err)
			}
			d.append(5)
			time.Sleep(10 * time.Second)
			if s := d.m.State()[0]; s.State != Differs || s.Say.Key != "copy.differs" {
				t.Errorf("%s: the copy is %+v", name, s)
			}
			if got, err := d.disk.Read(d.file()); err != nil || string(got) != string(content) {
				t.Errorf("%s: the file is now %q, %v", name, got, err)
			}
		})
	}
}

// A copy with a flipped bit and nothing more than the ledger is written anew.
func TestDamagedCopyIsWrittenAnew(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		content := must(lines(storetest.Chain(storetest.Game(1), nil, 4)))
		content[bytes.Index(content, []byte("Line 3"))] ^= 4
		if err := durable.Write(d.disk, d.file(), content); err != nil {
			t.Fatal(err)
		}
		d.append(5)
		d.settled()
	})
}

func must(content []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return content
}

// hanging is a stick that never answers.
type hanging struct {
	durable.Disk
	until chan struct{}
}

func (h hanging) Extend(path string, size int64) (durable.File, error) {
	<-h.until
	return h.Disk.Extend(path, size)
}

func TestHangingStickHoldsNobodyUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		until := make(chan struct{})
		log := memory.New()
		m := New(log, hanging{crashdisk.New("/", stick), until}, slog.New(slog.DiscardHandler), func() entry.Millis { return 0 }, nil, stick)
		chain := storetest.Chain(storetest.Game(1), nil, 50)
		begun := time.Now()
		for i := range chain {
			if err := m.Append(t.Context(), chain[i].Game, chain[i:i+1]); err != nil {
				t.Fatal(err)
			}
		}
		if took := time.Since(begun); took > 0 {
			t.Errorf("the posts took %v", took)
		}
		time.Sleep(time.Minute)
		if s := m.State()[0]; s.State != Behind || s.Behind != 50 {
			t.Errorf("the copy is %+v", s)
		}
		m.Close()
		if took := time.Since(begun); took > time.Minute+closeWithin {
			t.Errorf("closing took %v", took)
		}
		close(until)
	})
}
