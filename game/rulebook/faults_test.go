package rulebook

import (
	"strings"
	"testing"

	"whistlestop/internal/locale"
)

// soundDivision is a division file without a fault. Each case below spoils one
// line of it.
const soundDivision = `# A sound file.
id = "under-14"
name = "Under 14"
code = "usah-youth"
warm_up = "5:00"
periods = ["12:00", "12:00", "12:00"]
intermissions = ["1:00", "1:00"]
skaters = 5

[lengths]
minor = "1:30"
bench_minor = "1:30"
major = "5:00"
match = "3:00"
misconduct = "10:00"

[clock]
running_periods = [1, 2]
stop_within = 3

[display]
lead_at_most = 5

[running]
lead = 6
from_period = 3
returns = "below"

[slot]
length = "1:45:00"
action = "run_out"

[overtime]
sudden_death = true

[[overtime.periods]]
length = "5:00"
skaters = 4

[shoot_out]
shooters = 3

[time_out]
each = 1
length = "0:30"

[limits]
penalties = 4

[source]
warm_up = "common practice, no source"
periods = "common practice, no source"
intermissions = "common practice, no source"
skaters = "from memory"
lengths = "USA Hockey Rule 402 note"
clock = "league rule"
display = "league rule"
running = "league rule"
slot = "league rule"
overtime = "league rule"
shoot_out = "league rule"
time_out = "league rule"
limits = "league rule"
`

func TestASoundFileIsRead(t *testing.T) {
	d, err := ParseDivision([]byte(soundDivision), "under-14.toml")
	if err != nil {
		t.Fatal(err)
	}
	if d.Slot.Length.String() != "105:00" || d.Lengths.Minor.String() != "1:30" {
		t.Errorf("slot %s, minor %s", d.Slot.Length, d.Lengths.Minor)
	}
}

