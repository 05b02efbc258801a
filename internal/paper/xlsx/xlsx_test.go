package xlsx_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/internal/proof/papertest"
	"whistlestop/record/rows"
)

func written(t testing.TB, ledger []entry.Entry) ([]rows.Fact, []byte) {
	t.Helper()
	list := rows.Of(papertest.Report(t, ledger, ""))
	var out bytes.Buffer
	if err := xlsx.Write(&out, list, locale.English(), time.FixedZone("quay", -5*60*60)); err != nil {
		t.Fatal(err)
	}
	return list, out.Bytes()
}

func TestRoundTrip(t *testing.T) {
	for name, ledger := range map[string][]entry.Entry{"game": papertest.Game(t), "unkind": papertest.Unkind(t)} {
		list, raw := written(t, ledger)
		back, err := xlsx.Read(raw, locale.English())
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if len(list) != len(back) {
			t.Fatalf("%s: %d facts were written, %d came back", name, len(list), len(back))
		}
		for i := range list {
			if !reflect.DeepEqual(list[i], back[i]) {
				t.Errorf("%s: fact %d was %v, came back as %v", name, i, list[i], back[i])
			}
		}
	}
}

// TestNumbersAreNumbers: times can be added up, numbers sorted, and the start is in
// the time of the rink.
func TestNumbersAreNumbers(t *testing.T) {
	_, raw := written(t, papertest.Game(t))
	f, err := excelize.OpenReader(bytes.NewReader(raw))
	must(t, err)
	defer func() { must(t, f.Close()) }()
	column := func(sheet, title string) string {
		lines, err := f.GetRows(sheet)
		must(t, err)
		for i, name := range lines[0] {
			if name == title {
				letter, err := excelize.ColumnNumberToName(i + 1)
				must(t, err)
				return letter
			}
		}
		t.Fatalf("%s has no column %s: %v", sheet, title, lines[0])
		return ""
	}
	for _, one := range []struct{ sheet, title, shown string }{
		{"Goals", "Elapsed", "3:12"}, {"Goals", "Remaining", "8:48"}, {"Goals", "Number", "9"}, {"Goals", "First assist", "10"},
		{"Goals", "Period", "1"}, {"Penalties", "Minutes", "1:30"}, {"Goalkeepers", "Time", "37:36"}, {"Periods", "Time", "12:00"},
	} {
		cell := column(one.sheet, one.title) + "2"
		shown, err := f.GetCellValue(one.sheet, cell)
		must(t, err)
		kind, err := f.GetCellType(one.sheet, cell)
		must(t, err)
		if shown != one.shown || kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber {
			t.Errorf("%s of %s is %q of kind %v, want the number %q", one.title, one.sheet, shown, kind, one.shown)
		}
	}
	lines, err := f.GetRows("Game")
	must(t, err)
	said := fmt.Sprint(lines)
	for _, want := range []string{"[date 2026-03-14]", "[started 2026-03-14 14:06]", "[home_score 3]"} {
		if !strings.Contains(said, want) {
			t.Errorf("%s is not in %s", want, said)
		}
	}
}

func TestSameBytes(t *testing.T) {
	ledger := papertest.Game(t)
	_, first := written(t, ledger)
	for range 3 {
		if _, again := written(t, ledger); !bytes.Equal(first, again) {
			t.Fatal("the bytes differ from run to run")
		}
	}
}

func TestNothingIsAFormula(t *testing.T) {
	_, raw := written(t, papertest.Unkind(t))
	archive, err := zip.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range archive.File {
		in, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(text, []byte("<f>")) || bytes.Contains(text, []byte("<f ")) || bytes.Contains(text, []byte("<hyperlink")) {
			t.Errorf("%s has a formula or a link", part.Name)
		}
	}
}

// book makes a workbook of one sheet.
func book(t testing.TB, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	fill(f)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestRows(t *testing.T) {
	raw := book(t, func(f *excelize.File) {
		must(t, f.SetSheetRow("Sheet1", "A1", &[]any{"No.", "Name", "Pos"}))
		must(t, f.SetSheetRow("Sheet1", "A3", &[]any{7, "Lior Sandby", "D"}))
		must(t, f.SetSheetRow("Sheet1", "A4", &[]any{"07", "=1+1"}))
	})
	lines, err := xlsx.Rows(raw)
	want := [][]string{{"No.", "Name", "Pos"}, nil, {"7", "Lior Sandby", "D"}, {"07", "=1+1"}}
	if err != nil || fmt.Sprint(lines) != fmt.Sprint(want) {
		t.Errorf("%v %v", lines, err)
	}
}

// parts makes an archive of parts.
func parts(t testing.TB, files map[string]io.Reader) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for name, from := range files {
		part, err := w.Create(name)
		must(t, err)
		_, err = io.Copy(part, from)
		must(t, err)
	}
	must(t, w.Close())
	return out.Bytes()
}

