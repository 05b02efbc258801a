// Package tables is a hub's questions to its database, written once for every engine:
// ledgers, tokens, sessions and the log of what people did, of as many associations as
// there are. Statements keep to what SQLite and PostgreSQL both understand, with a
// question mark for each value; what the engines do in different ways (transactions,
// locks, telling other processes) is behind Database and Tx.
//
// The steps that make the tables are one list too (Steps). They are written in SQLite's
// words, and package postgres puts its own in their places: INTEGER is a number of 64
// bits, BLOB is bytes, STRICT and WITHOUT ROWID go. A step creates tables and indexes
// and adds columns, and takes nothing away that an older program asks for.
//
//	store := tables.New(database)
//	head, err := store.Append(ctx, ledgers.Where{Association: "harbour", Game: game}, 1, lines, now)
//
// Every statement names the association, and every transaction says whose it is;
// package hubtest tries each question with the wrong one.
package tables
