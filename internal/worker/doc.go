//go:build js && wasm

// Package worker calls functions that a thread of a browser's page has for a program in it:
// each ends by calling one of two others, with what came or with why not.
//
//	came, err := worker.Call("whistlestopFace", name)
//	if err == nil { use(worker.Bytes(came[0])) }
package worker
