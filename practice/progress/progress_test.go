package progress

import (
	"encoding/csv"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/grade"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

func scored(skill plot.Skill, right, of int) grade.SkillScore {
	return grade.SkillScore{Skill: skill, Right: right, Of: of}
}

func TestDays(t *testing.T) {
	for day, want := range map[Day]string{0: "2020-01-01", 60: "2020-03-01", 366: "2021-01-01", 2520: "2026-11-25"} {
		if got := day.String(); got != want {
			t.Errorf("day %d is %s, not %s", day, got, want)
		}
	}
}

func result(day Day, score int, skills ...grade.SkillScore) Result {
	return Result{Name: "Wren", Seat: entry.BoxSeat, Script: "standard", Level: 3, Day: day, Score: score, Skills: skills}
}

// TestWhatToPractise: slips first, then what lay idle, then what is due again
// after equal gaps, then what is new.
func TestWhatToPractise(t *testing.T) {
	good := func(s plot.Skill) grade.SkillScore { return scored(s, 10, 10) }
	known := []Result{result(100, 100, good(plot.CarryOver)), result(103, 100, good(plot.CarryOver)), result(106, 100, good(plot.CarryOver))}
	for _, test := range []struct {
		name    string
		results []Result
		today   Day
		want    plot.Skill
		why     string
	}{
		{"nothing yet", nil, 10, plot.MinorCall, "drill.due.fresh"},
		{"slips", []Result{result(10, 50, scored(plot.MajorCall, 1, 10))}, 11, plot.MajorCall, "drill.due.slips"},
		{"again after three days", []Result{result(10, 100, good(plot.MajorCall))}, 13, plot.MajorCall, "drill.due.again"},
		{"not before", []Result{result(10, 100, good(plot.MajorCall))}, 12, plot.MinorCall, "drill.due.fresh"},
		{"known rests", known, 109, plot.MinorCall, "drill.due.fresh"},
		{"known fades", known, 106 + Idle, plot.CarryOver, "drill.due.idle"},
	} {
		t.Run(test.name, func(t *testing.T) {
			next, any := NextDrill(test.results, " wren", entry.BoxSeat, test.today)
			if !any || next.Skill != test.want || next.Why.Key != test.why {
				t.Errorf("next is %+v, want %s because %s", next, test.want, test.why)
			}
		})
	}
	var all []Result
	for _, day := range []Day{1, 4, 7} {
		r := result(day, 100)
		for _, s := range plot.Skills {
			r.Skills = append(r.Skills, good(s))
		}
		all = append(all, r)
	}
	if next, any := NextDrill(all, "Wren", entry.BoxSeat, 20); any {
		t.Errorf("somebody who knows it all has to practise %s", next.Skill)
	}
}

// spoilt is a game with a critical error, whatever its score.
func spoilt(day Day) Result {
	r := result(day, 95)
	r.Critical = []grade.Critical{grade.LostGoal}
	return r
}

func TestReadiness(t *testing.T) {
	two := []Result{result(10, 90), result(20, 90)}
	for _, test := range []struct {
		name    string
		results []Result
		today   Day
		want    Status
	}{
		{"nothing", nil, 20, NotYet},
		{"one game", two[:1], 20, NotYet},
		{"two games on one day", []Result{two[0], two[0]}, 20, NotYet},
		{"two games", two, 20, IsReady},
		{"a spoilt game", []Result{two[0], spoilt(20)}, 20, NotYet},
		{"a spoilt game besides", append(slices.Clone(two), spoilt(20)), 20, IsReady},
		{"a weak skill", append(slices.Clone(two), result(21, 95, scored(plot.CarryOver, 5, 10))), 21, NotYet},
		{"below the bar", []Result{result(10, 84), result(20, 90)}, 20, NotYet},
		{"a drill is no game", []Result{two[0], {Name: "Wren", Seat: entry.BoxSeat, Level: 3, Day: 20, Score: 100, Drill: true}}, 20, NotYet},
		{"three idle months", two, 20 + Idle, Faded},
		{"one day less", two, 19 + Idle, IsReady},
		{"back after a drill", append(slices.Clone(two), Result{Name: "Wren", Seat: entry.BoxSeat, Day: 100, Drill: true}), 20 + Idle, IsReady},
		{"another person", []Result{two[0], {Name: "Linnet", Seat: entry.BoxSeat, Level: 3, Day: 20, Score: 100}}, 20, NotYet},
		{"another seat", []Result{two[0], {Name: "Wren", Seat: entry.ClockSeat, Level: 3, Day: 20, Score: 100}}, 20, NotYet},
		{"the whole bench", []Result{two[0], {Name: "Wren", Seat: entry.Solo, Level: 3, Day: 20, Score: 100}}, 20, IsReady},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := ReadinessOf(test.results, "Wren", entry.BoxSeat, DefaultBar, test.today); got.Status != test.want {
				t.Errorf("%+v, want %s", got, test.want)
			}
		})
	}
	list := append(slices.Clone(two), Result{Name: "Linnet", Seat: entry.Solo, Level: 3, Day: 20, Score: 40})
	table := TableOf(Everybody(list, DefaultBar, 21))
	if len(table.Rows) != 2 || table.Rows[0][0].Text != "Linnet" || table.Rows[1][5].Says[0].Key != "drill.table.ready" ||
		table.Rows[1][6].Text != "90" || table.Rows[1][10].Text != "2020-01-21" {
		raw, _ := json.Marshal(table)
		t.Errorf("the list is %s", raw)
	}
	if left := Forget(list, "wren "); len(left) != 1 || left[0].Name != "Linnet" {
		t.Errorf("after forgetting Wren there is %v", left)
	}
}

