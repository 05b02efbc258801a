package pdf_test

import (
	"bytes"
	"errors"
	"flag"
	"image"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper/pdf"
	"whistlestop/internal/proof/papertest"
	"whistlestop/record/report"
)

var rewrite = flag.Bool("rewrite", false, "write the golden files again")

func words(key string, pairs ...string) string {
	return locale.English().Text(key, rules.Pairs(pairs...))
}

func reported(t testing.TB, d report.Document, o pdf.Options) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := pdf.Report(&out, d, o, locale.English()); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// tool runs one of poppler's tools on a PDF.
func tool(t *testing.T, raw []byte, name string, arguments ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skip(name + " is not there; Debian has it in poppler-utils")
	}
	file := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, one := range arguments {
		if one == "FILE" {
			arguments[i] = file
		}
	}
	out, err := exec.Command(name, arguments...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

// whole is the report of the ordinary game with its picture.
func whole(t testing.TB, paper pdf.Paper, times rulebook.ReportTimes) []byte {
	t.Helper()
	ledger := papertest.Game(t)
	d := papertest.Report(t, ledger, times)
	drawing := lanes.Whole(papertest.State(t, ledger), d.Totals.Played, words)
	return reported(t, d, pdf.Options{Paper: paper, Names: true, Picture: &drawing})
}

// TestReportText compares the text of the pages with the golden files, which were
// read by a person against the ledger.
func TestReportText(t *testing.T) {
	for _, one := range []struct {
		golden string
		paper  pdf.Paper
		times  rulebook.ReportTimes
	}{
		{"testdata/report-a4-elapsed.txt", pdf.A4, rulebook.TimesElapsed},
		{"testdata/report-letter-remaining.txt", pdf.Letter, rulebook.TimesRemaining},
	} {
		got := tool(t, whole(t, one.paper, one.times), "pdftotext", "-layout", "FILE", "-")
		if *rewrite {
			if err := os.WriteFile(one.golden, []byte(got), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(one.golden)
		if err != nil {
			t.Fatal(err)
		}
		// Versions of the tool differ in how they space columns.
		if plain := strings.Fields(got); strings.Join(plain, " ") != strings.Join(strings.Fields(string(want)), " ") {
			t.Errorf("%s has changed; read the new text and run with -rewrite if it is right:\n%s", one.golden, got)
		}
	}
}

var goldenPages = []string{"testdata/report-page1.png", "testdata/report-page2.png", "testdata/report-page3.png"}

// TestReportLook compares the pages with golden pictures, loosely: a line that
// moves by a little is the same page, a table that is gone is not.
func TestReportLook(t *testing.T) {
	raw := whole(t, pdf.A4, rulebook.TimesElapsed)
	for page := 1; page <= len(goldenPages); page++ {
		golden := goldenPages[page-1]
		into := filepath.Join(t.TempDir(), "page")
		tool(t, raw, "pdftoppm", "-gray", "-r", "24", "-png", "-singlefile", "-f", strconv.Itoa(page), "FILE", into)
		got, err := os.ReadFile(into + ".png")
		if err != nil {
			t.Fatal(err)
		}
		if *rewrite {
			if err := os.WriteFile(golden, got, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if far := apart(t, got, want); far > 4 {
			t.Errorf("page %d differs from %s by %.1f of 255 on average; look at it, and run with -rewrite if it is right", page, golden, far)
		}
	}
}

// apart is how far two pictures are apart on average, each point blurred with
// those around it.
func apart(t *testing.T, one, other []byte) float64 {
	t.Helper()
	a, b := decoded(t, one), decoded(t, other)
	if a.Bounds() != b.Bounds() {
		t.Fatalf("%v and %v", a.Bounds(), b.Bounds())
	}
	blurred := func(m image.Image, x, y int) float64 {
		sum := 0.0
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				gray, _, _, _ := m.At(x+dx, y+dy).RGBA()
				sum += float64(gray >> 8)
			}
		}
		return sum / 9
	}
	sum, count := 0.0, 0
	for x := 1; x < a.Bounds().Dx()-1; x++ {
		for y := 1; y < a.Bounds().Dy()-1; y++ {
			if d := blurred(a, x, y) - blurred(b, x, y); d > 0 {
				sum += d
			} else {
				sum -= d
			}
			count++
		}
	}
	return sum / float64(count)
}

func decoded(t *testing.T, raw []byte) image.Image {
	t.Helper()
	m, err := png.Decode(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// TestReportForm asks poppler what a printer would see.
func TestReportForm(t *testing.T) {
	for paper, size := range map[pdf.Paper]string{pdf.A4: "595.28 x 841.89", pdf.Letter: "612 x 792"} {
		raw := whole(t, paper, "")
		info := tool(t, raw, "pdfinfo", "FILE")
		for _, want := range []string{"Pages: 3", size, "Title: Kelp Bay – Lanternside", "JavaScript: no", "Producer: Whistlestop"} {
			if !strings.Contains(strings.Join(strings.Fields(info), " "), want) {
				t.Errorf("%s: no %q in\n%s", paper, want, info)
			}
		}
		fonts := strings.Split(strings.TrimSpace(tool(t, raw, "pdffonts", "FILE")), "\n")[2:]
		if len(fonts) != 2 {
			t.Errorf("%d faces", len(fonts))
		}
		for _, font := range fonts {
			// ..., embedded, subset, unicode, object and generation. The library
			// embeds only the letters that are used, but does not mark it so.
			fields := strings.Fields(font)
			if n := len(fields); fields[n-5] != "yes" || fields[n-3] != "yes" {
				t.Errorf("not embedded or without its letters: %s", font)
			}
		}
	}
}

func TestReportSameBytes(t *testing.T) {
	first := whole(t, pdf.A4, "")
	for range 3 {
		if !bytes.Equal(first, whole(t, pdf.A4, "")) {
			t.Fatal("the bytes differ from run to run")
		}
	}
}

// TestUsualGameIsOnePage leaves out what asks for a second one.
func TestUsualGameIsOnePage(t *testing.T) {
	d := papertest.Report(t, papertest.Game(t), "")
	d.Notes, d.Seals[0].Missing = nil, ""
	for _, paper := range pdf.Papers {
		if text, pages := textOf(t, reported(t, d, pdf.Options{Paper: paper, Names: true})); pages != 1 || !strings.Contains(text, "Page 1 of 1") {
			t.Errorf("%s: %d pages\n%s", paper, pages, text)
		}
	}
}

// TestWhatOnlySomeLeaguesKeep prints plus and minus, face-offs, who was on the ice,
// and players who are on no roster.
func TestWhatOnlySomeLeaguesKeep(t *testing.T) {
	d := papertest.Report(t, papertest.Game(t), "")
	plus := -2
	d.Totals.Sides[0].Players[3].PlusMinus = &plus // number 7
	d.Totals.Sides[0].Players[3].FaceOffs = &report.FaceOffs{Won: 11, Lost: 6}
	d.Totals.Sides[1].Players = append(d.Totals.Sides[1].Players, report.Player{Number: "88", Goals: 1, Points: 1})
	d.Goals[0].OnIce = [2][]entry.Jersey{{"1", "4", "5"}, {"30", "9", "10"}}
	text, _ := textOf(t, reported(t, d, pdf.Options{Paper: pdf.A4, Names: true}))
	for _, want := range []string{"+/- FO", "-2 11–6", "88", "On the ice at goals", "30, 9, 10"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	if text, _ := textOf(t, whole(t, pdf.A4, "")); strings.Contains(text, "FO") || strings.Contains(text, "On the ice") {
		t.Error("what was not kept has columns")
	}
}

// TestNamesStayText prints a game whose names are scripts, formulas and letters of
// other alphabets, over as many pages as it needs.
func TestNamesStayText(t *testing.T) {
	d := papertest.Report(t, papertest.Unkind(t), "")
	raw := reported(t, d, pdf.Options{Paper: pdf.Letter, Names: true})
	text, pages := textOf(t, raw)
	for _, want := range []string{
		`<script>alert("home")</script>`, `=HYPERLINK("http://example.invalid","win")`, "Łucja Żółć-Gębała",
		"Nguyễn Thị Hạnh Phúc", "%s%d%n", "Åse Öström, née Ñandú", "{{.Names}}", "名前 不明", "Page 1 of " + strconv.Itoa(pages),
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the pages", want)
		}
	}
	if pages < 2 || pages > 6 {
		t.Errorf("%d pages", pages)
	}
	if info := tool(t, raw, "pdfinfo", "FILE"); !strings.Contains(info, "JavaScript:      no") {
		t.Errorf("it has a script:\n%s", info)
	}
	if bytes.Contains(raw, []byte("/URI")) || bytes.Contains(raw, []byte("/Annot")) {
		t.Error("a name became a link")
	}
	if text, _ := textOf(t, reported(t, d, pdf.Options{Paper: pdf.A4})); strings.Contains(text, "Hạnh") {
		t.Error("names are there though numbers were asked for")
	}
}

func TestReportUnknownPaper(t *testing.T) {
	if err := pdf.Report(io.Discard, report.Document{}, pdf.Options{Paper: "a0"}, locale.English()); !errors.Is(err, pdf.ErrPaper) {
		t.Errorf("%v", err)
	}
}

// FuzzSignature draws whatever stands for a pen.
func FuzzSignature(f *testing.F) {
	f.Add("M0 0L10 10h5v-5q1 2 3 4c1 2 3 4 5 6Z")
	f.Add("M1e9")
	f.Add("M-.5.5-1-1zzl1")
	d := report.Document{Sealed: false}
	f.Fuzz(func(t *testing.T, path string) {
		d.Signatures = []report.Signature{{Role: "referee", Drawing: path}}
		if err := pdf.Report(io.Discard, d, pdf.Options{Paper: pdf.A4}, locale.English()); err != nil {
			t.Fatal(err)
		}
	})
}

// BenchmarkReport prints the report of an ordinary game. One takes less than 200
// milliseconds.
func BenchmarkReport(b *testing.B) {
	d := papertest.Report(b, papertest.Game(b), "")
	for b.Loop() {
		if err := pdf.Report(io.Discard, d, pdf.Options{Paper: pdf.A4, Names: true}, locale.English()); err != nil {
			b.Fatal(err)
		}
	}
}
