// Package sqlite keeps ledgers in one SQLite database in one folder, with a
// driver in pure Go.
//
// A commit that was reported as done survives a power cut, as far as the disk
// keeps its word: the database runs with WAL and synchronous=FULL, and Open
// reads those settings back and refuses to go on with weaker ones. After a
// commit that failed, the connection is closed and the next call opens the file
// again, because what the system holds in memory may not be what is on the disk
// then.
//
//	ledgers, err := sqlite.Open(ctx, "/home/kim/.config/whistlestop")
//	if err != nil {
//		return err
//	}
//	defer ledgers.Close()
package sqlite
