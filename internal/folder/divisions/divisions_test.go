package divisions

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/folder"
)

// Every division that comes with the program is the same after it was written and
// read again, and so is one with every setting.
func TestADivisionIsWrittenAsItIs(t *testing.T) {
	all := rulebook.Divisions()
	full := all[0]
	fill(reflect.ValueOf(&full).Elem())
	full.Code, full.Skaters = all[0].Code, 6
	full.Periods = []entry.Millis{entry.Clock(20, 0), entry.Clock(12, 30) + 500}
	full.Intermissions, full.Clock.RunningPeriods = []entry.Millis{1000}, []int{1, 2}
	full.Running.FromPeriod = 1
	full.Overtime.Periods = []rulebook.OvertimePeriod{{Length: 300_000, Skaters: 3, Rest: 1000, SuddenDeath: true, Running: true}}
	full.Lengths.Form, full.Running.Returns, full.Slot.Action, full.ReportTimes = rulebook.MinorShot, rulebook.ReturnsBelow, rulebook.SlotEnd, rulebook.TimesRemaining
	full.Slot.Length = entry.Clock(105, 0)
	full.Name = "Under \"14\" \\ <A> é"
	full.Sources = map[string]string{}
	for _, key := range []string{"warm_up", "periods", "intermissions", "skaters", "short_goal_frees", "report_times", "lengths", "clock", "running", "slot", "overtime", "shoot_out", "time_out", "limits", "display"} {
		full.Sources[key] = "page 4"
	}
	for _, d := range append(all, full) {
		text, err := Text(d)
		if err != nil {
			t.Errorf("%s: %v\n%s", d.ID, err, text)
			continue
		}
		again, err := rulebook.ParseDivision(text, "x.toml")
		if err != nil || told(again) != told(d) {
			t.Errorf("%s: %v\n%s\n%s", d.ID, err, told(again), told(d))
		}
	}
	odd := all[0]
	odd.Lengths.Minor = 90_001
	if _, err := Text(odd); err == nil {
		t.Error("a thousandth of a second was written as something else")
	}
}

// fill sets everything that is a number, a time, a text or yes and no.
func fill(v reflect.Value) {
	for i := range v.NumField() {
		switch field := v.Field(i); field.Kind() {
		case reflect.Struct:
			fill(field)
		case reflect.Int:
			field.SetInt(2)
		case reflect.Int64:
			field.SetInt(61_000)
		case reflect.Bool:
			field.SetBool(true)
		case reflect.String:
			if field.Type() == reflect.TypeFor[string]() {
				field.SetString("text")
			}
		default:
		}
	}
}

func TestFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "divisions")
	f := New(path)
	names := func() string {
		t.Helper()
		files, err := f.All()
		if err != nil {
			t.Fatal(err)
		}
		var list []string
		for _, file := range files {
			if file.Bad != nil {
				list = append(list, file.Name+"!")
			} else {
				list = append(list, file.Name+"="+file.Division.Name)
			}
		}
		return strings.Join(list, " ")
	}
	if got := names(); got != "" {
		t.Errorf("an empty folder has %s", got)
	}
	keep := func(id, name string) {
		t.Helper()
		d := rulebook.Divisions()[0]
		d.ID, d.Name = id, name
		if err := f.Keep(d); err != nil {
			t.Fatal(err)
		}
	}
	keep("north", "North")
	keep("north", "North again")
	if err := os.Rename(filepath.Join(path, "north.toml"), filepath.Join(path, "a.toml")); err != nil {
		t.Fatal(err)
	}
	keep("north", "North once more")
	for name, text := range map[string]string{"bad.toml": "id =", "large.toml": strings.Repeat("#", folder.ReadMost+1), "notes.txt": "no division"} {
		if err := os.WriteFile(filepath.Join(path, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if got := names(); got != "a.toml=North once more bad.toml! large.toml!" {
		t.Errorf("the folder has %s", got)
	}
	if err := New(filepath.Join(path, "a.toml")).Keep(rulebook.Divisions()[0]); err == nil {
		t.Error("a division was kept in a file")
	}
}
