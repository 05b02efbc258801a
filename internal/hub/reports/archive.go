package reports

import (
	"archive/zip"
	"context"
	"encoding/json"
	"fmt"
	"io"

	"whistlestop/game/entry"
	"whistlestop/record/report"
	"whistlestop/record/seal"
)

// ArchiveMost is how many reports one archive has at most (ours): the connection of
// whoever waits for it has to last.
const ArchiveMost = 1000

// Write writes a report in a format.
type Write func(out io.Writer, one One, format string) error

// Formats are the forms in which a hub hands out reports, beside the ledger itself.
var Formats = []string{"pdf", "xlsx", "csv", "json"}

// indexed is a report in the list of an archive.
type indexed struct {
	Game        string            `json:"game"`
	Folder      string            `json:"folder"`
	Day         string            `json:"day"`
	Number      string            `json:"number,omitempty"`
	Division    string            `json:"division,omitempty"`
	Home        string            `json:"home"`
	Visitors    string            `json:"visitors"`
	Score       [2]int            `json:"score"`
	State       State             `json:"state"`
	Version     int               `json:"version,omitempty"` // of the newest seal
	Fingerprint string            `json:"fingerprint,omitempty"`
	Verified    Standing          `json:"verified"`
	Without     int               `json:"without_names"` // lines in whose place a copy without the names in them stands
	Incidents   []report.NoteLine `json:"incidents"`
}

// Archive writes reports into a ZIP file: a folder for each game with its report in
// every format, its ledger and what verifying it said, and a list of all.
func (s Reports) Archive(ctx context.Context, out io.Writer, list []Report, write Write) error {
	archive := zip.NewWriter(out)
	index := []indexed{}
	for _, r := range list {
		if err := ctx.Err(); err != nil {
			return err
		}
		one, err := s.Whole(ctx, r)
		if err != nil {
			return fmt.Errorf("game %s: %w", r.Game.ID, err)
		}
		folder := r.Day + "-" + r.Game.ID
		if err := one.into(archive, folder, write); err != nil {
			return fmt.Errorf("game %s: %w", r.Game.ID, err)
		}
		index = append(index, one.indexed(folder))
	}
	file, err := archive.Create("reports.json")
	if err == nil {
		err = indented(file, index)
	}
	if err != nil {
		return err
	}
	return archive.Close()
}

func indented(out io.Writer, value any) error {
	to := json.NewEncoder(out)
	to.SetIndent("", "  ")
	return to.Encode(value)
}

func (o One) into(archive *zip.Writer, folder string, write Write) error {
	file, err := archive.Create(folder + "/ledger.jsonl")
	if err == nil {
		_, err = file.Write(o.Ledger)
	}
	if err == nil {
		file, err = archive.Create(folder + "/verified.json")
	}
	if err == nil {
		err = indented(file, struct {
			Version int `json:"version"`
			seal.Verdict
			Without []int `json:"without_names_here"` // entries whose lines the hub read as they were hashed, and keeps without their names
		}{seal.VerdictVersion, o.Verdict, append([]int{}, o.Without...)})
	}
	if o.State == Unread {
		return err
	}
	for _, format := range Formats {
		if err == nil {
			file, err = archive.Create(folder + "/report." + format)
		}
		if err == nil {
			err = write(file, o, format)
		}
	}
	return err
}

func (o One) indexed(folder string) indexed {
	line := indexed{
		Game: o.Game.ID, Folder: folder, Day: o.Day, Number: o.Number, Division: o.Division, Home: o.Home, Visitors: o.Visitors, Score: o.Score,
		State: o.State, Version: o.Filed.Seals, Verified: o.Stands(), Without: len(o.Verdict.Withdrawn) + len(o.Verdict.Unvouched), Incidents: o.Incidents(),
	}
	if n := len(o.Verdict.Seals); n > 0 {
		line.Fingerprint = o.Verdict.Seals[n-1].Fingerprint
	}
	return line
}

// Incidents are the notes of the book that are more than a remark. What was written
// stays at the bench: a hub knows when, and what about.
func (o One) Incidents() []report.NoteLine {
	list := []report.NoteLine{}
	for _, note := range o.Document.Notes {
		if note.About != entry.Remark {
			list = append(list, note)
		}
	}
	return list
}
