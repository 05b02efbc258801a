package pdf

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/text/unicode/norm"
)

//go:embed fonts/BarlowCondensed_400Regular.ttf
var regular []byte

//go:embed fonts/BarlowCondensed_700Bold.ttf
var bold []byte

// Paper is a size of paper by its name.
type Paper string

// The sizes of paper.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// Papers lists the sizes.
var Papers = []Paper{A4, Letter}

// ErrPaper is returned for a size that is not among Papers.
var ErrPaper = errors.New("there is no such paper")

// ErrTooLong is returned for what does not fit on its page in a legible size.
var ErrTooLong = errors.New("it does not fit on one page")

const (
	margin = 12.0 // millimetres
	face   = "Barlow Condensed"
)

// page is a document whose pages are measured in millimetres from the upper left
// corner.
type page struct {
	*fpdf.Fpdf
	width, height float64
}

// newPage returns a document with an empty page. Nothing in it depends on the
// day.
func newPage(paper Paper, title string) (*page, error) {
	if !slices.Contains(Papers, paper) {
		return nil, fmt.Errorf("%w: %q", ErrPaper, string(paper))
	}
	f := fpdf.New("P", "mm", string(paper), "")
	day := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	f.SetCreationDate(day)
	f.SetModificationDate(day)
	f.SetCatalogSort(true)
	f.SetProducer("Whistlestop", true)
	f.SetTitle(title, true)
	f.AddUTF8FontFromBytes(face, "", slices.Clone(regular))
	f.AddUTF8FontFromBytes(face, "B", slices.Clone(bold))
	f.SetMargins(margin, margin, margin)
	f.SetAutoPageBreak(false, margin)
	f.AddPage()
	p := &page{Fpdf: f}
	p.width, p.height = f.GetPageSize()
	return p, f.Error()
}

// write writes a text with its baseline at y.
func (p *page) write(x, y float64, text string) { p.Text(x, y, legible(text)) }

// height of a line of the size, in millimetres.
func leading(points float64) float64 { return points * 0.3528 * 1.25 }

// drawn are the letters that the face has, as far as names and sentences need
// them: Latin with every accent of Europe and Vietnam.
var drawn = &unicode.RangeTable{R16: []unicode.Range16{
	{Lo: 0x20, Hi: 0x7e, Stride: 1}, {Lo: 0xa0, Hi: 0x113, Stride: 1}, {Lo: 0x116, Hi: 0x12b, Stride: 1},
	{Lo: 0x12d, Hi: 0x131, Stride: 1}, {Lo: 0x133, Hi: 0x137, Stride: 1}, {Lo: 0x139, Hi: 0x13e, Stride: 1},
	{Lo: 0x140, Hi: 0x148, Stride: 1}, {Lo: 0x14a, Hi: 0x14d, Stride: 1}, {Lo: 0x14f, Hi: 0x17e, Stride: 1},
	{Lo: 0x1a0, Hi: 0x1a1, Stride: 1}, {Lo: 0x1af, Hi: 0x1b0, Stride: 1}, {Lo: 0x218, Hi: 0x21b, Stride: 1},
	{Lo: 0x1e80, Hi: 0x1e85, Stride: 1}, {Lo: 0x1ea0, Hi: 0x1ef9, Stride: 1}, {Lo: 0x2013, Hi: 0x2014, Stride: 1},
	{Lo: 0x2018, Hi: 0x201a, Stride: 1}, {Lo: 0x201c, Hi: 0x201e, Stride: 1}, {Lo: 0x2020, Hi: 0x2022, Stride: 1},
	{Lo: 0x2026, Hi: 0x2026, Stride: 1}, {Lo: 0x2039, Hi: 0x203a, Stride: 1}, {Lo: 0x20ac, Hi: 0x20ac, Stride: 1},
	{Lo: 0x2212, Hi: 0x2212, Stride: 1},
}}

// legible writes a text with the letters of the face. Line breaks and tabs become
// spaces, and a letter that the face lacks becomes a question mark, so that it is
// seen that something stands there.
func legible(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(drawn, r):
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
