//go:build js && wasm

package main

import "whistlestop/internal/worker"

// printed has an order printed by the worker's function of that name, which starts a
// thread that prints it. Its error is the sentence of that thread, or says what the
// browser says.
func printed(order []byte) ([]byte, error) {
	pdf, err := worker.Call("whistlestopPrint", worker.Array(order))
	if err != nil {
		return nil, err
	}
	return worker.Bytes(pdf[0]), nil
}

// face fetches a file with letters for the PDF by the worker's function of that name,
// which keeps it for what will be printed.
func face(name string) error {
	_, err := worker.Call("whistlestopFace", name)
	return err
}
