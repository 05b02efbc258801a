package lanes

import (
	"fmt"
	"io"
	"strings"
)

// Drawing is a picture as shapes, for a screen or for paper. Everything is a whole
// number, so that the bytes are the same on every machine.
type Drawing struct {
	Width, Height int
	Title         string // the picture in a sentence
	Shapes        []Shape
}

// ShapeKind says what a shape is.
type ShapeKind int

// The kinds of shapes.
const (
	Box      ShapeKind = iota + 1 // from X, Y to the right and down
	Disc                          // around X, Y; Width is across
	Straight                      // a line from X, Y by Width and Height
	Label                         // a text with its baseline at X, Y
)

// Anchor says where a label stands beside its point.
type Anchor int

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Tone is a colour. The zero tone is none.
type Tone struct{ R, G, B, A uint8 }

// The tones of a drawing. Sides also differ by fill, so that they are told apart
// in black and white.
var (
	Clear    = Tone{}
	ink      = Tone{11, 28, 36, 255}
	soft     = Tone{59, 80, 90, 255}
	hair     = Tone{195, 209, 214, 255}
	white    = Tone{255, 255, 255, 255}
	homeDark = Tone{7, 91, 86, 255}
	homePale = Tone{189, 228, 223, 255}
	awayDark = Tone{138, 86, 0, 255}
	awayPale = Tone{246, 223, 180, 255}
)

// Shape is one piece of a drawing.
type Shape struct {
	Kind                ShapeKind
	X, Y, Width, Height int
	Text                string
	Size                int // of a label
	Bold                bool
	Anchor              Anchor
	Fill, Line          Tone
	Thick               int // of the line
	Dashed              bool
}

// SVG writes the drawing as a document of its own.
func (d Drawing) SVG(w io.Writer) error {
	var text strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&text, format+"\n", args...) }
	line(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img">`,
		d.Width, d.Height, d.Width, d.Height)
	line(`<title>%s</title>`, escape(d.Title))
	for _, s := range d.Shapes {
		look := fmt.Sprintf(`fill="%s" stroke="%s" stroke-width="%d"`, s.Fill.hex(), s.Line.hex(), s.Thick)
		if s.Dashed {
			look += ` stroke-dasharray="5 4"`
		}
		switch s.Kind {
		case Box:
			line(`<rect x="%d" y="%d" width="%d" height="%d" %s/>`, s.X, s.Y, s.Width, s.Height, look)
		case Disc:
			line(`<circle cx="%d" cy="%d" r="%d" %s/>`, s.X, s.Y, s.Width/2, look)
		case Straight:
			line(`<path d="M%d %dl%d %d" %s/>`, s.X, s.Y, s.Width, s.Height, look)
		case Label:
			weight := ""
			if s.Bold {
				weight = ` font-weight="700"`
			}
			line(`<text x="%d" y="%d" font-family="Barlow Condensed,Helvetica Neue,Arial,sans-serif" font-size="%d"%s text-anchor="%s" fill="%s">%s</text>`,
				s.X, s.Y, s.Size, weight, [...]string{"start", "middle", "end"}[s.Anchor], s.Fill.hex(), escape(s.Text))
		}
	}
	text.WriteString("</svg>\n")
	_, err := io.WriteString(w, text.String())
	return err
}

func (t Tone) hex() string {
	if t == Clear {
		return "none"
	}
	return fmt.Sprintf("#%02x%02x%02x", t.R, t.G, t.B)
}
