//go:build !js

package browser_test

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
	"whistlestop/internal/store/browser"
	"whistlestop/internal/store/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T) storetest.Store { return open(t, &held{}, &held{}) })
}

func open(t *testing.T, a, b *held) *browser.Store {
	t.Helper()
	s, err := browser.Open(a, b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func load(t *testing.T, s *browser.Store, game string) []entry.Entry {
	t.Helper()
	ledger, err := s.Load(context.Background(), game)
	if err != nil {
		t.Fatal(err)
	}
	return ledger
}

func add(t *testing.T, s *browser.Store, game string, entries []entry.Entry) {
	t.Helper()
	if err := s.Append(context.Background(), game, entries); err != nil {
		t.Fatal(err)
	}
}

// TestWhatWasKeptIsThereAgain: also what was learnt, and what was taken out.
func TestWhatWasKeptIsThereAgain(t *testing.T) {
	a, b := &held{}, &held{}
	game, chain := storetest.Game(1), storetest.Chain(storetest.Game(1), nil, 6)
	s := open(t, a, b)
	add(t, s, game, chain[:4])
	gone := chain[1].Names()[0]
	if err := s.Forget(context.Background(), game, []string{gone.Commitment}, nil, chain[4:5]); err != nil {
		t.Fatal(err)
	}
	add(t, s, game, chain[5:])
	if bytes.Contains(append(slices.Clone(a.content), b.content...), []byte(gone.Random)) {
		t.Error("the random bytes of a text that was taken out are still in a file")
	}
	again := load(t, open(t, a, b), game)
	if err := entry.VerifyChain(again); err != nil || len(again) != 6 {
		t.Fatalf("%d entries, %v", len(again), err)
	}
	if note, _ := again[1].Body.(entry.Note); note.Text != entry.TakenOut {
		t.Errorf("it reads %q", note.Text)
	}
}

// TestTornTail: cut anywhere, all records before the cut are there, and the next one
// can be written.
func TestTornTail(t *testing.T) {
	a := &held{}
	game, chain := storetest.Game(1), storetest.Chain(storetest.Game(1), nil, 5)
	s := open(t, a, &held{})
	var ends []int
	for _, e := range chain {
		add(t, s, game, []entry.Entry{e})
		ends = append(ends, len(a.content))
	}
	for size := ends[1]; size <= len(a.content); size++ {
		cut := &held{content: slices.Clone(a.content[:size])}
		again := open(t, cut, &held{})
		want := 0
		for want < len(ends) && ends[want] <= size {
			want++
		}
		if got := load(t, again, game); len(got) != want {
			t.Fatalf("cut at %d of %d there are %d entries, want %d", size, len(a.content), len(got), want)
		}
		if want < len(chain) {
			add(t, again, game, chain[want:])
		}
		if got := load(t, open(t, cut, &held{}), game); len(got) != len(chain) {
			t.Fatalf("after the next post there are %d entries", len(got))
		}
	}
}

// TestDamageIsNamed: a byte that turned in the middle names the game and the entry,
// other games stay whole, and nothing is cut off.
func TestDamageIsNamed(t *testing.T) {
	a := &held{}
	s := open(t, a, &held{})
	game, chain := storetest.Game(1), storetest.Chain(storetest.Game(1), nil, 3)
	add(t, s, game, chain[:1])
	from := len(a.content)
	add(t, s, game, chain[1:2])
	to := len(a.content)
	add(t, s, game, chain[2:])
	add(t, s, storetest.Game(2), storetest.Chain(storetest.Game(2), nil, 2))
	for at := from; at < to; at++ {
		turned := &held{content: slices.Clone(a.content)}
		turned.content[at] ^= 1
		again := open(t, turned, &held{})
		var damaged *store.DamagedError
		if _, err := again.Load(context.Background(), game); !errors.As(err, &damaged) || damaged.Seq != 2 {
			t.Fatalf("byte %d turned: %v", at, err)
		}
		if got := load(t, again, storetest.Game(2)); len(got) != 2 || len(turned.content) != len(a.content) {
			t.Fatalf("byte %d turned: %d entries of the other game, %d bytes of %d", at, len(got), len(turned.content), len(a.content))
		}
	}
}

// TestFull: where there is no more room the post is refused and nothing of it stays;
// with room it can be posted again.
func TestFull(t *testing.T) {
	a := &held{}
	s := open(t, a, &held{})
	game, chain := storetest.Game(1), storetest.Chain(storetest.Game(1), nil, 2)
	add(t, s, game, chain[:1])
	a.room = len(a.content) + 40
	if err := s.Append(context.Background(), game, chain[1:]); !errors.Is(err, errFull) {
		t.Fatal(err)
	}
	if got := load(t, open(t, &held{content: slices.Clone(a.content)}, &held{}), game); len(got) != 1 {
		t.Errorf("%d entries", len(got))
	}
	a.room = 0
	add(t, s, game, chain[1:])
	if got := load(t, open(t, a, &held{}), game); len(got) != 2 {
		t.Errorf("%d entries with room", len(got))
	}
}

// TestKilledAnywhere: killed at every step of a game with a text that is taken out,
// with what was flushed or with all that was written, what was answered is there.
func TestKilledAnywhere(t *testing.T) {
	game, chain := storetest.Game(1), storetest.Chain(storetest.Game(1), nil, 5)
	gone := []string{chain[1].Names()[0].Commitment}
	for steps := 0; ; steps++ {
		left := steps
		a, b := &held{steps: &left}, &held{steps: &left}
		answered := 0
		s, err := browser.Open(a, b)
		if err == nil {
			for _, do := range []func() error{
				func() error { return s.Append(context.Background(), game, chain[:1]) },
				func() error { return s.Append(context.Background(), game, chain[1:3]) },
				func() error { return s.Forget(context.Background(), game, gone, nil, chain[3:4]) },
				func() error { return s.Append(context.Background(), game, chain[4:]) },
			} {
				if err = do(); err != nil {
					break
				}
				answered++
			}
		}
		want := []int{0, 1, 3, 4, 5}[answered]
		for _, flushed := range []bool{true, false} {
			one, two := &held{content: a.content}, &held{content: b.content}
			if flushed {
				one, two = &held{content: a.safe}, &held{content: b.safe}
			}
			again, err := browser.Open(one, two)
			if err != nil {
				t.Fatalf("killed after %d steps: %v", steps, err)
			}
			if got := load(t, again, game); len(got) < want || entry.VerifyChain(got) != nil {
				t.Fatalf("killed after %d steps: %d entries of %d that were answered", steps, len(got), want)
			}
		}
		if err == nil {
			break
		}
	}
}

// TestPaper: the newest content is there again, or, killed while it was written, the
// one before.
func TestPaper(t *testing.T) {
	for steps := 2; ; steps++ {
		left := steps
		a, b := &held{steps: &left}, &held{steps: &left}
		p, err := browser.OpenPaper(a, b)
		if err != nil {
			t.Fatal(err)
		}
		written := 0
		for _, text := range []string{"the first one, which is long", "the second", "the third of them"} {
			if err = p.Write([]byte(text)); err != nil {
				break
			}
			written++
		}
		again, openErr := browser.OpenPaper(&held{content: a.content}, &held{content: b.content})
		if openErr != nil {
			t.Fatal(openErr)
		}
		got, _ := again.Read()
		all := []string{"", "the first one, which is long", "the second", "the third of them"}
		if at := slices.Index(all, string(got)); at < written || at > written+1 {
			t.Fatalf("killed after %d steps and %d writings it reads %q", steps, written, got)
		}
		if err == nil {
			break
		}
	}
}
