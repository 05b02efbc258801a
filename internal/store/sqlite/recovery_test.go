package sqlite

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/proof/faults"
)

// With weaker settings the same power cuts do lose what was acknowledged: the
// tests beside this one can fail.
func TestWeakerSettingsWouldLoseEntries(t *testing.T) {
	folder, ctx := t.TempDir(), context.Background()
	s, err := Open(ctx, folder)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.db.Exec("PRAGMA synchronous=NORMAL"); err != nil {
		t.Fatal(err)
	}
	trace := faults.Record(t, folder)
	game := wholeGame(t)[:3]
	if err := s.Append(ctx, game[0].Game, game); err != nil {
		t.Fatal(err)
	}
	acknowledged := trace.Calls()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	cut := t.TempDir()
	trace.CutOff(acknowledged).Write(t, cut)
	if s, err = Open(ctx, cut); err != nil {
		t.Fatal(err)
	}
	ledger, err := s.Load(ctx, game[0].Game)
	if err != nil || len(ledger) != 0 {
		t.Errorf("%d entries survived, %v", len(ledger), err)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// S2: the program is killed again, or the power is cut again, at every call of
// the recovery; or one call of the recovery fails.
func TestCrashDuringRecovery(t *testing.T) {
	p := play(t)
	ctx := context.Background()
	p.each(557, func(n int) {
		random := rand.New(rand.NewPCG(2, uint64(n)))
		for name, disk := range map[string]faults.Disk{
			"killed": p.trace.Killed(n), "torn": p.trace.Torn(n, random),
		} {
			folder := t.TempDir()
			disk.Write(t, folder)
			recovery := faults.Record(t, folder)
			s, err := Open(ctx, folder)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := s.Games(ctx); err != nil {
				t.Fatal(err)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			faults.Ask(folder, nil)
			step := thin(1 + recovery.Calls()/8)
			for again := 0; again <= recovery.Calls(); again += step {
				what := fmt.Sprintf("%s after call %d, again after call %d of the recovery", name, n, again)
				p.check(t, what, n, recovery.Killed(again))
				p.check(t, what+", power", n, recovery.CutOff(again))
				p.check(t, what+", torn", n, recovery.Torn(again, random))
			}
			p.recoverWithErrors(t, fmt.Sprintf("%s after call %d", name, n), n, disk)
		}
	})
}

// recoverWithErrors lets the first, the second, the third... call of a recovery
// fail, each once, and opens again after it.
func (p *played) recoverWithErrors(t *testing.T, what string, calls int, disk faults.Disk) {
	t.Helper()
	for bad := 0; bad < 400; bad++ {
		folder, count, hit := t.TempDir(), 0, false
		disk.Write(t, folder)
		faults.Watch(t, folder, func(c faults.Call) faults.Verdict {
			count++
			if count-1 != bad {
				return faults.Verdict{}
			}
			hit = true
			return faults.Verdict{Fails: c.Kind.Failure(), First: len(c.Bytes) / 2, Drops: true}
		})
		s, err := Open(context.Background(), folder)
		if err == nil {
			if _, err := s.Games(context.Background()); err != nil && !hit {
				t.Fatalf("%s: %v", what, err)
			}
			if err := s.Close(); err != nil && !hit {
				t.Fatalf("%s: %v", what, err)
			}
		}
		faults.Ask(folder, nil)
		if !hit {
			return // every call failed once
		}
		p.checkFolder(t, fmt.Sprintf("%s, call %d of the recovery failed", what, bad), calls, folder)
		bad += thin(7) - 1
	}
}

// keepPosting posts a game as a bench does: after an error it loads the ledger,
// and posts again what is not in it. It gives up after tries without success.
func keepPosting(s *Store, posts [][]entry.Entry, tries int) (acknowledged int, err error) {
	ctx, game := context.Background(), posts[0][0].Game
	done := 0
	for _, post := range posts {
		for {
			if err = s.Append(ctx, game, post); err == nil {
				break
			}
			var ledger []entry.Entry
			if tries--; tries < 0 {
				return done, err
			}
			if ledger, err = s.Load(ctx, game); err == nil && len(ledger) == done+len(post) {
				break // it was kept, although nobody heard of it
			}
		}
		done += len(post)
	}
	return done, nil
}

// S3: the n-th call fails, once, or from then on for ever. S4: that call is a
// sync, and what was not synced is gone. S8: the disk is full from the n-th call
// on. Nothing is acknowledged falsely, and after the disk is mended the game goes
// on without a restart of the program.
func TestFailingDisk(t *testing.T) {
	ledger := wholeGame(t)[:24]
	var posts [][]entry.Entry
	for i := 0; i < len(ledger); i += 2 {
		posts = append(posts, ledger[i:i+2])
	}
	for _, test := range []struct {
		name    string
		step    int
		forever bool
		touches func(faults.Call) bool
		verdict func(faults.Call) faults.Verdict
	}{
		{"a call fails once", 7, false, func(faults.Call) bool { return true }, broken},
		{"calls fail for ever", 7, true, func(faults.Call) bool { return true }, broken},
		{"a sync fails once", 1, false, isSync, broken},
		{"syncs fail for ever", 1, true, isSync, broken},
		{"the disk is full", 7, true, grows, func(c faults.Call) faults.Verdict {
			return faults.Verdict{Fails: faults.Full, First: len(c.Bytes) / 3}
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			bad, step := 0, thin(test.step)
			for ; ; bad += step {
				if !failAt(t, posts, bad, test.forever, test.touches, test.verdict) {
					break
				}
			}
			if bad < step {
				t.Error("no call failed: the test shows nothing")
			}
			t.Logf("each of %d calls failed, in steps of %d", bad, step)
		})
	}
}

func isSync(c faults.Call) bool { return c.Kind == faults.Sync }

func grows(c faults.Call) bool { return c.Kind == faults.Write || c.Kind == faults.Open && c.Made }

func broken(c faults.Call) faults.Verdict {
	return faults.Verdict{Fails: c.Kind.Failure(), First: len(c.Bytes) / 2, Drops: true}
}

// failAt plays with the bad-th call of those that are touched failing. It
// returns false when there is no such call.
func failAt(
	t *testing.T, posts [][]entry.Entry, bad int, forever bool,
	touches func(faults.Call) bool, verdict func(faults.Call) faults.Verdict,
) bool {
	t.Helper()
	ctx, folder, game := context.Background(), t.TempDir(), posts[0][0].Game
	s, err := Open(ctx, folder)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Errorf("call %d failed: close: %v", bad, err)
		}
	}()
	count, mended := 0, false
	faults.Watch(t, folder, func(c faults.Call) faults.Verdict {
		if mended || !touches(c) {
			return faults.Verdict{}
		}
		count++
		if count-1 == bad || forever && count > bad {
			return verdict(c)
		}
		return faults.Verdict{}
	})
	acknowledged, err := keepPosting(s, posts, 3)
	if err == nil && forever && count > bad {
		t.Errorf("call %d and all after it failed, and every post was acknowledged", bad)
	}
	mended = true
	kept, loadErr := s.Load(ctx, game)
	if loadErr != nil {
		t.Fatalf("call %d failed: after the disk was mended: %v", bad, loadErr)
	}
	if len(kept) < acknowledged || len(kept)%2 != 0 {
		t.Fatalf("call %d failed: %d entries acknowledged, %d kept", bad, acknowledged, len(kept))
	}
	sameLedger(t, fmt.Sprintf("call %d failed", bad), kept, flat(posts))
	if rest := posts[len(kept)/2:]; len(rest) > 0 {
		if _, err := keepPosting(s, rest, 0); err != nil {
			t.Fatalf("call %d failed: after the disk was mended the game does not go on: %v", bad, err)
		}
	}
	return count > bad
}

func flat(posts [][]entry.Entry) (all []entry.Entry) {
	for _, post := range posts {
		all = append(all, post...)
	}
	return all
}

// S8: while the disk is full, the game so far can still be read.
func TestFullDiskCanStillBeRead(t *testing.T) {
	ctx, folder, game := context.Background(), t.TempDir(), wholeGame(t)[:4]
	s, err := Open(ctx, folder)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(ctx, game[0].Game, game[:2]); err != nil {
		t.Fatal(err)
	}
	faults.Watch(t, folder, func(c faults.Call) faults.Verdict {
		if grows(c) || c.Kind == faults.Open { // there may be no room for SQLite's helper files either
			return faults.Verdict{Fails: faults.Full}
		}
		return faults.Verdict{}
	})
	for range 3 {
		if err := s.Append(ctx, game[0].Game, game[2:]); err == nil {
			t.Fatal("an entry was kept on a full disk")
		}
		ledger, err := s.Load(ctx, game[0].Game)
		if err != nil || len(ledger) != 2 {
			t.Fatalf("%d entries can be read, %v", len(ledger), err)
		}
	}
	faults.Ask(folder, nil)
	if err := errors.Join(s.Append(ctx, game[0].Game, game[2:]), s.Close()); err != nil {
		t.Error(err)
	}
}
