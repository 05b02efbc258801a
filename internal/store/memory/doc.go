// Package memory keeps ledgers in memory, for tests and simulated games. It
// passes the same suite as the stores on disk.
//
//	ledgers := memory.New()
//	err := ledgers.Append(ctx, game, entries)
package memory
