package mirror

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/proof/crashdisk"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/storetest"
)

// Thirty days after the seal a copy has the game by number only. The bench has the
// names as before, and another game keeps its own.
func TestNamesGoFromACopyAfterTheSeal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		d.append(4)
		sealed := storetest.Chain(storetest.Game(1), d.chain, 1)
		sealed[0].Body, sealed[0].Apart = entry.Sealed{Version: 1, Head: sealed[0].Prev, Key: "key", Signature: "made"}, nil
		sealed[0].Wall = entry.Millis(time.Now().UnixMilli())
		if err := d.m.Append(context.Background(), storetest.Game(1), sealed); err != nil {
			t.Fatal(err)
		}
		d.chain = append(d.chain, sealed...)
		d.settled()
		const day = 24 * time.Hour
		time.Sleep(29 * day)
		d.settled() // as the ledger: with its names
		time.Sleep(day)
		time.Sleep(2*tryEvery + time.Second)
		synctest.Wait()
		copied, err := d.disk.Read(d.file())
		if err != nil || bytes.Contains(copied, []byte("whistlestop.name.")) || countEntries(copied) != len(d.chain) {
			t.Errorf("after thirty days the copy is\n%s\n%v", copied, err)
		}
		games, torn, err := Read(copied)
		if err != nil || torn || len(games) != 1 || games[0].Bad != nil || common(games[0].Ledger, d.chain) != len(d.chain) {
			t.Errorf("it reads as %+v, %v, %v", games, torn, err)
		}
		here, err := d.log.Load(context.Background(), storetest.Game(1))
		if err != nil || len(here[1].Names()) == 0 {
			t.Errorf("the bench has %+v, %v", here, err)
		}
		// A program that starts later leaves it so, and what comes then has no names.
		d.m.Close()
		d.start()
		d.append(2)
		time.Sleep(2*tryEvery + time.Second)
		synctest.Wait()
		if copied, err = d.disk.Read(d.file()); err != nil || bytes.Contains(copied, []byte("whistlestop.name.")) || countEntries(copied) != len(d.chain) {
			t.Errorf("after a start it is\n%s\n%v", copied, err)
		}
	})
}

// What a backup has of people lies in a part of its own, which games are whole
// without, and which has nothing more of a game thirty days after its seal: neither
// when it is made, nor when one that was left lying is taken over.
func TestNamesOfABackup(t *testing.T) {
	ctx, log, disk := context.Background(), memory.New(), crashdisk.New("/", stick)
	game := storetest.Game(1)
	chain := storetest.Chain(game, nil, 4)
	sealed := storetest.Chain(game, chain, 1)
	sealed[0].Body, sealed[0].Apart = entry.Sealed{Version: 1, Head: sealed[0].Prev, Key: "key", Signature: "made"}, nil
	if err := log.Append(ctx, game, append(chain, sealed...)); err != nil {
		t.Fatal(err)
	}
	at := sealed[0].Wall
	for name, backUp := range map[string]func(now entry.Millis) (string, error){
		"file": func(now entry.Millis) (string, error) {
			_, err := BackUpToFile(ctx, log, disk, "/stick/all.jsonl", now)
			return "/stick/all.jsonl", err
		},
		"folder": func(now entry.Millis) (string, error) {
			_, err := BackUpToFolder(ctx, log, disk, stick, now)
			return filepath.Join(stick, game+ending), err
		},
	} {
		file, err := backUp(at + namesLast - 1)
		if err != nil {
			t.Fatal(err)
		}
		lines := must(disk.Read(file))
		part, err := disk.Read(NamesOf(file))
		names, bad := ReadNames(part)
		if err != nil || bad > 0 || len(names) == 0 || bytes.Contains(lines, []byte("whistlestop.name.")) || countEntries(lines) != 5 {
			t.Fatalf("%s: %d names, %d bad, %v, beside\n%s", name, len(names), bad, err, lines)
		}
		read := func() []entry.Entry {
			games, _, err := Read(lines)
			if err != nil || len(games) != 1 || games[0].Bad != nil {
				t.Fatalf("%s: %+v, %v", name, games, err)
			}
			return games[0].Ledger
		}
		for _, taken := range []struct {
			now  entry.Millis
			some bool
		}{{at, true}, {at + namesLast - 1, true}, {at + namesLast, false}} {
			ledger := read()
			if Named(ledger, names, taken.now); len(ledger[1].Names()) > 0 != taken.some {
				t.Errorf("%s: %d ms after the seal: %+v", name, taken.now-at, ledger[1].Names())
			}
		}
		if file, err = backUp(at + namesLast); err != nil {
			t.Fatal(err)
		}
		if _, err := disk.Read(NamesOf(file)); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: thirty days after the seal the names are there: %v", name, err)
		}
		if _, _, err := Read(part); !errors.Is(err, ErrNamesAlone) {
			t.Errorf("%s: names alone: %v", name, err)
		}
	}
}
