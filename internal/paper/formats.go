package paper

import (
	"encoding/json"
	"io"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/paper/csv"
	"whistlestop/internal/paper/html"
	"whistlestop/internal/paper/pdf"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/record/report"
	"whistlestop/record/rows"
	"whistlestop/record/tables"
)

// Options say how a report is written. Formats leave aside what is not for them.
type Options struct {
	Paper   string // a4, letter; of a PDF
	Times   rulebook.ReportTimes
	Names   bool           // of players, on the page for parents
	Picture bool           // of the whole game, in a PDF
	Zone    *time.Location // of the times of day; nil: UTC
	Words   Words
}

// Words are the texts of the language that a report is written in.
type Words interface {
	Text(key string, args rules.Args) string
	Language() string // as a tag of BCP 47
}

// Format is one form of a report's file.
type Format struct {
	Name  string // and the ending of its files
	Media string // type of the media, with its parameters
	Page  bool   // a browser shows it as a page of its own, so nothing in it may be carried out

	// Downloads are the forms of the file that the report's page offers, in order.
	// A format without one is got in another way.
	Downloads []Download

	write  func(out io.Writer, g game, o Options) error
	tables func(out io.Writer, d tables.Document, o Options) error // nil: not of this format
}

// Download is a file that the report's page offers.
type Download struct {
	Query string // what the address asks for beside the format; empty: nothing
	Words string // key of its name in the screens' catalogue
}

// game is what a report is written from.
type game struct {
	document report.Document
	state    rules.State
}

// picture draws the whole game.
func (g game) picture(words Words) *lanes.Drawing {
	drawn := lanes.Whole(g.state, g.document.Totals.Played, func(key string, pairs ...string) string {
		return words.Text(key, rules.Pairs(pairs...))
	})
	return &drawn
}

// Formats lists every format. A further one is a row here, with the words for
// the page of the report where it is offered there.
var Formats = []Format{
	{Name: "pdf", Media: "application/pdf", Downloads: []Download{
		{"", "report.file.pdf"}, {"paper=letter", "report.file.letter"}, {"picture=yes", "report.file.picture"},
	}, tables: pdfTables, write: func(out io.Writer, g game, o Options) error {
		p := pdf.Options{Paper: pdf.Paper(o.Paper), Names: true, Zone: o.Zone}
		if o.Picture {
			p.Picture = g.picture(o.Words)
		}
		return pdf.Report(out, g.document, p, o.Words)
	}},
	{Name: "xlsx", Media: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", Downloads: []Download{
		{"", "report.file.xlsx"},
	}, tables: xlsxTables, write: func(out io.Writer, g game, o Options) error {
		return xlsx.Write(out, rows.Of(g.document), o.Words, o.Zone)
	}},
	{Name: "csv", Media: "text/csv; charset=utf-8; header=present", Downloads: []Download{{"", "report.file.csv"}}, tables: csvTables, write: func(out io.Writer, g game, _ Options) error {
		return csv.Write(out, rows.Of(g.document))
	}},
	{Name: "json", Media: "application/json", Downloads: []Download{{"", "report.file.json"}}, tables: jsonTables, write: func(out io.Writer, g game, _ Options) error {
		to := json.NewEncoder(out)
		to.SetIndent("", "  ")
		return to.Encode(g.document)
	}},
	{Name: "html", Media: "text/html; charset=utf-8", Page: true, tables: htmlTables, write: func(out io.Writer, g game, o Options) error {
		p := html.Options{Names: o.Names}
		if o.Picture {
			p.Picture = g.picture(o.Words)
		}
		return html.Shared(out, g.document, p, o.Words)
	}},
	{Name: "svg", Media: "image/svg+xml", Page: true, write: func(out io.Writer, g game, o Options) error {
		return g.picture(o.Words).SVG(out)
	}},
}

// ByName finds a format.
func ByName(name string) (Format, bool) {
	for _, f := range Formats {
		if f.Name == name {
			return f, true
		}
	}
	return Format{}, false
}

// TableFormats lists the names of the formats that write tables.
func TableFormats() (names []string) {
	for _, f := range Formats {
		if f.tables != nil {
			names = append(names, f.Name)
		}
	}
	return names
}

// Endings lists the endings of the formats, for people: .pdf, .xlsx and so on.
func Endings() string {
	names := make([]string, len(Formats))
	for i, f := range Formats {
		names[i] = "." + f.Name
	}
	return strings.Join(names, ", ")
}

// Write writes the report of a ledger.
func (f Format) Write(out io.Writer, ledger []entry.Entry, o Options) error {
	state, err := rules.Fold(ledger)
	if err != nil {
		return err
	}
	d, err := report.Build(ledger, report.Options{Times: o.Times})
	if err != nil {
		return err
	}
	if o.Zone == nil {
		o.Zone = time.UTC
	}
	return f.write(out, game{d, state}, o)
}
