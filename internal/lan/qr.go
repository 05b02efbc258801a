package lan

import (
	"fmt"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// quietZone is the empty margin of a QR code in modules (ISO/IEC 18004: four).
const quietZone = 4

// QR draws a text as the SVG of a QR code. A dark module is one unit wide; the
// drawing scales to where it stands.
func QR(text string) (string, error) {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return "", err
	}
	size := code.Bounds().Dx()
	var path strings.Builder
	for y := range size {
		for x := 0; x < size; x++ {
			from := x
			for x < size && dark(code.At(x, y)) {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+quietZone, y+quietZone, x-from, x-from)
			}
		}
	}
	whole := size + 2*quietZone
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" shape-rendering="crispEdges">`+
		`<rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="%s"/></svg>`,
		whole, whole, whole, whole, path.String()), nil
}

// dark reports whether a module of the code is dark.
func dark(c interface{ RGBA() (r, g, b, a uint32) }) bool {
	r, _, _, _ := c.RGBA()
	return r < 0x8000
}
