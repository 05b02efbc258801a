//go:build js && wasm

package main

import (
	"errors"
	"syscall/js"
)

// face takes a file with letters for the PDF that the worker has at hand, by its function,
// and waits for it. Its error says what the browser says.
func face(name string) ([]byte, error) {
	type ended struct {
		content []byte
		err     error
	}
	end := make(chan ended, 1)
	came := js.FuncOf(func(_ js.Value, a []js.Value) any { // content
		raw := make([]byte, a[0].Length())
		js.CopyBytesToGo(raw, a[0])
		end <- ended{content: raw}
		return nil
	})
	failed := js.FuncOf(func(_ js.Value, a []js.Value) any { // why
		end <- ended{err: errors.New(a[0].String())}
		return nil
	})
	js.Global().Call("whistlestopAtHand", name, came, failed)
	got := <-end
	came.Release()
	failed.Release()
	return got.content, got.err
}
