package people

import (
	"encoding/csv"
	"strconv"
	"strings"

	"whistlestop/game/dates"
)

// Write is a list as Read takes it: commas, the titles first. Every seat of seats is
// a column.
func Write(list []Person, seats []string) []byte {
	titles := append(append([]string{}, columns[:3]...), seats...)
	titles = append(titles, columns[3:]...)
	lines := [][]string{titles}
	for _, p := range list {
		line := make([]string, len(titles))
		for i, title := range titles {
			line[i] = p.cell(title)
		}
		lines = append(lines, line)
	}
	var text strings.Builder
	_ = csv.NewWriter(&text).WriteAll(lines) // a string always takes it
	return []byte(text.String())
}

// cell is what stands under a title.
func (p Person) cell(title string) string {
	switch title {
	case colName:
		return p.Name
	case colFamily:
		if p.Family == p.Name {
			return ""
		}
		return p.Family
	case colTeams:
		return strings.Join(p.Teams, " ")
	case colDays:
		return each(p.Days, dates.Weekday.String)
	case colAway:
		return each(p.Away, func(s Span) string {
			if s.From == s.To {
				return s.From.String()
			}
			return s.From.String() + "/" + s.To.String()
		})
	case colNotBefore:
		if p.NotBefore != nil {
			return p.NotBefore.String()
		}
	case colDayMost:
		return some(p.DayMost)
	case colMost:
		return some(p.Most)
	case colAge:
		return some(p.Age)
	case colScreened:
		if p.Screened != nil {
			return p.Screened.String()
		}
	case colSince:
		if p.Since != nil {
			return p.Since.String()
		}
	case colFar:
		return strings.Join(p.Far, " ")
	case colOneFree:
		if p.OneFree {
			return "yes"
		}
	case colReach:
		return p.Reach
	default:
		return string(p.Levels[title])
	}
	return ""
}

func some(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func each[T any](list []T, text func(T) string) string {
	parts := make([]string, len(list))
	for i, one := range list {
		parts[i] = text(one)
	}
	return strings.Join(parts, " ")
}
