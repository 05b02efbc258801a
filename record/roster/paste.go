package roster

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"whistlestop/game/entry"
)

// pasteMost is the longest text that is read, in bytes.
const pasteMost = 1 << 20

// File reads the bytes of a text file. What is longer than any roster is not even
// decoded.
func File(raw []byte) Sheet {
	if len(raw) > 2*pasteMost { // UTF-16 has two bytes for a letter
		return tooLong()
	}
	return Paste(Text(raw))
}

// Text decodes the bytes of a text file: UTF-8 or UTF-16 with a mark, and what
// older spreadsheets write (Windows-1252) where it is not UTF-8.
func Text(raw []byte) string {
	switch {
	case len(raw) >= 2 && raw[0] == 0xff && raw[1] == 0xfe:
		return wide(raw[2:], func(a, b byte) uint16 { return uint16(b)<<8 | uint16(a) })
	case len(raw) >= 2 && raw[0] == 0xfe && raw[1] == 0xff:
		return wide(raw[2:], func(a, b byte) uint16 { return uint16(a)<<8 | uint16(b) })
	case utf8.Valid(raw):
		return strings.TrimPrefix(string(raw), "\ufeff")
	}
	text := make([]rune, len(raw))
	for i, b := range raw {
		text[i] = rune(b)
		if b >= 0x80 && b < 0xa0 {
			text[i] = rune(windows[b-0x80])
		}
	}
	return string(text)
}

// windows are the characters of Windows-1252 from 0x80 to 0x9f (from memory).
var windows = [32]uint16{
	0x20ac, 0xfffd, 0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160, 0x2039, 0x0152, 0xfffd, 0x017d, 0xfffd,
	0xfffd, 0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0xfffd, 0x017e, 0x0178,
}

func wide(raw []byte, pair func(a, b byte) uint16) string {
	units := make([]uint16, 0, len(raw)/2)
	for i := 0; i+1 < len(raw); i += 2 {
		units = append(units, pair(raw[i], raw[i+1]))
	}
	return string(utf16.Decode(units))
}

// Paste reads a text: a CSV file, cells copied from a spreadsheet, or lines such
// as "12 Maren Holt C". Rows of findings are lines of the text.
func Paste(text string) Sheet {
	if len(text) > pasteMost {
		return tooLong()
	}
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	comma, spaced := separator(text)
	if spaced {
		return lines(text)
	}
	rows, err := cells(text, comma)
	if err != nil {
		s := Sheet{Findings: []Finding{}}
		row := 0
		var at *csv.ParseError
		if errors.As(err, &at) {
			row = at.Line
		}
		s.find(Mistake, row, "", "roster.unreadable")
		return s
	}
	return Cells(rows)
}

func tooLong() Sheet {
	s := Sheet{Findings: []Finding{}}
	s.find(Mistake, 0, "", "roster.text_too_long", "most", number(pasteMost>>10))
	return s
}

// separator finds out what stands between the cells: what most lines have. A
// comma in lines that begin with a number and a space only divides names.
func separator(text string) (comma rune, spaced bool) {
	list := strings.Split(text, "\n")
	for _, comma := range []rune{'\t', ';', ','} {
		with, all := 0, 0
		for _, line := range list {
			if strings.TrimSpace(line) == "" {
				continue
			}
			all++
			first, _, found := strings.Cut(line, string(comma))
			words := strings.Fields(strings.Trim(first, `" `))
			if found && comma == ',' && len(words) > 1 {
				if _, isNumber := jersey(words[0]); isNumber {
					found = false // 12 Holt, Maren
				}
			}
			if found {
				with++
			}
		}
		if 2*with > all {
			return comma, false
		}
	}
	return 0, true
}

// cells takes a text apart at its separators. Every row stands in the line in
// which it begins.
func cells(text string, comma rune) ([][]string, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = comma, -1, true, comma != '\t'
	var rows [][]string
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, err
		}
		line, _ := r.FieldPos(0)
		for len(rows) < line-1 && len(rows) <= rowsMost {
			rows = append(rows, nil)
		}
		if rows = append(rows, row); len(rows) > rowsMost {
			return rows, nil // Cells says that there are too many
		}
	}
}

// The columns of a line of words, as lines makes them.
const (
	lineNumber = iota
	lineName
	linePosition
	lineStatus
	lineLetter
	lineRole
	lineWide
)

