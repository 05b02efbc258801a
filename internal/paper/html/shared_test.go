package html_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper/html"
	"whistlestop/internal/proof/papertest"
	"whistlestop/record/report"
)

func words(key string, pairs ...string) string {
	return locale.English().Text(key, rules.Pairs(pairs...))
}

func shared(t *testing.T, ledger []entry.Entry, names bool) string {
	t.Helper()
	d := papertest.Report(t, ledger, "")
	drawing := lanes.Whole(papertest.State(t, ledger), d.Totals.Played, words)
	var out bytes.Buffer
	if err := html.Shared(&out, d, html.Options{Names: names, Picture: &drawing}, locale.English()); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

var tag = regexp.MustCompile(`<[^>]*>`)

// plain is the text of a page.
func plain(page string) string {
	_, page, _ = strings.Cut(page, "</style>")
	return strings.Join(strings.Fields(tag.ReplaceAllString(page, " ")), " ")
}

func TestSharedPage(t *testing.T) {
	ledger := papertest.Game(t)
	text := plain(shared(t, ledger, false))
	for _, want := range []string{
		"Kelp Bay 3–4 Lanternside", " 1 8:02 Kelp Bay 9 17, 12 power play 2–1", "OT 1:36 Lanternside 16 9 power play 3–4",
		" 2 4:48 Lanternside 25 slashing, minor 1:30", "Kelp Bay 1 37:36 29 25", "Times are elapsed",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	if text := plain(shared(t, ledger, true)); !strings.Contains(text, "9 Lior Sandby 17 Mats Ellerby, 12 Saskia Dunmoor") {
		t.Errorf("with names:\n%s", text)
	}
}

// TestNoNames looks for the name of everybody who is in the ledger, and for
// remarks.
func TestNoNames(t *testing.T) {
	ledger := papertest.Game(t)
	page := shared(t, ledger, false)
	d := papertest.Report(t, ledger, "")
	people := append(append([]entry.Official{}, d.Officials...), d.Crew...)
	for _, team := range d.Teams {
		people = append(people, team.Staff...)
		people = append(people, entry.Official{Name: team.Confirmed})
		for _, player := range team.Players {
			people = append(people, entry.Official{Name: player.Name})
		}
	}
	if len(people) < 30 {
		t.Fatalf("only %d people", len(people))
	}
	for _, one := range people {
		for _, word := range strings.Fields(one.Name) {
			if word != "Coach" && strings.Contains(page, word) {
				t.Errorf("the page says %q", word)
			}
		}
	}
	for _, n := range d.Notes {
		if strings.Contains(page, n.Text) {
			t.Errorf("the page says %q", n.Text)
		}
	}
}

// TestNamesStayText holds that nothing of a name becomes a part of the page.
func TestNamesStayText(t *testing.T) {
	page := shared(t, papertest.Unkind(t), true)
	if strings.Contains(page, "<script") || strings.Contains(page, "<b>") || !strings.Contains(page, "&lt;script&gt;") {
		t.Error("a name became a part of the page")
	}
	if strings.Contains(page, "src=") || strings.Contains(page, "href=") || strings.Contains(page, "url(") {
		t.Error("the page asks for something else")
	}
	// The picture is XML of its own.
	_, svg, found := strings.Cut(page, "<svg")
	svg, _, closed := strings.Cut("<svg"+svg, "</svg>")
	if !found || !closed {
		t.Fatal("there is no picture")
	}
	decoder := xml.NewDecoder(strings.NewReader(svg + "</svg>"))
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("the picture: %v", err)
		}
		if element, ok := token.(xml.StartElement); ok && (element.Name.Local == "script" || element.Name.Local == "b") {
			t.Errorf("a name became <%s> in the picture", element.Name.Local)
		}
	}
}

// TestWhatTheDivisionKeepsToItself holds that no score gets out by the goals where
// a division does not publish it, or only up to a cap.
func TestWhatTheDivisionKeepsToItself(t *testing.T) {
	ledger := papertest.Game(t)
	drawing := lanes.Whole(papertest.State(t, ledger), papertest.Report(t, ledger, "").Totals.Played, words)
	for name, change := range map[string]func(*report.Document){
		"no score":   func(d *report.Document) { d.Division.Display.NoScore = true },
		"no scorers": func(d *report.Document) { d.Division.Display.NoScorers = true },
		"a cap":      func(d *report.Document) { d.Score.Shown = [2]int{2, 3} },
	} {
		d := papertest.Report(t, ledger, "")
		change(&d)
		var out bytes.Buffer
		if err := html.Shared(&out, d, html.Options{Picture: &drawing}, locale.English()); err != nil {
			t.Fatal(err)
		}
		text := plain(out.String())
		if strings.Contains(text, "power play") || strings.Contains(out.String(), "<svg") || strings.Contains(text, "Saves") {
			t.Errorf("%s: the goals are told all the same:\n%s", name, text)
		}
		if hidden := strings.Contains(text, "3–4"); hidden != (name == "no scorers" && strings.Contains(text, "Bay 3–4 Lan")) {
			t.Errorf("%s: the score is told:\n%s", name, text)
		}
		if !strings.Contains(text, "slashing") {
			t.Errorf("%s: the penalties are gone", name)
		}
	}
}
