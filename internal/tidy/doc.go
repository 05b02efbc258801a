// Package tidy holds tests about the code itself: who may import whom, what a
// pure package may not touch, how long a file may be, and whether every message
// and every test file is used. There is nothing to import; the tests are the
// package.
//
//	go test ./internal/tidy
//
// A rule is not bent to let a change through. When a rule is wrong, it is
// changed here, with the reason, and in docs/ARCHITECTURE.md.
package tidy
