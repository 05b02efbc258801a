package divisions

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/folder"
)

// Text writes the file of a division, as people write it by hand. What it wrote is
// read again by the reader of every division file, and must be the same.
func Text(d rulebook.Division) ([]byte, error) {
	var out bytes.Buffer
	out.WriteString("# Written by the form on the first page of the bench. It may be read, copied and\n" +
		"# changed like any division file.\n\n")
	value := reflect.ValueOf(d)
	plain(&out, value)
	for i := range value.NumField() {
		field, key := value.Field(i), value.Type().Field(i).Tag.Get("toml")
		if field.Kind() != reflect.Struct || field.IsZero() {
			continue
		}
		var table bytes.Buffer
		plain(&table, field)
		for j := range field.NumField() {
			list, name := field.Field(j), field.Type().Field(j).Tag.Get("toml")
			if list.Kind() != reflect.Slice || list.Type().Elem().Kind() != reflect.Struct {
				continue
			}
			for k := range list.Len() {
				fmt.Fprintf(&table, "\n[[%s.%s]]\n", key, name)
				plain(&table, list.Index(k))
			}
		}
		if table.Len() > 0 {
			fmt.Fprintf(&out, "\n[%s]\n%s", key, table.Bytes())
		}
	}
	if len(d.Sources) > 0 {
		out.WriteString("\n# Where each setting was read.\n[source]\n")
		for _, key := range slices.Sorted(maps.Keys(d.Sources)) {
			fmt.Fprintf(&out, "%s = %s\n", keyText(key), quoted(d.Sources[key]))
		}
	}
	again, err := rulebook.ParseDivision(out.Bytes(), d.ID+folder.Ending)
	if err != nil {
		return nil, err
	}
	if !reflect.DeepEqual(told(again), told(d)) {
		return nil, rulebook.ErrUnwritable
	}
	return out.Bytes(), nil
}

// told is a division without the difference between no list and an empty one.
func told(d rulebook.Division) string {
	if len(d.Intermissions) == 0 {
		d.Intermissions = nil
	}
	if len(d.Overtime.Periods) == 0 {
		d.Overtime.Periods = nil
	}
	text, err := json.Marshal(d)
	if err != nil {
		return err.Error()
	}
	return string(text)
}

// plain writes the settings of a table that are no tables themselves; what is not
// set is left out.
func plain(out *bytes.Buffer, table reflect.Value) {
	for i := range table.NumField() {
		field, key := table.Field(i), table.Type().Field(i).Tag.Get("toml")
		if field.IsZero() {
			continue
		}
		if text, is := simple(field); is {
			fmt.Fprintf(out, "%s = %s\n", key, text)
			continue
		}
		if field.Kind() != reflect.Slice || field.Type().Elem().Kind() == reflect.Struct {
			continue
		}
		parts := make([]string, field.Len())
		for j := range parts {
			parts[j], _ = simple(field.Index(j))
		}
		fmt.Fprintf(out, "%s = [%s]\n", key, strings.Join(parts, ", "))
	}
}

// simple writes a time, a text, a number or yes and no.
func simple(v reflect.Value) (text string, is bool) {
	switch {
	case v.Type() == reflect.TypeFor[entry.Millis]():
		return quoted(timeText(entry.Millis(v.Int()))), true
	case v.Kind() == reflect.String:
		return quoted(v.String()), true
	case v.Kind() == reflect.Int:
		return fmt.Sprint(v.Int()), true
	case v.Kind() == reflect.Bool:
		return fmt.Sprint(v.Bool()), true
	}
	return "", false
}

func timeText(m entry.Millis) string {
	text := m.String()
	if m >= entry.Clock(100, 0) {
		hours := m / entry.Clock(60, 0)
		text = fmt.Sprintf("%d:%05s", hours, (m % entry.Clock(60, 0)).String())
	}
	if tenths := m % 1000 / 100; tenths > 0 {
		text += fmt.Sprintf(".%d", tenths)
	}
	return text
}

// bare is a key that needs no quotes.
var bare = regexp.MustCompile(`^[A-Za-z0-9_-]+$`)

func keyText(key string) string {
	if bare.MatchString(key) {
		return key
	}
	return quoted(key)
}

// quoted writes a text as TOML reads it: its escapes are those of JSON.
func quoted(text string) string {
	var out bytes.Buffer
	to := json.NewEncoder(&out)
	to.SetEscapeHTML(false)
	if err := to.Encode(text); err != nil {
		return `""`
	}
	return strings.TrimSpace(out.String())
}
