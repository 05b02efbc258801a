//go:build js && wasm

// Command engine is the bench of a practice game for a browser, as WebAssembly.
//
//	GOOS=js GOARCH=wasm go build -o engine.wasm ./cmd/engine
//
// A page, or better a worker, loads it with Go's wasm_exec.js. It then puts
// whistlestopEngine into the global scope and calls whistlestopReady, if there is
// such a function:
//
//	whistlestopEngine.call("POST", "/practice/look", "{}", now) // {status, body}
//
// It speaks English until the page gives it the words of another language, as the
// files of the language have them:
//
//	whistlestopEngine.speak("fi", texts) // "", or why they cannot be read
//
// It is the same code as the bench's, so a ledger folds to the same bytes.
package main