// TestWhatIsLacking: somebody who is not ready is told each thing that is missing,
// and somebody who is ready nothing.
func TestWhatIsLacking(t *testing.T) {
	two := []Result{result(10, 90), result(20, 90)}
	weak := append(slices.Clone(two), result(21, 95, scored(plot.CarryOver, 5, 10), scored(plot.MinorCall, 0, 10)))
	for _, test := range []struct {
		name    string
		results []Result
		today   Day
		want    string
	}{
		{"nothing", nil, 20, "games have 0 want 2 score 85 level 2"},
		{"one game", two[:1], 20, "games have 1 want 2 score 85 level 2"},
		{"a low score", []Result{result(10, 60)}, 20, "games have 0 want 2 score 85 level 2, best best 60"},
		{"a spoilt game", []Result{spoilt(20)}, 20, "games have 0 want 2 score 85 level 2, critical count 1"},
		{"weak skills", weak, 21, "skill skill @drill.skill.minor score 70, skill skill @drill.skill.carry_over score 70"},
		{"ready", two, 20, ""},
		{"faded", two, 20 + Idle, "idle"},
	} {
		t.Run(test.name, func(t *testing.T) {
			var got []string
			for _, lack := range ReadinessOf(test.results, "Wren", entry.BoxSeat, DefaultBar, test.today).Lacks {
				words := strings.TrimPrefix(lack.Key, "drill.lack.")
				for _, a := range lack.Args {
					words += " " + a.Name + " " + a.Text
				}
				got = append(got, words)
			}
			if strings.Join(got, ", ") != test.want {
				t.Errorf("lacking is %q, want %q", got, test.want)
			}
		})
	}
}

// TestListAsCSV: a spreadsheet reads the list back as it is, and a name that looks
// like a formula stays a text.
func TestListAsCSV(t *testing.T) {
	list := []Result{
		{Name: `=SUM(A1), "Wren"`, Seat: entry.BoxSeat, Level: 3, Day: 20, Score: 90, Skills: []grade.SkillScore{scored(plot.CarryOver, 5, 10), scored(plot.MinorCall, 1, 10)}},
		{Name: "Linnet", Seat: entry.Solo, Level: 3, Day: 21, Score: 40},
	}
	text := TableOf(Everybody(list, DefaultBar, 21)).CSV(func(s rules.Say) string { return strings.TrimPrefix(s.Key, "drill.") })
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff"))).ReadAll()
	if err != nil || !strings.HasPrefix(text, "\ufeff") || strings.Count(text, "\r\n") != 3 {
		t.Fatalf("%q cannot be read: %v", text, err)
	}
	want := [][]string{
		{"table.name", "table.solo", "table.best", "table.clock", "table.best", "table.box", "table.best", "table.book", "table.best", "table.weak", "table.last"},
		{`'=SUM(A1), "Wren"`, "table.not_yet", "", "table.not_yet", "", "table.not_yet", "90", "table.not_yet", "", "skill.minor; skill.carry_over", "2020-01-21"},
		{"Linnet", "table.not_yet", "40", "table.not_yet", "40", "table.not_yet", "40", "table.not_yet", "40", "", "2020-01-22"},
	}
	for i := range want {
		if !slices.Equal(rows[i], want[i]) {
			t.Errorf("row %d is %q, want %q", i, rows[i], want[i])
		}
	}
}

func drawResult(t *rapid.T) Result {
	r := Result{
		Name: rapid.StringMatching(`[A-Za-zäöéß][A-Za-zäöéß' -]{0,20}[a-z]`).Draw(t, "name"), Seat: rapid.SampledFrom(Seats).Draw(t, "seat"),
		Script: rapid.StringMatching(`[a-z0-9][a-z0-9-]{0,30}`).Draw(t, "script"), Level: rapid.IntRange(1, plot.Levels).Draw(t, "level"),
		Drill: rapid.Bool().Draw(t, "drill"), Day: Day(rapid.IntRange(0, 65535).Draw(t, "day")), Score: rapid.IntRange(0, 100).Draw(t, "score"),
		Skills: []grade.SkillScore{},
	}
	for _, kind := range grade.Criticals {
		if rapid.IntRange(0, 3).Draw(t, "critical") == 0 {
			r.Critical = append(r.Critical, kind)
		}
	}
	for _, s := range plot.Skills {
		if rapid.Bool().Draw(t, "has") {
			r.Skills = append(r.Skills, scored(s, rapid.IntRange(0, 100).Draw(t, "right"), 100))
		}
	}
	return r
}

