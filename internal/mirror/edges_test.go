package mirror

import (
	"context"
	"errors"
	"io/fs"
	"log/slog"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/proof/crashdisk"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/storetest"
)

// refusing is a disk that answers the reading of some files with an error.
type refusing struct {
	durable.Disk
	path string
	err  error
}

func (d refusing) Read(path string) ([]byte, error) {
	if strings.HasPrefix(path, d.path) {
		return nil, &fs.PathError{Op: "read", Path: path, Err: d.err}
	}
	return d.Disk.Read(path)
}

// A backup of a whole season that lies among the copies is passed over: the copies
// that come after it in the list are compared all the same.
func TestABackupAmongTheCopiesHidesNone(t *testing.T) {
	game := storetest.Game(1)
	chain := storetest.Chain(game, nil, 3)
	disk := crashdisk.New("/", stick)
	for _, path := range []string{filepath.Join(stick, "00-season"+ending), filepath.Join(stick, game+ending)} {
		if err := durable.Write(disk, path, must(lines(chain))); err != nil {
			t.Fatal(err)
		}
	}
	large := refusing{disk, filepath.Join(stick, "00-season"), durable.ErrTooLarge}
	found, err := compareAll(context.Background(), memory.New(), large, benchMarks, stick)
	if err != nil || len(found) != 1 || found[0].Game != game || found[0].Copied != 3 || !found[0].Lacks() {
		t.Errorf("found %+v, %v", found, err)
	}
	// A copy of a game that is as large is named.
	large.path = filepath.Join(stick, game)
	found, err = compareAll(context.Background(), memory.New(), large, benchMarks, stick)
	named := func(f Finding) bool { return f.Bad != nil && f.File == filepath.Join(stick, game+ending) }
	if err != nil || !slices.ContainsFunc(found, named) {
		t.Errorf("found %+v, %v", found, err)
	}
}

// damagedLog is a source of which one game cannot be read.
type damagedLog struct {
	*memory.Store
	game string
}

func (l damagedLog) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	if game == l.game {
		return nil, errors.New("a page is damaged")
	}
	return l.Store.Load(ctx, game)
}

// A backup that is made again replaces the older one, also when a game went on;
// a game that cannot be read is named, and the others are saved.
func TestABackupIsMadeAgain(t *testing.T) {
	ctx, log, disk := context.Background(), memory.New(), crashdisk.New("/", stick)
	chains := map[string][]entry.Entry{}
	for _, n := range []int{1, 2} {
		game := storetest.Game(n)
		chains[game] = storetest.Chain(game, nil, 3)
		if err := log.Append(ctx, game, chains[game]); err != nil {
			t.Fatal(err)
		}
	}
	save := func(from Source, want Saved) {
		t.Helper()
		got, err := BackUpToFolder(ctx, from, disk, stick, 0)
		if err != nil || got.Games != want.Games || got.Entries != want.Entries || !slices.Equal(got.Damaged, want.Damaged) {
			t.Errorf("saved %+v, %v, want %+v", got, err, want)
		}
	}
	save(log, Saved{Games: 2, Entries: 6})
	save(log, Saved{Games: 2, Entries: 6})
	more := storetest.Chain(storetest.Game(1), chains[storetest.Game(1)], 2)
	if err := log.Append(ctx, storetest.Game(1), more); err != nil {
		t.Fatal(err)
	}
	save(damagedLog{log, storetest.Game(2)}, Saved{Games: 1, Entries: 5, Damaged: []string{storetest.Game(2)}})
	content, err := disk.Read(filepath.Join(stick, storetest.Game(1)+ending))
	if games, torn, readErr := Read(content); err != nil || readErr != nil || torn || len(games[0].Ledger) != 5 {
		t.Errorf("the backup has %+v, %v, %v", games, err, readErr)
	}
}

// A record of heads that the disk does not give is said, and is not an empty one.
func TestHeadsThatCannotBeRead(t *testing.T) {
	disk := crashdisk.New("/games")
	posted(t, disk)
	for _, cause := range []error{errors.New("input/output error"), fs.ErrPermission} {
		if _, err := WithHeads(memory.New(), refusing{disk, "/", cause}, "/games/heads.txt"); !errors.Is(err, cause) {
			t.Errorf("%v is answered with %v", cause, err)
		}
	}
	if _, err := WithHeads(memory.New(), refusing{disk, "/", fs.ErrNotExist}, "/games/heads.txt"); err != nil {
		t.Errorf("no record yet: %v", err)
	}
}

