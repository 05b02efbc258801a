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

func table(bounds ...uint16) *unicode.RangeTable {
	t := &unicode.RangeTable{}
	for i := 0; i+1 < len(bounds); i += 2 {
		t.R16 = append(t.R16, unicode.Range16{Lo: bounds[i], Hi: bounds[i+1], Stride: 1})
	}
	return t
}

// latin are the letters of the usual face: Latin with every accent of Europe and
// Vietnam.
var latin = table(0x20, 0x7e, 0xa0, 0x113, 0x116, 0x12b, 0x12d, 0x131, 0x133, 0x137, 0x139, 0x13e, 0x140, 0x148, 0x14a, 0x14d,
	0x14f, 0x17e, 0x1a0, 0x1a1, 0x1af, 0x1b0, 0x218, 0x21b, 0x1e80, 0x1e85, 0x1ea0, 0x1ef9, 0x2013, 0x2014, 0x2018, 0x201a,
	0x201c, 0x201e, 0x2020, 0x2022, 0x2026, 0x2026, 0x2039, 0x203a, 0x20ac, 0x20ac, 0x2212, 0x2212)

// further are those of the second face that names are written with: Cyrillic,
// Greek, and what the first one lacks of Latin.
var further = table(0x114, 0x115, 0x12c, 0x12c, 0x132, 0x132, 0x138, 0x138, 0x13f, 0x13f, 0x149, 0x149, 0x14e, 0x14e,
	0x17f, 0x17f, 0x18f, 0x18f, 0x192, 0x192, 0x1f0, 0x1f0, 0x1fa, 0x1ff, 0x237, 0x237, 0x259, 0x259, 0x2bc, 0x2bc,
	0x2c6, 0x2c7, 0x2c9, 0x2c9, 0x2d8, 0x2dd, 0x384, 0x38a, 0x38c, 0x38c, 0x38e, 0x3a1, 0x3a3, 0x3ce, 0x400, 0x482,
	0x48a, 0x513, 0x1e00, 0x1e01, 0x1e3e, 0x1e3f, 0x2010, 0x2011, 0x2015, 0x2015, 0x201b, 0x201b, 0x2030, 0x2030,
	0x2032, 0x2033, 0x203c, 0x203c, 0x2116, 0x2116, 0x2122, 0x2122, 0x2248, 0x2248, 0x2260, 0x2260, 0x2264, 0x2265)

// hanKanaHangul are those of Chinese, Japanese and Korean.
var hanKanaHangul = table(0x3000, 0x3003, 0x3005, 0x3007, 0x300a, 0x3019, 0x301c, 0x301f, 0x3021, 0x3029, 0x3041, 0x3094,
	0x3099, 0x309e, 0x30a0, 0x30f6, 0x30fb, 0x30fe, 0x3105, 0x3129, 0x3131, 0x318e, 0x4e00, 0x9fa5, 0xac00, 0xd7a3,
	0xf900, 0xfa2d, 0xff01, 0xff5e, 0xff61, 0xff9f)

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
