package main

import (
	"encoding/json"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/practice"
	"whistlestop/practice/grade"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// practised is what there is to grade: a record as the practice screen keeps it,
// or a script, a ledger and perhaps what was done besides.
func (c practiceGradeCommand) practised() (s script.Script, ledger []entry.Entry, acts []grade.Act, err error) {
	if c.Ledger == "" {
		return readRecord(c.Script)
	}
	if s, err = c.find(); err != nil {
		return s, nil, nil, err
	}
	if ledger, _, err = readGame(c.Ledger); err != nil {
		return s, nil, nil, cannotRead(c.Ledger, err)
	}
	if c.Acts != "" {
		raw, err := readAtMost(c.Acts, ledgerMost)
		if err == nil {
			err = json.Unmarshal(raw, &acts)
		}
		if err != nil {
			return s, nil, nil, cannotRead(c.Acts, err)
		}
	}
	return s, ledger, acts, nil
}

// readRecord reads a practice that was kept as a file.
func readRecord(file string) (s script.Script, ledger []entry.Entry, acts []grade.Act, err error) {
	raw, err := readAtMost(file, ledgerMost)
	if err != nil {
		return s, nil, nil, cannotRead(file, err)
	}
	var r practice.Record
	if err = json.Unmarshal(raw, &r); err != nil || r.Script == "" {
		return s, nil, nil, message.New("command.no_record", "file", file)
	}
	card, err := rinkCardJSON()
	if err != nil {
		return s, nil, nil, err
	}
	if s, err = maker.Parse([]byte(r.Script), file, plot.Known{Divisions: rulebook.Divisions(), Card: card}); err != nil {
		return s, nil, nil, message.Because(err, "command.bad_script")
	}
	if ledger, err = readLedger(strings.NewReader(r.Ledger)); err != nil {
		return s, nil, nil, cannotRead(file, err)
	}
	return s, ledger, r.Acts, nil
}
