// Package sqlite keeps a hub in one SQLite database in one folder. What is asked of it
// stands in package tables, which every engine shares; the embedded hub has one
// association. The file is opened as the bench's own is: WAL, synchronous
// FULL, settings read back, opened anew after a write that failed.
//
//	hub, err := sqlite.Open(ctx, "/var/lib/whistlestop-hub")
//	if err != nil {
//		return err
//	}
//	defer hub.Close()
//	head, err := hub.Append(ctx, ledgers.Where{Association: "harbour", Game: game}, 1, lines, now)
package sqlite
