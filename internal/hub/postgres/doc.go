// Package postgres keeps a hub in PostgreSQL, for any number of hub processes: the
// questions of package tables, with row-level security as a second wall behind the
// association that every statement names.
//
// There are four roles. whistlestop_owner has the tables and changes them; nobody signs
// in as it. whistlestop_app is who a hub signs in as: it owns nothing, cannot go around
// the wall, and may add lines to ledgers and to the log but not change or delete one.
// whistlestop_relay is what a hub becomes for a transaction that looks at what every
// association is to be told. whistlestop_audit reads, an association at a time.
//
// Prepare makes and brings up to date all that; Open refuses a server or a login with
// which an acknowledged line could be lost or shown to others.
//
//	if err := postgres.Prepare(ctx, "postgres://postgres@/hub"); err != nil {
//		return err
//	}
//	hub, err := postgres.Open(ctx, "postgres://whistlestop_app@/hub")
//	if err != nil {
//		return err
//	}
//	defer hub.Close()
//	head, err := hub.Append(ctx, ledgers.Where{Association: "harbour", Game: game}, 1, lines, now)
//
// Lines of different games that benches send at the same moment go in one transaction
// together. In the transaction of an append a row is written to the outbox; package bus takes it
// from there.
package postgres
