package pdf

import (
	"bytes"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"whistlestop/game/card/onpaper"
)

// typeface is one of the faces that a text is written with.
type typeface struct {
	name  string
	drawn *unicode.RangeTable // the letters that it has
	file  func(style string) []byte
	lacks []string // its files, where they are no part of the program
}

func byStyle(regular, bold *[]byte) func(string) []byte {
	return func(style string) []byte {
		if style == "B" {
			return *bold
		}
		return *regular
	}
}

// faceOf returns the index of the first face that has a letter and is here, or -1.
func faceOf(r rune) int {
	if i := drawing(r); i >= 0 && faces[i].here() {
		return i
	}
	return -1
}

// drawing returns the index of the face that has a letter, here or not, or -1. No two
// have the same.
func drawing(r rune) int {
	for i := range faces {
		if unicode.Is(faces[i].drawn, r) {
			return i
		}
	}
	return -1
}

// legible writes a text with the letters of the faces. Line breaks and tabs become
// spaces, and a letter that every face lacks becomes a question mark, so that it
// is seen that something stands there.
func legible(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case faceOf(r) >= 0:
			return r
		case unicode.IsSpace(r):
			return ' '
		case unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Mn, r):
			return -1
		default:
			return '?'
		}
	}, norm.NFC.String(text))
}

// lacking reports whether a text has letters that no face has.
func lacking(text string) bool {
	for _, r := range norm.NFC.String(text) {
		if faceOf(r) < 0 && !unicode.IsSpace(r) && !unicode.Is(unicode.Cf, r) {
			return true
		}
	}
	return false
}

// font says how the next text is written.
func (p *page) font(style string, points float64) {
	p.style, p.points = style, points
	p.take(0)
}

// take takes a face in the style and size of the text.
func (p *page) take(index int) {
	f := &faces[index]
	if key := f.name + " " + p.style; !p.added[key] {
		p.added[key] = true
		p.AddUTF8FontFromBytes(f.name, p.style, bytes.Clone(f.file(p.style)))
	}
	p.SetFont(f.name, p.style, p.points)
}

// runs calls do with every stretch of a text that is written in one face.
func (p *page) runs(text string, do func(string)) {
	now, from := 0, 0
	for at, r := range text {
		if next := faceOf(r); next != now {
			if at > from {
				do(text[from:at])
			}
			now, from = next, at
			p.take(next)
		}
	}
	do(text[from:])
	if now != 0 {
		p.take(0)
	}
}

// wide returns the width of a text that is legible.
func (p *page) wide(text string) float64 {
	sum := 0.0
	p.runs(text, func(run string) { sum += p.GetStringWidth(run) })
	return sum
}

// write writes a text with its baseline at y.
func (p *page) write(x, y float64, text string) {
	p.runs(legible(text), func(run string) {
		if run != "" {
			p.Text(x, y, run)
			x += p.GetStringWidth(run)
		}
	})
}

// split breaks a legible text into lines of a width. Nothing is left out, and no text is a
// line too.
func (p *page) split(text string, width float64) []string {
	if lines := onpaper.Lines(text, width, p.wide); len(lines) > 0 {
		return lines
	}
	return []string{""}
}
