// Package faults puts a layer of its own between SQLite and the files, for
// tests: it numbers every call that changes a file, can let one fail, tear it or
// end the program at it, and writes down all of them, so that every state in
// which a crash may leave the disk can be made afterwards.
//
// The layer wraps the system's own file layer of SQLite. What it lets through
// is what the program does in real life.
//
//	trace := faults.Record(t, folder)
//	play(folder)
//	for n := range trace.Calls() {
//		trace.Killed(n).Write(t, fresh) // the files as a kill -9 leaves them
//	}
package faults
