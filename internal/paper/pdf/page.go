package pdf

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"time"

	"codeberg.org/go-pdf/fpdf"
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

// page is a document of one page, in millimetres from its upper left corner.
type page struct {
	*fpdf.Fpdf
	width, height float64
}

// newPage returns an empty page. Nothing in it depends on the day.
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
func (p *page) write(x, y float64, text string) { p.Text(x, y, text) }

// height of a line of the size, in millimetres.
func leading(points float64) float64 { return points * 0.3528 * 1.25 }