// TestAWrongFileSaysWhatToDo holds the whole message: file, line, what is wrong,
// and what to write instead.
func TestAWrongFileSaysWhatToDo(t *testing.T) {
	const file = "under-14.toml, line "
	for _, test := range []struct{ name, from, to, want string }{
		{"no id", `id = "under-14"`, `id = ""`, `2: a division needs an id, such as "under-14"`},
		{"no name", `name = "Under 14"`, `name = ""`, `3: a division needs a name`},
		{"unknown code", `"usah-youth"`, `"usa"`,
			`4: there is no code "usa"; the codes are ` + strings.Join(codeIDs(), ", ")},
		{"time without quotes", `"5:00"` + "\nperiods", `5` + "\nperiods",
			`5: 5 is not a time: write minutes and seconds in quotes, such as "1:30"`},
		{"time without colon", `minor = "1:30"`, `minor = "90"`,
			`11: 90 is not a time: write minutes and seconds in quotes, such as "1:30"`},
		{"time that is none", `major = "5:00"`, `major = "5:75"`,
			`13: "5:75" is not a time: write minutes and seconds, such as 5:13`},
		{"hours that are none", `"1:45:00"`, `"1:75:00"`,
			`30: "1:75:00" is not a time: write hours, minutes and seconds, such as "1:45:00"`},
		{"no periods", `["12:00", "12:00", "12:00"]`, `[]`,
			`6: give the length of each regulation period, one to nine of them`},
		{"one break too few", `["1:00", "1:00"]`, `["1:00"]`,
			`7: 3 periods have 2 intermissions between them; 1 are given`},
		{"period too long", `["12:00", "12:00", "12:00"]`, `["12:00", "12:00", "61:00"]`,
			`6: a period lasts more than 0:00 and at most 60:00, not 61:00`},
		{"skaters", `skaters = 5`, `skaters = 7`, `8: a side has three to six skaters, not 7`},
		{"skaters in words", `skaters = 5`, `skaters = "five"`,
			`8: skaters is text in quotes; write a whole number instead`},
		{"half a skater", `skaters = 5`, `skaters = 4.5`,
			`8: skaters is a number with a point; write a whole number instead`},
		{"yes for true", `sudden_death = true`, `sudden_death = "yes"`,
			`34: overtime.sudden_death is text in quotes; write true or false instead`},
		{"one period for a list", `periods = ["12:00", "12:00", "12:00"]`, `periods = "12:00"`,
			`6: periods is text in quotes; write a list in brackets instead`},
		{"length left out", "misconduct = \"10:00\"\n", "",
			`10: a penalty lasts more than 0:00 and at most 30:00, not 0:00; give minor, bench_minor, major, match and misconduct`},
		{"misspelt setting", `bench_minor`, `benchminor`,
			`12: there is no setting "lengths.benchminor"; take it out or mend its spelling`},
		{"misspelt table", "[slot]", "[slots]", `29: there is no setting "slots"; take it out or mend its spelling`},
		{"way back", `returns = "below"`, `returns = "sometimes"`,
			`27: returns is "never", "below" or "closed", or left out`},
		{"slot action", `action = "run_out"`, `action = "stop"`,
			`31: action is "set_clock_and_run", "run_out" or "end", or left out`},
		{"times of the report", "skaters = 5\n", "skaters = 5\nreport_times = \"both\"\n",
			`9: report_times is "elapsed" or "remaining", or left out`},
		{"times without source", "skaters = 5\n", "skaters = 5\nreport_times = \"remaining\"\n",
			`9: report_times has no source: add it under [source] and say where its value was read, or "common practice, no source"`},
		{"form", "misconduct = \"10:00\"\n", "misconduct = \"10:00\"\nform = \"half\"\n",
			`16: form is "penalty_shot", "penalty_shot_or_time" or "rest_of_shift", or left out`},
		{"lead, with a longer key above it", `lead = 6`, `lead = 60`, `25: lead is a number from 0 to 30, not 60`},
		{"running from a period that is not played", `from_period = 3`, `from_period = 4`,
			`26: from_period is a number from 0 to 3, not 4`},
		{"a running period that is not played", `[1, 2]`, `[1, 4]`,
			`18: running_periods names periods from 1 to 3, not 4`},
		{"overtime with too many", `skaters = 4`, `skaters = 6`,
			`33: overtime is played with three to 5 skaters a side, not 6`},
		{"overtime without length", "length = \"5:00\"\nskaters = 4", `skaters = 4`,
			`33: an overtime period lasts more than 0:00 and at most 60:00, not 0:00`},
		{"setting without source", "periods = \"common practice, no source\"\n", "",
			`6: periods has no source: add it under [source] and say where its value was read, or "common practice, no source"`},
		{"table without source", "limits = \"league rule\"\n", "",
			`47: limits has no source: add it under [source] and say where its value was read, or "common practice, no source"`},
		{"twice", `skaters = 5`, "skaters = 5\nskaters = 5", `9: Key 'skaters' has already been defined.`},
		{"quote not closed", `name = "Under 14"`, `name = "Under 14`, `3: strings cannot contain newlines`},
	} {
		t.Run(test.name, func(t *testing.T) {
			text := strings.Replace(soundDivision, test.from, test.to, 1)
			if text == soundDivision {
				t.Fatal("nothing was spoilt")
			}
			_, err := ParseDivision([]byte(text), "under-14.toml")
			if err == nil {
				t.Fatal("the file was read")
			}
			if said := locale.English().Error(err); said != file+test.want {
				t.Errorf("got  %s\nwant %s%s", err, file, test.want)
			}
		})
	}
}

// A table is a table however TOML writes it.
func TestNoFormOfATableEscapesTheSource(t *testing.T) {
	head, rest, _ := strings.Cut(soundDivision, "[limits]")
	for _, form := range []string{"limits = {penalties = 4}\n", "limits.penalties = 4\n"} {
		top, tables, _ := strings.Cut(head, "[lengths]")
		_, sources, _ := strings.Cut(rest, "[source]")
		text := top + form + "[lengths]" + tables + "[source]" + strings.Replace(sources, "limits = \"league rule\"\n", "", 1)
		_, err := ParseDivision([]byte(text), "x.toml")
		if err == nil || !strings.Contains(locale.English().Error(err), "line 10: limits has no source") {
			t.Errorf("%q: %v", form, err)
		}
	}
}
