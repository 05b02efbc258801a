package people

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"slices"
	"strings"
)

// NewSince is the column that says since when somebody is new.
const NewSince = colSince

// Relevel is a list with other texts in some columns, of seats or NewSince; a column
// that is needed and not there is added. Whatever else stands in the list stays. Now
// says what stands in somebody's column now, or false where it stays.
func Relevel(text []byte, titles []string, now func(name, family, title string) (string, bool)) ([]byte, error) {
	reader := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	reader.Comma, reader.FieldsPerRecord = divider(text), -1
	table, err := reader.ReadAll()
	if err != nil || len(table) == 0 {
		return nil, err
	}
	column := func(title string) int {
		return slices.IndexFunc(table[0], func(field string) bool { return titleOf(field) == title })
	}
	cell := func(row []string, title string) string {
		if at := column(title); at >= 0 && at < len(row) {
			return strings.TrimSpace(row[at])
		}
		return ""
	}
	for i := 1; i < len(table); i++ {
		name := cell(table[i], colName)
		family := cmp.Or(cell(table[i], colFamily), name)
		for _, title := range titles {
			text, changed := now(name, family, title)
			if name == "" || !changed {
				continue
			}
			if column(title) < 0 {
				table[0] = append(table[0], title)
			}
			for len(table[i]) <= column(title) {
				table[i] = append(table[i], "")
			}
			table[i][column(title)] = text
		}
	}
	var out bytes.Buffer
	to := csv.NewWriter(&out)
	to.Comma = reader.Comma
	err = to.WriteAll(table)
	return out.Bytes(), err
}

// titleOf is a title as it is compared.
func titleOf(field string) string { return strings.ToLower(strings.Join(strings.Fields(field), " ")) }
