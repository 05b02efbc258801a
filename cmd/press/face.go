//go:build js && wasm

package main

import "whistlestop/internal/worker"

// face takes a file with letters for the PDF that the worker has at hand, by its function,
// and waits for it. Its error says what the browser says.
func face(name string) ([]byte, error) {
	came, err := worker.Call("whistlestopAtHand", name)
	if err != nil {
		return nil, err
	}
	return worker.Bytes(came[0]), nil
}
