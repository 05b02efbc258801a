package pdf

import (
	"bytes"
	"io"
	"slices"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"whistlestop/game/message"
)

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
var ErrPaper = message.New("paper.no_size")

// ErrTooLong is returned for what does not fit on its page in letters that can be read.
var ErrTooLong = message.New("card.too_long")

const margin = 12.0 // millimetres

// page is a document whose pages are measured in millimetres from the upper left
// corner.
type page struct {
	*fpdf.Fpdf
	width, height float64
	tags          tree
	added         map[string]bool // faces that are in the document
	style         string          // of the text that is written next
	points        float64
}

// newPage returns a document with an empty page. Nothing in it depends on the
// day.
func newPage(paper Paper, title, language string) (*page, error) {
	if !slices.Contains(Papers, paper) {
		return nil, message.Because(ErrPaper, "paper.size", "size", message.Plain(string(paper)))
	}
	f := fpdf.New("P", "mm", string(paper), "")
	day := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	f.SetCreationDate(day)
	f.SetModificationDate(day)
	f.SetCatalogSort(true)
	f.SetProducer("Whistlestop", true)
	f.SetTitle(title, true)
	f.SetLang(language)
	p := &page{Fpdf: f, added: map[string]bool{}}
	p.font("", 10)
	p.font("B", 10)
	f.SetMargins(margin, margin, margin)
	f.SetAutoPageBreak(false, margin)
	f.AddPage()
	p.width, p.height = f.GetPageSize()
	return p, f.Error()
}

// finish writes the document with the tree of what its pages are made of.
func (p *page) finish(out io.Writer) error {
	p.close()
	var raw bytes.Buffer
	if err := p.Output(&raw); err != nil {
		return err
	}
	made, err := p.tags.join(raw.Bytes())
	if err != nil {
		return err
	}
	_, err = out.Write(made)
	return err
}

// height of a line of the size, in millimetres.
func leading(points float64) float64 { return points * 0.3528 * 1.25 }