// zeros is an endless stream of one letter.
type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '0'
	}
	return len(p), nil
}

// TestHostileFiles are refused with words, and the memory stays bounded.
func TestHostileFiles(t *testing.T) {
	wide := book(t, func(f *excelize.File) {
		for i := 1; i <= 1000; i++ {
			cell, err := excelize.CoordinatesToCellName(i, 1)
			must(t, err)
			must(t, f.SetCellStr("Sheet1", cell, "x"))
		}
	})
	far := book(t, func(f *excelize.File) { must(t, f.SetCellStr("Sheet1", "A1048576", "x")) })
	formula := book(t, func(f *excelize.File) {
		must(t, f.SetCellStr("Sheet1", "A1", "7"))
		must(t, f.SetCellFormula("Sheet1", "B4", "SUM(A1:A2)"))
		must(t, f.SetCellStr("Sheet1", "C4", "x"))
	})
	many := map[string]io.Reader{}
	for i := range 600 {
		many[fmt.Sprintf("part%d.xml", i)] = strings.NewReader("<a/>")
	}
	lying := parts(t, map[string]io.Reader{"xl/workbook.xml": io.LimitReader(zeros{}, 2<<20)})
	for i := range len(lying) - 4 { // the size that the directory states: 2 MB becomes 2 bytes
		if bytes.Equal(lying[i:i+4], []byte{0, 0, 0x20, 0}) {
			copy(lying[i:], []byte{2, 0, 0, 0})
		}
	}
	large := append(bytes.Clone(formula), make([]byte, 10<<20)...)
	for _, one := range []struct {
		name string
		raw  []byte
		key  string
	}{
		{"10 MB and more", large, "xlsx.too_large"},
		{"1,000 columns", wide, "xlsx.too_wide"},
		{"a cell a million lines down", far, "xlsx.too_wide"},
		{"a formula", formula, "xlsx.formula"},
		{"an archive that unpacks to 64 MB", parts(t, map[string]io.Reader{
			"xl/worksheets/sheet1.xml": io.MultiReader(strings.NewReader("<worksheet>"), io.LimitReader(zeros{}, 64<<20))}), "xlsx.bomb"},
		{"a picture that unpacks to 64 MB", parts(t, map[string]io.Reader{"xl/media/a.png": io.LimitReader(zeros{}, 64<<20)}), "xlsx.bomb"},
		{"an archive that lies about its size", lying, "xlsx.unreadable"},
		{"600 parts", parts(t, many), "xlsx.too_many_parts"},
		{"no workbook", parts(t, map[string]io.Reader{"readme.txt": strings.NewReader("hello")}), "xlsx.unreadable"},
		{"a path out of the archive", parts(t, map[string]io.Reader{"../../etc/x": strings.NewReader("hello")}), "xlsx.unreadable"},
		{"the old format", []byte{0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1}, "xlsx.old"},
		{"no archive", []byte("number,name"), "xlsx.unreadable"},
		{"nothing", nil, "xlsx.unreadable"},
		{"an empty sheet", book(t, func(*excelize.File) {}), "xlsx.empty"},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		lines, err := xlsx.Rows(one.raw)
		runtime.ReadMemStats(&after)
		var refused *xlsx.Refused
		if !errors.As(err, &refused) || refused.Say.Key != one.key {
			t.Errorf("%s: %v, want %s (%d lines)", one.name, err, one.key, len(lines))
		}
		if used := after.TotalAlloc - before.TotalAlloc; used > 100<<20 {
			t.Errorf("%s took %d MB", one.name, used>>20)
		}
	}
}

// sheetOf is a workbook with one sheet as somebody wrote it, byte for byte.
func sheetOf(t testing.TB, sheet, texts string) []byte { return parts(t, partsOf(sheet, texts)) }

// partsOf are the files of such a workbook.
func partsOf(sheet, texts string) map[string]io.Reader {
	const rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
	return map[string]io.Reader{
		"_rels/.rels":     strings.NewReader(`<Relationships><Relationship Id="a" Type="` + rel + `officeDocument" Target="xl/workbook.xml"/></Relationships>`),
		"xl/workbook.xml": strings.NewReader(`<workbook><sheets><sheet name="A" r:id="b"/></sheets></workbook>`),
		"xl/_rels/workbook.xml.rels": strings.NewReader(`<Relationships><Relationship Id="b" Type="` + rel + `worksheet" Target="/xl/worksheets/sheet1.xml"/>` +
			`<Relationship Id="c" Type="` + rel + `sharedStrings" Target="sharedStrings.xml"/></Relationships>`),
		"xl/worksheets/sheet1.xml": strings.NewReader(sheet),
		"xl/sharedStrings.xml":     strings.NewReader(texts),
	}
}