// A copy that is complete and has no mark of this bench (an older program wrote it,
// or the power went between the two) gets one: only what is marked comes back by
// itself when the ledger is lost.
func TestACompleteCopyWithoutAMarkGetsOne(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		d.append(4)
		d.settled()
		d.m.Close()
		marks := filepath.Join(stick, storetest.Game(1)+marksEnding)
		if err := d.disk.Remove(marks); err != nil {
			t.Fatal(err)
		}
		d.start()
		d.settled()
		found, err := compareAll(t.Context(), memory.New(), d.disk, benchMarks, stick)
		if err != nil || len(found) != 1 || found[0].Own != 4 {
			t.Errorf("found %+v, %v", found, err)
		}
	})
}

// A program that was killed before its sync left a copy that looks whole. It is up
// to date only when it would survive a power cut, also where a step of that fails.
func TestACopyThatWasNeverSyncedIsSyncedFirst(t *testing.T) {
	for step := range 8 { // 0: none fails
		synctest.Test(t, func(t *testing.T) { neverSynced(t, step) })
	}
}

func neverSynced(t *testing.T, step int) {
	d := newDesk(t)
	d.m.Close()
	d.chain = storetest.Chain(storetest.Game(1), nil, 5)
	if err := d.log.Append(t.Context(), storetest.Game(1), d.chain); err != nil {
		t.Fatal(err)
	}
	file, err := d.disk.Create(d.file())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := file.Write(must(lines(d.chain))); err != nil {
		t.Fatal(err)
	}
	if err := d.disk.SyncFolder(stick); err != nil {
		t.Fatal(err)
	}
	if step > 0 {
		d.disk.FailAt(step, crashdisk.Once)
	}
	d.start()
	d.settled()
	found, err := compareAll(t.Context(), memory.New(), d.disk, benchMarks, stick)
	if err != nil || len(found) != 1 || found[0].Own != 5 {
		t.Errorf("step %d fails: the copy is marked as %+v, %v", step, found, err)
	}
	for seed := range uint64(20) {
		after, err := d.disk.Restarted(rand.New(rand.NewPCG(seed, 0))).Read(d.file())
		if err != nil || string(after) != string(must(lines(d.chain))) {
			t.Fatalf("step %d fails, seed %d: after a power cut the copy has %d bytes, %v", step, seed, len(after), err)
		}
	}
}

// mounted is a disk whose stick is mounted in a folder. When it is pulled out that
// folder is gone, or it stays and lies on the disk above it.
type mounted struct {
	*crashdisk.Disk
	out   *atomic.Bool
	stays bool
}

func (d mounted) Device(folder string) (uint64, error) {
	switch {
	case folder != stick, d.out.Load() && d.stays:
		return 1, nil
	case d.out.Load():
		return 0, &fs.PathError{Op: "open", Path: folder, Err: fs.ErrNotExist}
	}
	return 2, nil
}

// While the stick is out nothing is written into the empty place where it was; one
// that comes back with other content is looked at from the start.
func TestTheEmptyPlaceOfAStick(t *testing.T) {
	for _, stays := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) { theEmptyPlace(t, stays) })
	}
}

func theEmptyPlace(t *testing.T, stays bool) {
	d := newDesk(t)
	d.m.Close()
	var out atomic.Bool
	now := func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }
	d.m = New(d.log, mounted{d.disk, &out, stays}, slog.New(slog.DiscardHandler), now, benchMarks, stick)
	d.t.Cleanup(d.m.Close)
	d.append(4)
	quiet := storetest.Chain(storetest.Game(2), nil, 3) // a game of which nothing more comes
	if err := d.m.Append(t.Context(), storetest.Game(2), quiet); err != nil {
		t.Fatal(err)
	}
	d.settled()
	out.Store(true)
	before := must(d.disk.Read(d.file()))
	d.append(2)
	time.Sleep(3 * tryEvery)
	synctest.Wait()
	if s := d.m.State()[0]; s.State != Missing {
		t.Errorf("without the stick: %+v", s)
	}
	if now := must(d.disk.Read(d.file())); string(now) != string(before) {
		t.Error("the place of the stick was written to")
	}
	// Another stick: an older copy of the one game, and none of the other.
	other := filepath.Join(stick, storetest.Game(2)+ending)
	if err := d.disk.Remove(other); err != nil {
		t.Fatal(err)
	}
	if err := durable.Write(d.disk, d.file(), must(lines(d.chain[:2]))); err != nil {
		t.Fatal(err)
	}
	out.Store(false)
	d.settled()
	if got, err := d.disk.Read(other); err != nil || string(got) != string(must(lines(quiet))) {
		t.Errorf("the quiet game has a copy of %d bytes, %v", len(got), err)
	}
}

