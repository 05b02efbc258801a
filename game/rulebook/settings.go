package rulebook

import (
	"path"
	"reflect"
	"slices"
	"strings"

	"whistlestop/game/datafile"
	"whistlestop/game/entry"
)

// Setting is one value of a code with the rule and the place behind it.
type Setting struct {
	Table string `json:"table"` // "lengths", "charges" or "policies"
	Key   string `json:"key"`   // as the code's file writes it
	Value any    `json:"value"` // milliseconds for a length
	Cited
}

// Settings lists every value of a code in the order of its file's form. A value
// without a place of its own was read in the book that the code names as its
// edition. It returns nil for an id that is not a code's.
func Settings(id string) []Setting {
	for _, name := range list("codes") {
		if strings.TrimSuffix(name, ".toml") != id || name == callsName {
			continue
		}
		var f codeFile
		must(datafile.Decode(read(path.Join("codes", name)), name, &f))
		return f.settings()
	}
	return nil
}

// callsName is the one file among the codes that is not a code.
const callsName = "calls.toml"

func (f codeFile) settings() []Setting {
	var all []Setting
	for _, table := range []struct {
		name  string
		value any
	}{{"lengths", f.Lengths}, {"charges", f.Charges}, {"policies", f.Policies}} {
		v := reflect.ValueOf(table.value)
		for i := range v.NumField() {
			s := Setting{Table: table.name, Key: v.Type().Field(i).Tag.Get("toml")}
			switch c := v.Field(i).Interface().(type) {
			case cited[entry.Millis]:
				s.Value, s.Cited = c.Value, Cited{Rule: c.Rule, Source: c.Source}
			case cited[OneMinorEach]:
				s.Value, s.Cited = c.Value, Cited{Rule: c.Rule, Source: c.Source}
			case cited[WhoChooses]:
				s.Value, s.Cited = c.Value, Cited{Rule: c.Rule, Source: c.Source}
			case cited[SecondMisconduct]:
				s.Value, s.Cited = c.Value, Cited{Rule: c.Rule, Source: c.Source}
			case cited[bool]:
				s.Value, s.Cited = c.Value, Cited{Rule: c.Rule, Source: c.Source}
			case cited[int]:
				s.Value, s.Cited = c.Value, Cited{Rule: c.Rule, Source: c.Source}
			}
			if s.Source == "" && s.Rule != "" {
				s.Source = f.Edition
			}
			all = append(all, s)
		}
	}
	return all
}

// Topics lists every kind of consequence that a code cites a rule for.
func Topics() []Topic { return slices.Clone(topics) }

// DivisionFile returns the file of a division that comes with the program, to
// read, copy and change.
func DivisionFile(id string) ([]byte, bool) {
	for _, name := range list("divisions") {
		text := read(path.Join("divisions", name))
		if d, err := ParseDivision(text, name); err == nil && d.ID == id {
			return text, true
		}
	}
	return nil, false
}