// TestCodesComeBack: a result that was written as a code is read as it was, also
// when it was typed by hand; one wrong letter is found.
func TestCodesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawResult(t)
		code, err := EncodeResult(r)
		if err != nil {
			t.Fatal(err)
		}
		typed := strings.ToLower(strings.ReplaceAll(code, "-", " "))
		got, err := DecodeResult(typed)
		a, _ := json.Marshal(r)
		b, _ := json.Marshal(got)
		if err != nil || string(a) != string(b) {
			t.Fatalf("%s came back as %s, %v", a, b, err)
		}
		at := rapid.IntRange(0, len(code)-1).Draw(t, "place")
		letter := rapid.SampledFrom([]byte("0123456789ABCDEFGHJKMNPQRSTVWXYZ")).Draw(t, "letter")
		if code[at] == '-' || code[at] == letter {
			return
		}
		wrong := code[:at] + string(letter) + code[at+1:]
		if got, err := DecodeResult(wrong); err == nil {
			t.Fatalf("%s with a wrong letter was read as %+v", wrong, got)
		}
	})
}

// TestOlderCodes: a code from before critical errors were told apart is read as it
// was; one without them is written as it was; with them it is another version.
func TestOlderCodes(t *testing.T) {
	const old = "04HGF-M2T00-040PG-8EDT6-2VK4C-5S681-2QE9J-PX587-AJ5G"
	r := result(2000, 90, scored(plot.CarryOver, 90, 100))
	if code, err := EncodeResult(r); err != nil || code != old {
		t.Errorf("%s, %v", code, err)
	}
	if got, err := DecodeResult(old); err != nil || got.Score != 90 || got.Critical != nil {
		t.Errorf("%+v, %v", got, err)
	}
	r.Critical = []grade.Critical{grade.LostGoal, grade.ClockRan}
	code, err := EncodeResult(r)
	if err != nil || code[:2] == old[:2] {
		t.Errorf("%s, %v", code, err)
	}
	if got, err := DecodeResult(code); err != nil || !slices.Equal(got.Critical, r.Critical) {
		t.Errorf("%+v, %v", got, err)
	}
}

func FuzzDecodeResult(f *testing.F) {
	code, err := EncodeResult(result(2000, 90, scored(plot.CarryOver, 9, 10)))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(code)
	f.Add("00000-00000")
	f.Fuzz(func(t *testing.T, code string) {
		r, err := DecodeResult(code)
		if err != nil {
			return
		}
		again, err := EncodeResult(r)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := DecodeResult(again); err != nil || back.Name != r.Name || back.Score != r.Score {
			t.Fatalf("%+v became %+v, %v", r, back, err)
		}
	})
}

// TestResultsOfASeat: a result has what its seat uses, and the whole bench has the
// score of the grade.
func TestResultsOfASeat(t *testing.T) {
	s := maker.Standard()
	ledger := slices.DeleteFunc(s.Ledger(), func(e entry.Entry) bool {
		b, is := e.Body.(entry.Seated)
		return is && !b.In && e.Wall > script.Start
	})
	for i := range ledger {
		ledger[i].Seq = i + 1
	}
	g, err := grade.Evaluate(s, ledger, nil)
	if err != nil {
		t.Fatal(err)
	}
	clock, box := ResultOf(g, s, " Wren ", entry.ClockSeat, 2000), ResultOf(g, s, "Wren", entry.BoxSeat, 2000)
	solo := ResultOf(g, s, "Wren", entry.Solo, 2000)
	if clock.Name != "Wren" || clock.Score != 100 || box.Score > solo.Score || solo.Score != g.Score || solo.Score >= 100 || solo.Drill {
		t.Errorf("clock %d, box %d, whole bench %d", clock.Score, box.Score, solo.Score)
	}
	if !slices.Equal(box.Critical, []grade.Critical{grade.NeverOut}) || !slices.Equal(solo.Critical, box.Critical) || clock.Critical != nil {
		t.Errorf("critical errors: clock %v, box %v, whole bench %v", clock.Critical, box.Critical, solo.Critical)
	}
	for _, k := range clock.Skills {
		if !plot.Uses(entry.ClockSeat, k.Skill) {
			t.Errorf("the clock's result has %s", k.Skill)
		}
	}
}
