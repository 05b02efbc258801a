//go:build js && wasm

// Command press prints for the bench in a browser, as WebAssembly: a worker loads it with
// Go's wasm_exec.js, has one thing printed, and ends.
//
//	whistlestopPress.print(order, "en", "", (pdf) => ..., (whyNot) => ...)
//
// It is apart from the bench, which is loaded and kept for a whole game, so that it is
// there only while something is printed.
package main
