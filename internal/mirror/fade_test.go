package mirror

import (
	"bytes"
	"context"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
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
