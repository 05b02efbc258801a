package pdf_test

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/card"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper/pdf"
)

func saltworks(t *testing.T) card.Card {
	t.Helper()
	text, err := os.ReadFile("../../demo/cards/saltworks.toml")
	if err != nil {
		t.Fatal(err)
	}
	c, err := card.Parse(text, "saltworks.toml")
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func printed(t *testing.T, c card.Card, paper pdf.Paper) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := pdf.Card(&out, c, paper, locale.English()); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// textOf reads a printed page back.
func textOf(t *testing.T, raw []byte) (text string, pages int) {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not there; Debian has it in poppler-utils")
	}
	file := filepath.Join(t.TempDir(), "card.pdf")
	if err := os.WriteFile(file, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " "), strings.Count(string(out), "\f")
}

// steps is the demo's card without what stands on a second page.
func steps(t *testing.T) card.Card {
	c := saltworks(t)
	c.Plugged, c.Trouble, c.Contacts = nil, nil, nil
	return c
}

// What is turned to when something is wrong is a page of its own, with whom to call.
func TestCardHasASecondPage(t *testing.T) {
	c := steps(t)
	c.Plugged = []string{"The grey cable, in the wall beside the gate."}
	c.Trouble = []card.Trouble{{Shows: "The display stays dark.", Do: "Turn the key once more."}}
	c.Contacts = []card.Contact{{Who: "The rink's office", Call: "ask at the gate"}}
	for _, paper := range pdf.Papers {
		text, pages := textOf(t, printed(t, c, paper))
		if pages != 2 {
			t.Errorf("%s: %d pages", paper, pages)
		}
		_, second, _ := strings.Cut(text, "Saltworks Arena: if something is wrong")
		for _, want := range []string{"The grey cable", "The display stays dark. Turn the key once more.", "The rink's office ask at the gate"} {
			if !strings.Contains(second, want) {
				t.Errorf("%s: the second page does not say %q:\n%s", paper, want, second)
			}
		}
	}
	c.Contacts[0].Call = strings.Repeat("call ", 40000)
	if err := pdf.Card(&bytes.Buffer{}, c, pdf.A4, locale.English()); !errors.Is(err, pdf.ErrTooLong) {
		t.Errorf("what does not fit: %v", err)
	}
}

func TestCardIsOnePage(t *testing.T) {
	for _, paper := range pdf.Papers {
		text, pages := textOf(t, printed(t, steps(t), paper))
		if pages != 1 {
			t.Errorf("%s: %d pages", paper, pages)
		}
		for _, want := range []string{
			"Saltworks Arena", "Goal taken back", "Tap the side bell once. The side score reads score .",
			"two digits: 7 is 07", `Keys: side drawer, "Time", time , latch`, "press the sponge key.", "pull the brass chain.",
		} {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q:\n%s", paper, want, text)
			}
		}
	}
}

func TestSameBytes(t *testing.T) {
	first := printed(t, saltworks(t), pdf.A4)
	for range 3 {
		if !bytes.Equal(first, printed(t, saltworks(t), pdf.A4)) {
			t.Fatal("the bytes differ from run to run")
		}
	}
	if bytes.Equal(first, printed(t, saltworks(t), pdf.Letter)) {
		t.Error("both papers are the same")
	}
}

// full is a card with so many steps for each happening, each of 120 characters in
// words of a length. A card may have four on average.
func full(letter string, each, long int) card.Card {
	c := card.Card{ID: "full", Rink: strings.Repeat("Rink ", 12), Notes: strings.Repeat("note ", 80)}
	c.Board = card.Board{PenaltyLines: 1, MostMinutes: 5}
	for _, when := range card.Whens {
		t := card.Template{When: when}
		for range each {
			t.Do = append(t.Do, strings.Repeat(strings.Repeat(letter, long-1)+" ", 120/long))
		}
		c.Steps = append(c.Steps, t)
	}
	return c
}

func TestFullCardFits(t *testing.T) {
	for _, c := range []card.Card{full("a", 4, 8), full("W", 4, 8), full("o", 4, 40)} {
		if _, pages := textOf(t, printed(t, c, pdf.Letter)); pages != 1 {
			t.Errorf("%d pages", pages)
		}
	}
	if err := pdf.Card(&bytes.Buffer{}, full("Ѹ", 4, 40), pdf.Letter, locale.English()); !errors.Is(err, pdf.ErrTooLong) {
		t.Errorf("the longest words of the widest letter: %v", err)
	}
}

func TestUnknownPaper(t *testing.T) {
	if err := pdf.Card(&bytes.Buffer{}, saltworks(t), "a0", locale.English()); !errors.Is(err, pdf.ErrPaper) {
		t.Errorf("%v", err)
	}
}

// withPicture is a card with a photo of its console, all its keys marked.
func withPicture(t *testing.T, c card.Card, width, height int) (card.Card, int) {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, width, height)), nil); err != nil {
		t.Fatal(err)
	}
	c.Picture = out.Bytes()
	console := *c.Console
	keys := 0
	for _, row := range console.Keys() {
		for _, key := range row {
			console.Marks = append(console.Marks, card.Mark{Key: key, X: 20 + 120*(keys%8), Y: 200 + 240*(keys/8), Width: 100, Height: 180})
			keys++
		}
	}
	console.Display = &card.Mark{X: 300, Y: 10, Width: 300, Height: 100}
	c.Console = &console
	return c, keys
}

// The picture of the console, with every key's number and name, stands on the page of the
// steps; what to do if something is wrong is the second page, and there is no third.
func TestThePictureIsOnThePageOfTheSteps(t *testing.T) {
	for _, size := range []image.Point{{1600, 900}, {1200, 1200}, {900, 1600}} {
		c, keys := withPicture(t, saltworks(t), size.X, size.Y)
		for _, paper := range pdf.Papers {
			raw := printed(t, c, paper)
			text, pages := textOf(t, raw)
			if pages != 2 {
				t.Errorf("%s, %v: %d pages", paper, size, pages)
			}
			first, second, _ := strings.Cut(text, "Saltworks Arena: if something is wrong")
			for _, want := range []string{"Goal taken back", "guest bell", " " + strconv.Itoa(keys) + " ", "pull the brass chain."} {
				if !strings.Contains(first, want) {
					t.Errorf("%s, %v: the first page does not say %q:\n%s", paper, size, want, first)
				}
			}
			if second == "" || bytes.Count(raw, []byte("/Subtype /Image")) != 1 {
				t.Errorf("%s, %v: no second page, or not one picture", paper, size)
			}
		}
	}
}

// A card whose steps fill the page keeps them readable: the picture has a page of its own.
func TestThePictureGivesWayToFullSteps(t *testing.T) {
	c := full("a", 4, 8)
	c.Console = saltworks(t).Console
	c, keys := withPicture(t, c, 1600, 900)
	text, pages := textOf(t, printed(t, c, pdf.A4))
	if pages != 2 || !strings.Contains(text, "the keys of the console") || !strings.Contains(text, " "+strconv.Itoa(keys)+" ") {
		t.Errorf("%d pages, %s", pages, text)
	}
}
