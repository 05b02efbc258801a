package paper_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/message"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper"
	"whistlestop/record/tables"
)

// document is a small book with what files get wrong: a formula for a name, signs,
// thousandths, times, sentences, an empty table, and one that goes on over the page.
func document(rows int) tables.Document {
	players := tables.Table{
		Name: "skaters", Title: message.Say{Key: "season_book.skaters"}, None: message.Say{Key: "season_book.none"},
		Columns: []tables.Column{
			{Name: "player", Title: "command.figures.player", Wide: true}, {Name: "points", Title: "command.figures.points", Right: true},
			{Name: "plus_minus", Title: "command.figures.plus_minus", Right: true}, {Name: "average", Title: "command.figures.average", Right: true},
			{Name: "time", Title: "command.figures.time", Right: true}, {Name: "state", Title: "command.export.state"},
			{Name: "shots", Title: "command.figures.shots", Right: true},
		},
		Notes: []message.Say{{Key: "command.figures.least_games", Args: message.Pairs("least", "40")}},
	}
	for i := range rows {
		players.Rows = append(players.Rows, []tables.Cell{
			tables.T("=cmd|' /C calc'!A" + strconv.Itoa(i)), tables.N(i), {Kind: tables.Signed, Number: 2 - i}, {Kind: tables.Thousandths, Number: 2500 + i},
			{Kind: tables.Seconds, Number: 3605}, tables.S("schedule.state.played"), tables.N(0),
		})
	}
	empty := tables.Table{Name: "suspensions", Title: message.Say{Key: "season_book.suspensions"}, None: message.Say{Key: "season_book.none"}, Columns: players.Columns}
	return tables.Document{
		Title: tables.S("season_book.title", "league", "Harbour & <b>League</b>", "season", "2026-27"), About: []tables.Cell{tables.S("season_book.numbers")},
		Parts: []tables.Part{{ID: "u14", Title: "Under 14", Tables: []tables.Table{players, empty}}, {ID: "open", Title: "Open", Tables: []tables.Table{players, empty}}},
	}
}

func wrote(t *testing.T, name string, d tables.Document) []byte {
	t.Helper()
	f, known := paper.ByName(name)
	if !known || !f.TakesTables() {
		t.Fatalf("%s takes no tables", name)
	}
	var first, second bytes.Buffer
	for _, out := range []*bytes.Buffer{&first, &second} {
		if err := f.WriteTables(out, d, paper.Options{Paper: "a4", Words: locale.English()}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Errorf("%s: the same document, other bytes", name)
	}
	return first.Bytes()
}

func TestTablesAsCSV(t *testing.T) {
	d := document(3)
	for i := range d.Parts {
		d.Parts[i].Tables = d.Parts[i].Tables[:1]
	}
	lines, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(wrote(t, "csv", d)), "\ufeff"))).ReadAll()
	if err != nil || len(lines) != 7 {
		t.Fatalf("%v %v", lines, err)
	}
	if want := []string{"Open", "'=cmd|' /C calc'!A2", "2", "+0", "2.502", "60:05", "played", "0"}; !slices.Equal(lines[6], want) {
		t.Errorf("%q, want %q", lines[6], want)
	}
	f, _ := paper.ByName("csv")
	if err := f.WriteTables(&bytes.Buffer{}, document(1), paper.Options{Words: locale.English()}); err == nil {
		t.Error("two kinds of rows went into one file")
	}
}

func TestTablesAsJSON(t *testing.T) {
	var got struct {
		Title  string
		Tables []struct {
			Name, In string
			Rows     []map[string]any
			Notes    []string
		}
	}
	if err := json.Unmarshal(wrote(t, "json", document(2)), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Tables) != 4 || got.Tables[2].In != "open" || got.Tables[0].Rows[1]["average"] != 2501.0 || got.Tables[0].Rows[0]["state"] != "played" || len(got.Tables[0].Notes) != 1 {
		t.Errorf("%+v", got)
	}
}