// A small file that unpacks to more than a hundred times its size was made to, also
// far below what a large workbook may hold; so little that it cannot hurt is read.
func TestWhatUnpacksToAHundredTimesItsSize(t *testing.T) {
	with := func(picture io.Reader) error {
		files := partsOf(`<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>7</t></is></c></row></sheetData></worksheet>`, `<sst/>`)
		files["xl/media/a.png"] = picture
		_, err := xlsx.Rows(parts(t, files))
		return err
	}
	if err := with(io.LimitReader(zeros{}, 1000<<10)); err != nil {
		t.Errorf("1 MB of it: %v", err)
	}
	var refused *xlsx.Refused
	if err := with(io.LimitReader(zeros{}, 8<<20)); !errors.As(err, &refused) || refused.Say.Key != "xlsx.bomb" {
		t.Errorf("8 MB out of 8 kB: %v", err)
	}
	noise := rand.NewChaCha8([32]byte{1})
	if err := with(io.LimitReader(noise, 8<<20)); err != nil {
		t.Errorf("8 MB out of 8 MB: %v", err)
	}
}

// F1: what the limits cannot look at is not read by another way. A sheet in
// another character set once passed them unread and took 905 MB.
func TestOneReaderOneSetOfLimits(t *testing.T) {
	const far = `<worksheet><sheetData><row r="1048576"><c r="A1048576" t="inlineStr"><is><t>x</t></is></c></row></sheetData></worksheet>`
	const near = `<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>7</t></is></c><c r="B1" t="s"><v>0</v></c></row></sheetData></worksheet>`
	const texts = `<sst><si><r><t>Maren </t></r><r><t>Holt</t></r><rPh><t>no</t></rPh></si></sst>`
	long := `<sst><si><t>` + strings.Repeat("a", 1<<20) + `</t></si></sst>`
	var often strings.Builder
	often.WriteString("<worksheet><sheetData><row>")
	for range 100 {
		often.WriteString(`<c t="s"><v>0</v></c>`)
	}
	often.WriteString("</row></sheetData></worksheet>")
	for _, one := range []struct{ name, sheet, texts, key string }{
		{"as it should be", near, texts, ""},
		{"Latin-1 declared", `<?xml version="1.0" encoding="ISO-8859-1"?>` + far, texts, "xlsx.unreadable"},
		{"Latin-1 declared, and small", `<?xml version="1.0" encoding="ISO-8859-1"?>` + near, texts, "xlsx.unreadable"},
		{"UTF-16", "\ufeff" + string([]byte{0, '<', 0, 'a'}), texts, "xlsx.unreadable"},
		{"a million lines down", far, texts, "xlsx.too_wide"},
		{"another name for a sheet", strings.ReplaceAll(far, "worksheet", "x:worksheet"), texts, "xlsx.too_wide"},
		{"entities", `<!DOCTYPE a [<!ENTITY b "bb">]>` + near, texts, "xlsx.unreadable"},
		{"a cell that names another row", strings.Replace(near, `"B1"`, `"B7"`, 1), texts, "xlsx.unreadable"},
		{"a text that is not there", near, "<sst/>", "xlsx.unreadable"},
		{"a formula without a text", strings.Replace(near, `<is>`, `<f t="shared" si="0"/><is>`, 1), texts, "xlsx.formula"},
		{"one long text in a hundred cells", often.String(), long, "xlsx.bomb"},
		{"cut off", near[:60], texts, "xlsx.unreadable"},
	} {
		lines, err := xlsx.Rows(sheetOf(t, one.sheet, one.texts))
		var refused *xlsx.Refused
		switch {
		case one.key == "" && (err != nil || fmt.Sprint(lines) != "[[7 Maren Holt]]"):
			t.Errorf("%s: %v %v", one.name, lines, err)
		case one.key != "" && (!errors.As(err, &refused) || refused.Say.Key != one.key):
			t.Errorf("%s: %v, want %s (%d lines)", one.name, err, one.key, len(lines))
		}
	}
}

// A number keeps the zeros that its format shows: 07 is not 7.
func TestNumbersLookAsOnTheScreen(t *testing.T) {
	raw := book(t, func(f *excelize.File) {
		two, err := f.NewStyle(&excelize.Style{CustomNumFmt: func() *string { s := "00"; return &s }()})
		must(t, err)
		must(t, f.SetSheetRow("Sheet1", "A1", &[]any{7, 12.5, 1e20, true, -3}))
		must(t, f.SetCellStyle("Sheet1", "A1", "A1", two))
	})
	lines, err := xlsx.Rows(raw)
	if err != nil || fmt.Sprint(lines) != "[[07 12.5 1E+20 TRUE -3]]" {
		t.Errorf("%v %v", lines, err)
	}
}

func FuzzRows(f *testing.F) {
	f.Add(book(f, func(b *excelize.File) { must(f, b.SetSheetRow("Sheet1", "A1", &[]any{7, "Lior Sandby"})) }))
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		lines, err := xlsx.Rows(raw)
		if err == nil && (len(lines) == 0 || len(lines) > 1000) {
			t.Errorf("%d rows", len(lines))
		}
	})
}
