//go:build js && wasm

package main

import (
	"errors"
	"syscall/js"
)

// printed has an order printed by the worker's function of that name, which starts a
// thread that prints it. Its error is the sentence of that thread, or says what the
// browser says.
func printed(order []byte) ([]byte, error) {
	text := js.Global().Get("Uint8Array").New(len(order))
	js.CopyBytesToJS(text, order)
	pdf, err := await("whistlestopPrint", text)
	if err != nil {
		return nil, err
	}
	raw := make([]byte, pdf.Length())
	js.CopyBytesToGo(raw, pdf)
	return raw, nil
}

// face fetches a file with letters for the PDF by the worker's function of that name,
// which keeps it for what will be printed.
func face(name string) error {
	_, err := await("whistlestopFace", name)
	return err
}

// await calls a function of the worker that ends by calling one of two others, and waits.
func await(function string, argument any) (js.Value, error) {
	type ended struct {
		came js.Value
		err  error
	}
	end := make(chan ended, 1)
	came := js.FuncOf(func(_ js.Value, a []js.Value) any { // what came
		end <- ended{came: a[0]}
		return nil
	})
	failed := js.FuncOf(func(_ js.Value, a []js.Value) any { // why
		end <- ended{err: errors.New(a[0].String())}
		return nil
	})
	js.Global().Call(function, argument, came, failed)
	got := <-end
	came.Release()
	failed.Release()
	return got.came, got.err
}
