//go:build race

package sqlite

// raced says that the race detector slows SQLite down some ten times.
const raced = true
