package pdf_test

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/internal/paper/pdf"
	"whistlestop/internal/proof/papertest"
	"whistlestop/record/report"
)

// node is an element of a document's structure as poppler reads it, with the
// text of itself and of all below it.
type node struct{ role, text string }

var (
	roleLine = regexp.MustCompile(`^( *)([A-Z][A-Za-z0-9]*)(?: \(|$|:)`)
	textLine = regexp.MustCompile(`^ *"(.*)"$`)
)

// heard reads the structure of a document: every element in the order in which it
// is read out.
func heard(t *testing.T, raw []byte) (list []node) {
	t.Helper()
	open := map[int]int{} // index of the element at a depth
	for line := range strings.Lines(tool(t, raw, "pdfinfo", "-struct-text", "FILE")) {
		line = strings.TrimRight(line, "\n")
		depth := len(line) - len(strings.TrimLeft(line, " "))
		if m := roleLine.FindStringSubmatch(line); m != nil {
			list = append(list, node{role: m[2]})
			open[depth] = len(list) - 1
			for at := range open {
				if at > depth {
					delete(open, at)
				}
			}
		} else if m := textLine.FindStringSubmatch(line); m != nil {
			for at, i := range open {
				if at < depth {
					list[i].text = strings.TrimSpace(list[i].text + " " + m[1])
				}
			}
		}
	}
	return list
}

// tableOf returns the texts of the cells of a table, row by row, by its title.
func tableOf(list []node, title string) (rows [][]string) {
	for i := 0; i < len(list); i++ {
		if list[i].role != "Caption" || list[i].text != title {
			continue
		}
		for _, n := range list[i+1:] {
			switch n.role {
			case "TR":
				rows = append(rows, nil)
			case "TD", "TH":
				rows[len(rows)-1] = append(rows[len(rows)-1], n.text)
			default:
				return rows
			}
		}
	}
	return rows
}

// short leaves most of a game out: poppler goes through the whole page for every
// element.
func short(d report.Document) report.Document {
	for i := range d.Teams {
		d.Teams[i].Players, d.Totals.Sides[i].Players = d.Teams[i].Players[:3], d.Totals.Sides[i].Players[:3]
	}
	d.Goals, d.Penalties, d.Changes = d.Goals[:2], d.Penalties[:1], nil
	return d
}

// TestReportIsTagged: whoever hears the report gets its language, its title, and
// its tables cell by cell in the order of the page (ISO 32000-1, 14.8).
func TestReportIsTagged(t *testing.T) {
	ledger := papertest.Game(t)
	d := short(papertest.Report(t, ledger, ""))
	drawing := lanes.Whole(papertest.State(t, ledger), d.Totals.Played, words)
	raw := reported(t, d, pdf.Options{Paper: pdf.A4, Names: true, Picture: &drawing})
	info := tool(t, raw, "pdfinfo", "FILE")
	if !regexp.MustCompile(`Tagged: +yes`).MatchString(info) {
		t.Errorf("it is not tagged:\n%s", info)
	}
	for _, want := range []string{"/Lang (en)", "/DisplayDocTitle true", "/MarkInfo <</Marked true>>"} {
		if !bytes.Contains(raw, []byte(want)) {
			t.Errorf("%s is not in the file", want)
		}
	}
	list := heard(t, raw)
	if list[0].role != "Document" || list[1] != (node{"H1", "Game report"}) {
		t.Errorf("it begins with %+v", list[:2])
	}
	goals := tableOf(list, "Goals")
	if len(goals) != 1+len(d.Goals) || !slices.Equal(goals[0], []string{"P", "Time", "Team", "Scorer", "Assists", "Class", "Score"}) {
		t.Fatalf("%d rows of goals: %q", len(goals), goals)
	}
	if want := []string{"1", "5:40", "Kelp Bay", "12", "7, 9", "even", "1–1"}; !slices.Equal(goals[2], want) {
		t.Errorf("the second goal is %q, want %q", goals[2], want)
	}
	if calls := tableOf(list, "Penalties"); len(calls) != 1+len(d.Penalties) {
		t.Errorf("%d rows of penalties: %q", len(calls), calls)
	}
	figures := 0
	for _, n := range list {
		if n.role == "Figure" {
			figures++
		}
	}
	if figures != 2 { // a drawn signature, and the picture of the game
		t.Errorf("%d figures", figures)
	}
	said := strings.Fields(list[0].text)
	for _, word := range strings.Fields(tool(t, raw, "pdftotext", "-l", "1", "FILE", "-")) {
		if !slices.Contains(said, word) && word != "Page" && word != "of" {
			t.Errorf("%q is on the first page and not in the structure", word)
		}
	}
}

// TestCardIsTagged holds the same for a rink card.
func TestCardIsTagged(t *testing.T) {
	c := steps(t)
	c.Steps = c.Steps[:4]
	list := heard(t, printed(t, c, pdf.A4))
	if list[1].role != "H1" || !strings.Contains(list[1].text, "Saltworks") {
		t.Errorf("it begins with %+v", list[:2])
	}
	headings := 0
	for _, n := range list {
		if n.role == "H2" {
			headings++
		}
	}
	if headings != len(c.Steps) {
		t.Errorf("%d headings", headings)
	}
}

