package people

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"slices"
	"strings"
)

// Relevel is a list with other levels in the columns of seats; a column that is
// needed and not there is added. Whatever else stands in the list stays. Levels says
// what somebody's level for a seat is now, or false where it stays.
func Relevel(text []byte, seats []string, levels func(name, family, seat string) (Level, bool)) ([]byte, error) {
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
		for _, seat := range seats {
			level, changed := levels(name, family, seat)
			if name == "" || !changed {
				continue
			}
			if column(seat) < 0 {
				table[0] = append(table[0], seat)
			}
			for len(table[i]) <= column(seat) {
				table[i] = append(table[i], "")
			}
			table[i][column(seat)] = string(level)
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
