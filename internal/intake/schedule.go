package intake

import (
	"bytes"
	"encoding/csv"
	"path/filepath"
	"strings"
	"time"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// Schedule reads the games of a file by the end of its name: .ics or .ical a
// calendar, .xlsx a workbook, everything else a table with commas or semicolons.
func Schedule(name string, text []byte, l league.League) (schedule.Incoming, error) {
	var table [][]string
	var err error
	switch strings.ToLower(filepath.Ext(name)) {
	case ".ics", ".ical":
		rows, faults, err := fromCalendar(text, l)
		return schedule.Incoming{Rows: rows, Findings: faults}, err
	case ".xlsx":
		table, err = xlsx.Rows(text)
	default:
		table, err = commas(text)
	}
	if err != nil {
		return schedule.Incoming{}, message.Because(err, "command.unreadable", "file", name)
	}
	var read schedule.Incoming
	read.Rows, read.Findings = schedule.FromTable(l, table)
	if len(table) > 0 {
		read.Columns = schedule.Columns(table[0])
	}
	return read, nil
}

func commas(text []byte) ([][]string, error) {
	reader := csv.NewReader(bytes.NewReader(text))
	reader.FieldsPerRecord = -1
	first, _, _ := bytes.Cut(text, []byte("\n"))
	if bytes.Count(first, []byte(";")) > bytes.Count(first, []byte(",")) {
		reader.Comma = ';' // as spreadsheets of half of Europe write it
	}
	return reader.ReadAll()
}

func fromCalendar(text []byte, l league.League) ([]schedule.Row, []schedule.Finding, error) {
	zone, err := Zone(l)
	if err != nil {
		return nil, nil, err
	}
	events, wrong := calendar.Read(text, zone)
	var faults []schedule.Finding
	for _, w := range wrong {
		faults = append(faults, schedule.Finding(w))
	}
	rows, more := schedule.FromCalendar(l, events, func(e calendar.Found) (dates.Day, dates.Clock) {
		at := e.Start.In(zone)
		midnight := time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, time.UTC)
		return dates.Day(midnight.Unix() / (24 * 60 * 60)), dates.Clock(60*at.Hour() + at.Minute())
	})
	return rows, append(faults, more...), nil
}

// Zone is that of the clocks of a league's rinks.
func Zone(l league.League) (*time.Location, error) {
	zone, err := time.LoadLocation(l.Zone)
	if err != nil {
		return nil, message.New("command.schedule.zone", "zone", l.Zone)
	}
	return zone, nil
}