// late is a log that takes its time to say that it has entries.
type late struct{ *memory.Store }

func (l late) Append(ctx context.Context, game string, entries []entry.Entry) error {
	err := l.Store.Append(ctx, game, entries)
	time.Sleep(3 * tryEvery)
	return err
}

// A copy that was brought up to date from the ledger while a post was on its way has
// the post's entries already: they are not written a second time.
func TestEntriesThatTheCopyHasAlready(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		d.append(2)
		d.settled()
		d.m.Close()
		d.disk.Pull(stick)
		now := func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }
		d.m = New(late{d.log}, d.disk, slog.New(slog.DiscardHandler), now, benchMarks, stick)
		d.t.Cleanup(d.m.Close)
		synctest.Wait()
		d.disk.Put(stick) // while the post is on its way
		next := storetest.Chain(storetest.Game(1), d.chain, 2)
		if err := d.m.Append(t.Context(), storetest.Game(1), next); err != nil {
			t.Fatal(err)
		}
		d.chain = append(d.chain, next...)
		d.settled()
	})
}

// A program that is started again adds its marks to those that are there: of a copy
// that lost its newest lines the older mark still says what this bench wrote.
func TestMarksAreAddedToThoseOfTheStartBefore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		d.append(3)
		d.settled()
		d.m.Close()
		d.start()
		d.append(2)
		d.settled()
		if err := durable.Write(d.disk, d.file(), must(lines(d.chain[:4]))); err != nil {
			t.Fatal(err)
		}
		found, err := compareAll(t.Context(), memory.New(), d.disk, benchMarks, stick)
		if err != nil || len(found) != 1 || found[0].Copied != 4 || found[0].Own != 3 {
			t.Errorf("found %+v, %v", found, err)
		}
	})
}

// counting is ledgers that count how often they are read.
type counting struct {
	*memory.Store
	reads atomic.Int64
}

func (c *counting) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	c.reads.Add(1)
	return c.Store.Load(ctx, game)
}

// To try again is to read every ledger: what fails, or says something else, is tried
// again less and less often, and a quarter of a minute later at the latest.
func TestWhatFailsIsTriedLessOften(t *testing.T) {
	for _, fails := range []bool{true, false} {
		synctest.Test(t, func(t *testing.T) {
			d := newDesk(t)
			d.append(3)
			d.settled()
			d.m.Close()
			want := Failing
			if fails {
				d.disk.FailAt(1, crashdisk.ForEver)
			} else {
				want = Differs
				other := storetest.Chain(storetest.Game(1), nil, 1)
				other[0].Wall++
				if err := durable.Write(d.disk, d.file(), must(lines(other))); err != nil {
					t.Fatal(err)
				}
			}
			log := &counting{Store: d.log}
			now := func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }
			d.m = New(log, d.disk, slog.New(slog.DiscardHandler), now, benchMarks, stick)
			d.t.Cleanup(d.m.Close)
			time.Sleep(10 * time.Minute)
			synctest.Wait()
			if s := d.m.State()[0]; s.State != want {
				t.Errorf("the copy is %+v", s)
			}
			if reads := log.reads.Load(); reads < 30 || reads > 60 {
				t.Errorf("in ten minutes the ledger was read %d times", reads)
			}
			d.disk.FailAt(0, crashdisk.None)
			if !fails {
				if err := d.disk.Remove(d.file()); err != nil {
					t.Fatal(err)
				}
			}
			time.Sleep(restsMost * tryEvery)
			d.settled()
		})
	}
}
