package bustest

import (
	"errors"
	"sync"
	"testing"
	"time"

	"whistlestop/internal/hub/bus"
)

// RunAsker runs the suite of what carries questions. open returns its ends in two
// processes, which may be one and the same.
func RunAsker(t *testing.T, open func(t *testing.T) (here, there bus.Asker)) {
	here, there := open(t)
	const odd = "room.harbour.a-b_c.%*> d" // signs that mean something to others
	if _, err := there.Ask(t.Context(), odd, nil); !errors.Is(err, bus.ErrNobody) {
		t.Fatalf("nobody answers: %v", err)
	}
	large := make([]byte, 256<<10)
	stop, err := here.Answer(odd, func(question []byte) []byte { return append([]byte("heard "), question...) })
	if err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(time.Minute); ; time.Sleep(time.Millisecond) { // until the other process knows of it
		_, err := there.Ask(t.Context(), odd, nil)
		if err == nil {
			break
		}
		if !errors.Is(err, bus.ErrNobody) || time.Now().After(end) {
			t.Fatal(err)
		}
	}
	var group sync.WaitGroup
	for _, asker := range []bus.Asker{here, there, there, there} {
		group.Go(func() {
			for _, question := range [][]byte{[]byte("one"), nil, large} {
				got, err := asker.Ask(t.Context(), odd, question)
				if err != nil || string(got) != "heard "+string(question) {
					t.Errorf("%d bytes were answered by %d, %v", len(question), len(got), err)
				}
			}
		})
	}
	group.Wait()
	if _, err := there.Ask(t.Context(), odd+"x", nil); !errors.Is(err, bus.ErrNobody) {
		t.Errorf("another address: %v", err)
	}
	stop()
	if _, err := there.Ask(t.Context(), odd, nil); !errors.Is(err, bus.ErrNobody) {
		t.Errorf("nobody answers any more: %v", err)
	}
}
