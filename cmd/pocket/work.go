//go:build js && wasm

package main

import (
	"runtime"
	"time"
)

// work does what is asked for, each in a goroutine, which stays for the next: a new one
// would grow its stack for every question anew.
type work struct {
	asked   chan func()
	rests   *time.Timer
	cleared uint64 // bytes that had been allocated when memory was last cleared
}

const (
	restsAfter = 400 * time.Millisecond // without a question: somebody looks, or thinks
	worthIt    = 1 << 20                // bytes: with less, clearing takes more than it gives
)

func newWork() *work {
	w := &work{asked: make(chan func())}
	w.rests = time.AfterFunc(restsAfter, w.clear)
	return w
}

func (w *work) do(one func()) {
	w.rests.Reset(restsAfter)
	select {
	case w.asked <- one:
	default:
		go func() {
			for ; ; one = <-w.asked {
				one()
			}
		}()
	}
}

// clear collects what nobody needs any more, while nobody waits: else that happens in the
// middle of a post, and the memory, which a page never gives back, grows to twice as much.
func (w *work) clear() {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	if m.TotalAlloc-w.cleared < worthIt {
		return
	}
	w.cleared = m.TotalAlloc
	runtime.GC()
}