// long is an ordinary game with a line in every table that is longer than its
// column.
func long(t *testing.T) report.Document {
	d := short(papertest.Report(t, papertest.Game(t), ""))
	d.Head.Venue = "Saltworks Arena, the older of the two sheets behind the harbour master's office, entrance from the quay"
	d.Head.League = "Harbour League of the Northern and Southern Shores and of the Islands between them"
	d.Teams[1].Name = "Lanternside and Old Lighthouse Road United Skating Club"
	d.Teams[1].Confirmed = "Bartholomew Quillfeather-Strandly of the Old Lighthouse"
	d.Teams[1].Players[2].Name = "Maximiliane Theodora Quillfeather-Strandly van Harrowgate"
	d.Crew = append(d.Crew, entry.Official{Role: entry.Scorer, Name: "Wilhelmina Constantia Featherstonehaugh-Brandreth of the Upper Quay and Lower Quay Houses"})
	d.Signatures[1].Name = "Wilhelmina Constantia Featherstonehaugh-Brandreth of the Upper Quay"
	first := d.Penalties[0]
	for i, kind := range []entry.Part{entry.GameMisconduct, entry.Match, entry.Misconduct, entry.Major} {
		p := first
		p.Part, p.Kind, p.Call, p.ServedBy = i+1, kind, "checking_from_behind", "44"
		d.Penalties = append(d.Penalties, p)
	}
	d.Penalties = append(d.Penalties, report.PenaltyLine{Off: first.Off, Side: entry.Home, Bench: true, Call: "too_many_players", Kind: entry.BenchMinor, ServedBy: "17"})
	return d
}

// TestNoFactIsCut: an ejection, who served, a long name: all of it is on the page,
// however narrow its column.
func TestNoFactIsCut(t *testing.T) {
	for _, paper := range []pdf.Paper{pdf.A4} { // the narrower one
		d := long(t)
		raw := reported(t, d, pdf.Options{Paper: paper, Names: true})
		list := heard(t, raw)
		if strings.Contains(list[0].text, "…") {
			t.Errorf("%s: something is cut: %s", paper, list[0].text)
		}
		calls := tableOf(list, "Penalties")
		if len(calls) != 1+len(d.Penalties) {
			t.Fatalf("%s: %d rows for %d penalties", paper, len(calls), len(d.Penalties))
		}
		for i, want := range []string{
			"checking from behind, game misconduct", "checking from behind, match penalty", "checking from behind, misconduct", "checking from behind, major",
		} {
			row := calls[len(calls)-5+i]
			if row[4] != want || row[2] != d.Teams[1].Name || !strings.Contains(row[3], "(served by 44)") {
				t.Errorf("%s: %q, want %q of %s, served by 44", paper, row, want, d.Teams[1].Name)
			}
		}
		if row := calls[len(calls)-1]; row[3] != "bench (served by 17)" {
			t.Errorf("%s: %q", paper, row)
		}
		for _, want := range []string{
			d.Head.Venue, d.Head.League, d.Teams[1].Confirmed, d.Teams[1].Players[2].Name, d.Crew[len(d.Crew)-1].Name, d.Signatures[1].Name,
		} {
			if !strings.Contains(list[0].text, want) {
				t.Errorf("%s: %q is not on the page", paper, want)
			}
		}
	}
}

// TestNamesOfOtherAlphabets prints names in the letters that they are written in,
// and says whose name it cannot print.
func TestNamesOfOtherAlphabets(t *testing.T) {
	d := papertest.Report(t, papertest.Game(t), "")
	d.Notes, d.Seals[0].Missing = nil, ""
	names := []string{"Øystein Žižka", "Юлия Щукина", "Ίων Θάλασσας", "漁火 灯台", "さくら みなと", "ハーバー・ランタン", "등대 항구", "O'Neill 海 Мор"}
	for i, name := range names {
		d.Teams[0].Players[i].Name = name
	}
	d.Teams[1].Name = "Маяк 灯台"
	raw := reported(t, d, pdf.Options{Paper: pdf.A4, Names: true})
	text, pages := textOf(t, raw)
	for _, want := range append(names, d.Teams[1].Name) {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the page:\n%s", want, text)
		}
	}
	if pages != 1 || strings.Contains(text, "cannot print") {
		t.Errorf("%d pages, and letters that cannot be printed: %s", pages, text)
	}
	if again := reported(t, d, pdf.Options{Paper: pdf.A4, Names: true}); !bytes.Equal(raw, again) {
		t.Error("the bytes differ from run to run")
	}

	number := d.Teams[1].Players[4].Number
	d.Teams[1].Players[4].Name = "منارة"
	d.Officials[0].Name = "มารีนา"
	text, _ = textOf(t, reported(t, d, pdf.Options{Paper: pdf.A4, Names: true}))
	for _, want := range []string{
		"Letters that this page cannot print", "Name of number " + string(number) + " of the visitors", "Name of the referee", "by hand",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the pages:\n%s", want, text)
		}
	}
	text, _ = textOf(t, reported(t, d, pdf.Options{Paper: pdf.A4}))
	if strings.Contains(text, "Name of number") || !strings.Contains(text, "Name of the referee") {
		t.Errorf("without names of players: %s", text)
	}
}
