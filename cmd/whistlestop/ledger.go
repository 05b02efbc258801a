package main

import (
	"errors"
	"io"
	"os"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
)

// readLedger reads an export: one CloudEvent a line.
func readLedger(from io.Reader) ([]entry.Entry, error) {
	content, err := io.ReadAll(io.LimitReader(from, ledgerMost+1))
	if err != nil {
		return nil, err
	}
	if len(content) > ledgerMost {
		return nil, message.New("command.ledger_too_large", "most", ledgerMost>>20)
	}
	ledger, err := entry.ReadLedger(content)
	if err == nil && len(ledger) == 0 {
		err = rules.ErrNotOpened
	}
	return ledger, err
}

// readGame reads the export of a game and folds it.
func readGame(file string) (ledger []entry.Entry, state rules.State, err error) {
	from, err := os.Open(file)
	if err != nil {
		return nil, state, err
	}
	defer func() { err = errors.Join(err, from.Close()) }()
	if ledger, err = readLedger(from); err != nil {
		return nil, state, err
	}
	state, err = rules.Fold(ledger)
	return ledger, state, err
}

// cannotRead says that a file cannot be read, and why.
func cannotRead(file string, why error) error {
	return message.Because(why, "command.unreadable", "file", file)
}

// readFile is readBounded with an error that names the file.
func readFile(file string) ([]byte, error) {
	text, err := readBounded(file)
	if err != nil {
		return nil, cannotRead(file, err)
	}
	return text, nil
}