// lines reads lines of words: a number, a name, and marks at the end; or what
// somebody of the staff does, and the name.
func lines(text string) Sheet {
	list := strings.Split(text, "\n")
	rows := make([][]string, 0, min(len(list), rowsMost+1))
	found := []Finding{}
	for i, line := range list {
		if len(rows) > rowsMost {
			break
		}
		kept, dropped := withoutPrivate(clean(line))
		for _, key := range dropped {
			found = append(found, Finding{Level: Look, Row: i + 1, Say: sayPairs(key)})
		}
		rows = append(rows, line1(kept))
	}
	s := Sheet{Findings: found, columns: map[Field]int{
		FieldNumber: lineNumber + 1, FieldName: lineName + 1, FieldPosition: linePosition + 1,
		FieldStatus: lineStatus + 1, FieldLetter: lineLetter + 1, FieldRole: lineRole + 1,
	}}
	if len(rows) > rowsMost {
		s.find(Mistake, rowsMost+1, "", "roster.too_many_rows", "most", number(rowsMost))
		return s
	}
	for i, row := range rows {
		switch {
		case empty(row) || heading(row) || titles(row[lineName]):
		case row[lineNumber] == "" && row[lineRole] == "" && len(s.Team.Players) == 0 && s.Team.Name == "":
			s.title([]string{row[lineName]})
		default:
			s.person(i+1, row)
		}
	}
	if len(s.Team.Players) == 0 {
		s.find(Mistake, 0, "", "roster.nobody")
	}
	s.columns = nil // a line has no columns to point at
	for i := range s.Findings {
		s.Findings[i].Column = 0
	}
	return s
}

// titles reports whether a line is made of the names of columns.
func titles(line string) bool {
	for _, word := range strings.Fields(line) {
		if _, known := fieldOf(word); !known {
			return false
		}
	}
	return line != ""
}

// line1 takes one line apart.
func line1(line string) []string {
	row := make([]string, lineWide)
	if role, name, found := strings.Cut(line, ":"); found {
		if _, ok := staffOf(role); ok {
			row[lineRole], row[lineName] = role, strings.TrimSpace(name)
			return row
		}
	}
	words := strings.FieldsFunc(line, func(r rune) bool { return r == ' ' })
	for i := min(len(words)-1, 3); i > 0; i-- { // "Assistant coach Mara Quill"
		if _, ok := staffOf(strings.Join(words[:i], " ")); ok {
			row[lineRole], row[lineName] = strings.Join(words[:i], " "), strings.Join(words[i:], " ")
			return row
		}
	}
	words = without(words)
	if len(words) == 0 {
		return row
	}
	words, row[lineLetter] = aroundNumber(words)
	plain, mark := offNumber(strings.TrimSuffix(words[0], ","))
	if _, ok := jersey(plain); ok {
		row[lineNumber], words = plain, words[1:]
		if mark != "" {
			row[lineLetter] = mark
		}
	} else if _, ok := jersey(words[len(words)-1]); ok {
		row[lineNumber], words = words[len(words)-1], words[:len(words)-1]
	} else if strings.HasPrefix(words[0], "#") || words[0][0] >= '0' && words[0][0] <= '9' {
		row[lineNumber], words = words[0], words[1:] // out of form, and said so
	}
	for len(words) > 1 {
		p := entry.Player{}
		inside := strings.Trim(words[len(words)-1], ",")
		last := strings.Trim(inside, "()[]")
		if last == inside && !bareMark(last) || !applyMark(&p, last) {
			break
		}
		words = words[:len(words)-1]
		switch {
		case p.Captain, p.Alternate:
			row[lineLetter] = last
		case p.Status != entry.Dressed:
			row[lineStatus] = last
		default:
			row[linePosition] = last
		}
	}
	if rest, letter := beforeName(words); letter != "" && row[lineNumber] != "" {
		words, row[lineLetter] = rest, letter
	}
	row[lineName] = strings.Trim(strings.Join(words, " "), " ,")
	return row
}

// without leaves out lone dashes and dots.
func without(words []string) []string {
	var kept []string
	for _, word := range words {
		if strings.Trim(word, "-–—.|,") != "" {
			kept = append(kept, word)
		}
	}
	return kept
}
