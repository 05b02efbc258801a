package roster

import "strings"

// headerWithin is in how many rows at the top the names of the columns may stand.
const headerWithin = 30

// findHeader looks for the row with the names of the columns: two of them at
// least, and the number or a name among them.
func (s *Sheet) findHeader(rows [][]string) {
	for i, row := range rows[:min(len(rows), headerWithin)] {
		columns := map[Field]int{}
		for j, text := range row {
			if f, known := fieldOf(text); known && columns[f] == 0 {
				columns[f] = j + 1
			}
		}
		named := columns[FieldNumber] > 0 || columns[FieldName] > 0 || columns[FieldLast] > 0
		if len(columns) < 2 || !named {
			continue
		}
		s.Header, s.columns = i+1, columns
		for j, text := range row {
			if _, known := fieldOf(text); text != "" && !known {
				s.Findings = append(s.Findings, Finding{
					Level: Look, Row: i + 1, Column: j + 1, Say: sayPairs("roster.column_unused", "title", text),
				})
			}
		}
		return
	}
}

// likeness is what the cells of a column look like, counted.
type likeness struct{ filled, numbers, positions, statuses, letters, texts int }

// guess finds out by their cells what the columns are, where nobody says it.
func guess(rows [][]string) map[Field]int {
	var list []likeness
	for _, row := range rows {
		if alone(row) {
			continue
		}
		for len(list) < len(row) {
			list = append(list, likeness{})
		}
		for j, text := range row {
			list[j].count(text)
		}
	}
	columns := map[Field]int{}
	most := func(by func(likeness) int) int {
		best, at := 0, 0
		for j, l := range list {
			if n := by(l); n > best && !taken(columns, j+1) {
				best, at = n, j+1
			}
		}
		return at
	}
	set := func(f Field, at int) {
		if at > 0 {
			columns[f] = at
		}
	}
	set(FieldNumber, most(func(l likeness) int { return l.mostly(l.numbers) }))
	set(FieldName, most(func(l likeness) int { return l.mostly(l.texts) }))
	if columns[FieldName] > 0 {
		// Two columns of words side by side are first and last name.
		if next := columns[FieldName]; next < len(list) && list[next].mostly(list[next].texts) > 0 {
			columns[FieldFirst], columns[FieldLast] = next, next+1
			delete(columns, FieldName)
		}
	}
	// A column of C and A only is that of the captains, unless there are so many of
	// them that C must be a centre.
	set(FieldLetter, most(func(l likeness) int {
		if l.letters == l.filled && l.letters <= 5 {
			return l.letters
		}
		return 0
	}))
	set(FieldPosition, most(func(l likeness) int { return l.mostly(l.positions) }))
	set(FieldStatus, most(func(l likeness) int { return l.mostly(l.statuses) }))
	return columns
}

// count looks at one cell.
func (l *likeness) count(text string) {
	if text == "" {
		return
	}
	l.filled++
	word := plain(text)
	_, isNumber := jersey(text)
	_, isPosition := positionOf(text)
	_, isStatus := statusOf(text)
	_, isStaff := staffOf(text)
	switch {
	case isNumber:
		l.numbers++
	case isPosition || isStaff:
		l.positions++
	case isStatus:
		l.statuses++
	case len([]rune(word)) > 1:
		l.texts++
	}
	if text == "C" || text == "A" {
		l.letters++
	}
}

// mostly returns a count that is more than half of the cells with text.
func (l likeness) mostly(count int) int {
	if 2*count > l.filled {
		return count
	}
	return 0
}

func taken(columns map[Field]int, at int) bool {
	for _, f := range order {
		if columns[f] == at {
			return true
		}
	}
	return false
}

// get returns the cell of a field, or nothing.
func (s *Sheet) get(row []string, f Field) string {
	if at := s.columns[f]; at > 0 && at <= len(row) {
		return row[at-1]
	}
	return ""
}

// name returns the name of a row.
func (s *Sheet) name(row []string) string {
	if name := s.get(row, FieldName); name != "" {
		return name
	}
	return strings.TrimSpace(s.get(row, FieldFirst) + " " + s.get(row, FieldLast))
}