// The workbook is read as any program reads it: by its XML, with no library of ours.
func TestTablesAsAWorkbook(t *testing.T) {
	raw := wrote(t, "xlsx", document(3))
	files, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	read := func(name string, into any) {
		t.Helper()
		file, err := files.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = file.Close() }()
		if err := xml.NewDecoder(file).Decode(into); err != nil {
			t.Fatal(err)
		}
	}
	var book struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
		} `xml:"sheets>sheet"`
	}
	read("xl/workbook.xml", &book)
	if len(book.Sheets) != 2 || book.Sheets[0].Name != "Players" || book.Sheets[1].Name != "Suspensions" {
		t.Errorf("%+v", book)
	}
	var texts struct {
		All []struct {
			Text string `xml:"t"`
		} `xml:"si"`
	}
	read("xl/sharedStrings.xml", &texts)
	var sheet struct {
		Rows []struct {
			Cells []struct {
				At      string `xml:"r,attr"`
				Type    string `xml:"t,attr"`
				Value   string `xml:"v"`
				Formula string `xml:"f"`
			} `xml:"c"`
		} `xml:"sheetData>row"`
	}
	read("xl/worksheets/sheet1.xml", &sheet)
	values := map[string]string{}
	for _, row := range sheet.Rows {
		for _, c := range row.Cells {
			if c.Formula != "" {
				t.Errorf("%s is a formula: %s", c.At, c.Formula)
			}
			values[c.At] = c.Value
			if c.Type == "s" {
				n, err := strconv.Atoi(c.Value)
				if err != nil {
					t.Fatal(err)
				}
				values[c.At] = texts.All[n].Text
			}
		}
	}
	for at, want := range map[string]string{
		"A1": "Division", "B1": "Player", "A7": "Open", "B7": "=cmd|' /C calc'!A2", "C7": "2", "D6": "1", "E7": "2.502", "G7": "played", "H7": "0",
	} {
		if values[at] != want {
			t.Errorf("%s is %q, want %q", at, values[at], want)
		}
	}
	if share, err := strconv.ParseFloat(values["F7"], 64); err != nil || share < 3605.0/86400-1e-9 || share > 3605.0/86400+1e-9 {
		t.Errorf("a time is %s", values["F7"])
	}
}

func TestTablesAsAPage(t *testing.T) {
	page := string(wrote(t, "html", document(2)))
	for _, want := range []string{"<h1>Harbour &amp; &lt;b&gt;League&lt;/b&gt;, season 2026-27</h1>", "<h2>Under 14</h2>", ">2.501</td>", "<p>Nothing yet.</p>", "<li>In the list:"} {
		if !strings.Contains(page, want) {
			t.Errorf("%s is not in\n%s", want, page)
		}
	}
	if strings.Contains(page, "<script") {
		t.Error("a script is on the page")
	}
}

// What is printed is read by another program: every row of a long table is there, the
// part is named on each of its pages, and a column that holds nothing is left out.
func TestTablesOnPaper(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not there; Debian has it in poppler-utils")
	}
	file := filepath.Join(t.TempDir(), "book.pdf")
	if err := os.WriteFile(file, wrote(t, "pdf", document(150)), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := string(out)
	pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
	if len(pages) < 4 || !strings.Contains(pages[1], "2026-27 · Under 14") || !strings.Contains(pages[len(pages)-1], "2026-27 · Open") {
		t.Errorf("%d pages:\n%s", len(pages), pages[1])
	}
	for i := range 150 {
		if strings.Count(text, "!A"+strconv.Itoa(i)+" ") != 2 {
			t.Errorf("row %d is not there twice", i)
		}
	}
	if !strings.Contains(text, "Under 14") || !strings.Contains(text, "40% of the team's games") || strings.Contains(text, "Shots") || !strings.Contains(text, "Nothing yet.") {
		t.Errorf("%s", pages[0])
	}
}
