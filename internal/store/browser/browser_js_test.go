package browser_test

import (
	"context"
	"fmt"
	"os"
	"syscall/js"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store/browser"
	"whistlestop/internal/store/storetest"
)

// The tests of this file run in a browser's worker, which has opened files and left
// them in whistlestopFiles: a journey compiles them, and serves the page.

// next returns two files that nobody used yet.
func next(t *testing.T) (a, b browser.Handle) {
	t.Helper()
	files := js.Global().Get("whistlestopFiles")
	if files.Length() < 2 {
		t.Fatal("the worker opened too few files")
	}
	return browser.HandleOf(files.Call("shift")), browser.HandleOf(files.Call("shift"))
}

// TestStoreInBrowser is the suite that every store passes.
func TestStoreInBrowser(t *testing.T) {
	storetest.Run(t, func(t *testing.T) storetest.Store {
		a, b := next(t)
		s, err := browser.Open(a, b)
		if err != nil {
			t.Fatal(err)
		}
		return s
	})
}

// TestRefusedInBrowser: what the browser throws is an error, and nothing of the post
// stays: files that were lost, and room that ran out.
func TestRefusedInBrowser(t *testing.T) {
	a, b := next(t)
	s, err := browser.Open(a, b)
	if err != nil {
		t.Fatal(err)
	}
	game, chain := storetest.Game(1), storetest.Chain(storetest.Game(1), nil, 2)
	if err := s.Append(context.Background(), game, chain[:1]); err != nil {
		t.Fatal(err)
	}
	js.Global().Call("whistlestopRefuse") // from now on as a browser without room
	if err := s.Append(context.Background(), game, chain[1:]); err == nil {
		t.Error("kept without room")
	} else {
		t.Log(err)
	}
	js.Global().Call("whistlestopAllow")
	if ledger, err := s.Load(context.Background(), game); err != nil || len(ledger) != 1 {
		t.Errorf("%d entries, %v", len(ledger), err)
	}
	if err := s.Append(context.Background(), game, chain[1:]); err != nil {
		t.Error(err)
	}
	js.Global().Call("whistlestopLose") // the files are closed under the store
	if err := s.Append(context.Background(), game, storetest.Chain(game, chain, 1)); err == nil {
		t.Error("kept in files that are closed")
	} else {
		t.Log(err)
	}
}

// TestKilledInBrowser posts without an end and tells each number that was answered.
// The journey kills the browser, and runs it again: what was answered is there.
func TestKilledInBrowser(t *testing.T) {
	a, b := next(t)
	s, err := browser.Open(a, b)
	if err != nil {
		t.Fatal(err)
	}
	game := storetest.Game(1)
	ledger, err := s.Load(context.Background(), game)
	if err == nil {
		err = entry.VerifyChain(ledger)
	}
	if err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(os.Stdout, "found %d\n", len(ledger))
	for len(ledger) < 5000 {
		more := storetest.Chain(game, ledger, 1)
		if err := s.Append(context.Background(), game, more); err != nil {
			t.Fatal(err)
		}
		ledger = append(ledger, more...)
		js.Global().Call("whistlestopKept", len(ledger))
	}
}
