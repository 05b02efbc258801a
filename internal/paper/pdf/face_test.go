package pdf

import (
	"encoding/binary"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"

	"whistlestop/game/card/onpaper"
	"whistlestop/internal/paper/letters"
)

// lettersOf reads which letters a face has: the part "cmap" of its file, in the
// form for two bytes (OpenType 1.9, format 4).
func lettersOf(t *testing.T, file []byte) map[rune]bool {
	t.Helper()
	word := func(at int) int { return int(binary.BigEndian.Uint16(file[at:])) }
	long := func(at int) int { return int(binary.BigEndian.Uint32(file[at:])) }
	letters := map[rune]bool{}
	for i := range word(4) {
		record := 12 + 16*i
		if string(file[record:record+4]) != "cmap" {
			continue
		}
		cmap := long(record + 8)
		for j := range word(cmap + 2) {
			part := cmap + long(cmap+4+8*j+4)
			if word(part) != 4 {
				continue
			}
			count := word(part+6) / 2
			for k := range count {
				end, start := word(part+14+2*k), word(part+16+2*count+2*k)
				delta, offset := word(part+16+4*count+2*k), word(part+16+6*count+2*k)
				for letter := start; letter <= end && letter < 0xffff; letter++ {
					glyph := letter
					if offset > 0 {
						glyph = word(part + 16 + 6*count + 2*k + offset + 2*(letter-start))
					}
					if offset > 0 && glyph == 0 {
						continue
					}
					if (glyph+delta)&0xffff != 0 {
						letters[rune(letter)] = true
					}
				}
			}
		}
	}
	return letters
}

// TestFacesHaveTheirLetters holds the lists of letters to the files of the faces,
// both styles.
func TestFacesHaveTheirLetters(t *testing.T) {
	for _, f := range faces {
		for _, style := range []string{"", "B"} {
			have, missing := lettersOf(t, f.file(style)), 0
			for _, r := range f.drawn.R16 {
				for letter := rune(r.Lo); letter <= rune(r.Hi); letter++ {
					if !have[letter] {
						missing++
						if missing < 5 {
							t.Errorf("%s %q has no %q (%U)", f.name, style, letter, letter)
						}
					}
				}
			}
		}
	}
	for _, letter := range "Жђёіїўґ Ωώ 東京 ひカー 항 ß ǰ" {
		if faceOf(letter) < 0 && !unicode.IsSpace(letter) {
			t.Errorf("no face has %q", letter)
		}
	}
}

// TestAFaceComesLater is a program that is built without the second face, as that of a
// browser is: what it lacks is said, and written once it came.
func TestAFaceComesLater(t *testing.T) {
	if got := Lacking("Жук 東京 항"); len(got) > 0 {
		t.Fatalf("this program lacks %q", got)
	}
	whole := slices.Clone(faces)
	t.Cleanup(func() {
		faces = whole
		taken.Clear()
	})
	faces[1].lacks = []string{letters.FurtherFile, letters.FurtherBoldFile}
	if got := Lacking("Ben Hook"); len(got) > 0 {
		t.Errorf("a Latin name lacks %q", got)
	}
	if got, want := Lacking("Ολγα Жук"), faces[1].lacks; !slices.Equal(got, want) || legible("Жук") != "???" || !lacking("Жук") {
		t.Errorf("lacks %q, wanted %q; written as %q", got, want, legible("Жук"))
	}
	Take(letters.FurtherFile, []byte("the face"))
	if got := Lacking("Жук"); !slices.Equal(got, []string{letters.FurtherBoldFile}) {
		t.Errorf("with one of two files %q", got)
	}
	Take(letters.FurtherBoldFile, []byte("its bold letters"))
	if got := Lacking("Жук"); len(got) > 0 || legible("Жук") != "Жук" {
		t.Errorf("when it came: lacks %q, written as %q", got, legible("Жук"))
	}
}

// The face that a form measures with is the one that is printed: letter by letter, and for
// letters of other faces never narrower.
func TestTheFormMeasuresAsThePrinter(t *testing.T) {
	s, err := newPage(A4, "", "en")
	if err != nil {
		t.Fatal(err)
	}
	c := &cardSheet{page: s}
	for _, style := range []string{"", "B"} {
		for r := rune(0x20); r < 0x2600; r++ {
			at := faceOf(r)
			if at < 0 {
				continue
			}
			printed, measured := c.measured(style, string(r)), onpaper.Width(style, string(r))
			if at == 0 && (r < 0x180 || strings.ContainsRune("–—‘’“”„…", r)) && math.Abs(printed-measured) > 1e-6 || printed > measured+1e-6 {
				t.Errorf("%q in %q: %f printed, %f measured", r, style, printed, measured)
			}
		}
	}
}
