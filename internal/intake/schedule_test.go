package intake_test

import (
	"fmt"
	"os"
	"testing"

	"whistlestop/internal/intake"
	"whistlestop/season/league"
)

func harbour(t testing.TB) league.League {
	t.Helper()
	text, err := os.ReadFile("../../testdata/league/harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func ExampleSchedule() {
	l := league.League{Rinks: []league.Rink{{ID: "saltworks", Name: "Saltworks", Sheets: 1}}, Zone: "Europe/Oslo", Divisions: []league.Division{{ID: "u14", Name: "Under 14", Teams: []league.Team{{ID: "kelp", Name: "Kelp Bay"}, {ID: "mill", Name: "Millrace"}}}}}
	read, err := intake.Schedule("theirs.csv", []byte("home;visitors;day;start;rink\nKelp Bay;Millrace;2026-10-03;10:00;Saltworks\n"), l)
	fmt.Println(len(read.Rows), len(read.Findings), read.Columns[0].Holds, err)
	// Output: 1 0 home <nil>
}

// The same game in each form; what is no table of its form is an error.
func TestAScheduleInEachForm(t *testing.T) {
	l := harbour(t)
	calendar := "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nBEGIN:VEVENT\r\nUID:a\r\nDTSTART;TZID=Europe/Oslo:20261003T100000\r\nSUMMARY:Kelp Bay – Northmole (Under 14)\r\nLOCATION:Saltworks Arena\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
	for name, text := range map[string]string{
		"a.csv": "Home,Visitors,Day,Start,Rink\nKelp Bay,Northmole,2026-10-03,10:00,Saltworks Arena\n",
		"b.txt": "Home;Visitors;Day;Start;Rink\nKelp Bay;Northmole;2026-10-03;10:00;Saltworks Arena\n",
		"c.ICS": calendar,
	} {
		read, err := intake.Schedule(name, []byte(text), l)
		if err != nil || len(read.Rows) != 1 {
			t.Errorf("%s: %v %v", name, read.Rows, err)
		}
	}
	for _, name := range []string{"a.xlsx", "a.csv"} {
		if read, err := intake.Schedule(name, []byte("a,\"b\nc"), l); err == nil {
			t.Errorf("%s: %v", name, read.Rows)
		}
	}
	l.Zone = "Moon"
	if _, err := intake.Schedule("c.ics", []byte(calendar), l); err == nil {
		t.Error("there is a clock of the Moon")
	}
}

func FuzzSchedule(f *testing.F) {
	l := harbour(f)
	for _, name := range []string{"a.csv", "a.ics", "a.xlsx"} {
		f.Add(name, []byte("Home,Visitors,Day,Start,Rink\nKelp Bay,Northmole,2026-10-03,10:00,Saltworks Arena\n"))
	}
	f.Fuzz(func(_ *testing.T, name string, text []byte) {
		_, _ = intake.Schedule(name, text, l)
	})
}
