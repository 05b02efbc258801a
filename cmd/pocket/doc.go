//go:build js && wasm

// Command pocket is the bench for real games in a browser, as WebAssembly: a worker
// loads it with Go's wasm_exec.js, opens six files of the origin for it, and calls
//
//	whistlestopBench.open(files, "en", "", (whyNot) => ...)
//	whistlestopBench.ask("POST", "/games", body, (status, media, name, body) => ...)
//	stop = whistlestopBench.listen(game, "", (name, data, id) => ...)
//
// It is the same code as that of every bench. The engine of practice is apart, because
// everybody who practises loads that one.
package main
