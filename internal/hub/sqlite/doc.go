// Package sqlite keeps a hub in one SQLite database in one folder: ledgers, tokens,
// sessions and the log of what people did, of as many associations as there are; the
// embedded hub has one. The file is opened as the bench's own is: WAL, synchronous
// FULL, settings read back, opened anew after a write that failed.
//
//	hub, err := sqlite.Open(ctx, "/var/lib/whistlestop-hub")
//	if err != nil {
//		return err
//	}
//	defer hub.Close()
//	head, err := hub.Append(ctx, ledgers.Where{Association: "harbour", Game: game}, 1, lines, now)
//
// Every statement names the association; package hubtest tries each question with the
// wrong one.
package sqlite
