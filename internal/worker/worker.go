//go:build js && wasm

package worker

import (
	"errors"
	"syscall/js"
)

// Call calls the thread's function of that name with the arguments and, behind them, two
// functions, and waits until it calls one of those. It returns what the first is called
// with. The error's text is what the second is called with.
func Call(function string, arguments ...any) ([]js.Value, error) {
	type ended struct {
		came []js.Value
		err  error
	}
	end := make(chan ended, 1)
	came := js.FuncOf(func(_ js.Value, a []js.Value) any {
		end <- ended{came: a}
		return nil
	})
	failed := js.FuncOf(func(_ js.Value, a []js.Value) any { // why
		end <- ended{err: errors.New(a[0].String())}
		return nil
	})
	js.Global().Call(function, append(arguments, came, failed)...)
	got := <-end
	came.Release()
	failed.Release()
	return got.came, got.err
}

// Array is bytes as the browser has them.
func Array(raw []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(raw))
	js.CopyBytesToJS(array, raw)
	return array
}

// Bytes are those of an array of the browser.
func Bytes(array js.Value) []byte {
	raw := make([]byte, array.Length())
	js.CopyBytesToGo(raw, array)
	return raw
}
