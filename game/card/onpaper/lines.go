package onpaper

import "strings"

// Lines breaks a text into lines of a width, measured as wide does: between words, and
// within a word that is wider than a line. A line keeps the space at its end, so that
// whoever hears the lines hears two words. No word gives no line.
func Lines(text string, width float64, wide func(text string) float64) []string {
	var lines []string
	line, used := "", 0.0
	space := wide(" ")
	end := func() {
		lines = append(lines, line)
		line, used = "", 0
	}
	for word := range strings.FieldsSeq(text) {
		w := wide(word)
		if line != "" && used+space+w > width {
			line += " "
			end()
		}
		if w <= width {
			if line != "" {
				line, used = line+" ", used+space
			}
			line, used = line+word, used+w
			continue
		}
		for _, r := range word {
			w := wide(string(r))
			if line != "" && used+w > width {
				end()
			}
			line, used = line+string(r), used+w
		}
	}
	if line != "" {
		end()
	}
	return lines
}
