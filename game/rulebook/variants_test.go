package rulebook

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
)

// variant is what a row of the table of published local variation states. What
// it leaves empty must be empty in the file too: a division has what its file
// says and nothing else.
type variant struct {
	file     string
	code     string
	warmUp   string
	periods  string
	breaks   string // where the row states them
	lengths  string // minor, major, misconduct
	form     MinorForm
	clock    ClockRule
	running  Running
	slot     Slot
	overtime Overtime
	shootOut ShootOut
	timeOut  TimeOut
	limits   Limits
	display  Display
}

// times writes lengths as a person does.
func times(list ...entry.Millis) string {
	words := make([]string, len(list))
	for i, m := range list {
		words[i] = m.String()
	}
	return strings.Join(words, " ")
}

var (
	full   = "2:00 5:00 10:00"
	minute = entry.Clock(1, 0)
)

// one is one overtime period.
func one(minutes, skaters int) []OvertimePeriod {
	return []OvertimePeriod{{Length: entry.Clock(minutes, 0), Skaters: skaters}}
}

func resting(rest entry.Millis, periods []OvertimePeriod) []OvertimePeriod {
	periods[0].Rest = rest
	return periods
}

func runningOn(periods []OvertimePeriod) []OvertimePeriod {
	periods[0].Running = true
	return periods
}

// variants has one line for each file: the rows L1 to L21 of the table, with a
// letter where a row covers several age groups, levels or slots.
func variants() []variant {
	tiered := ShootOut{Shooters: 3, AllFirst: true, HomeChooses: true}
	gap7 := Running{Lead: 7, FromPeriod: 3}
	half := TimeOut{Each: 1, Length: minute / 2}
	whole := TimeOut{Each: 1, Length: minute}
	gap5 := Running{Lead: 5, FromPeriod: 3, Returns: ReturnsBelow}
	untilWinner := func(periods []OvertimePeriod) Overtime {
		return Overtime{Periods: periods, SuddenDeath: true, Repeat: true}
	}
	sudden := func(periods []OvertimePeriod) Overtime { return Overtime{Periods: periods, SuddenDeath: true} }
	brackets := Overtime{SuddenDeath: true, FinalsOnly: true, Periods: []OvertimePeriod{
		{Length: 5 * minute, Skaters: 5, Rest: 2 * minute}, {Length: 5 * minute, Skaters: 4, Rest: minute * 3 / 2},
	}}
	club := ClockRule{StopsForCalls: true}
	whistle := ClockRule{WarmUpWhistle: minute / 2}
	school := Overtime{Repeat: true, Minor: 2 * minute, Periods: []OvertimePeriod{
		{Length: 5 * minute, Skaters: 4}, {Length: 5 * minute, Skaters: 3, SuddenDeath: true},
	}}
	clubGap := Running{Lead: 5, FromPeriod: 3, Returns: ReturnsBelow, KeepsBoxGoing: true, SkipsBreakAt: 5}
	prepared := ShootOut{Shooters: 3, Prepare: 2 * minute, HomeChooses: true, FlipsOrder: true, SameEnds: true}
	rink := ClockRule{Running: true, StopLast: 2 * minute, StopWithin: 3}
	hour := func(minutes int) entry.Millis { return entry.Clock(minutes, 0) }
	return []variant{
		{file: "L01", periods: "15:00 15:00 15:00", lengths: full, running: Running{Lead: 6, FromPeriod: 1},
			overtime: untilWinner(resting(minute, one(8, 5)))},
		{file: "L01b", periods: "12:00 12:00 12:00", lengths: "1:30 3:00 6:00", running: Running{Lead: 6, FromPeriod: 1},
			overtime: untilWinner(resting(minute, one(8, 5)))},
		{file: "L02", periods: "16:00 16:00 16:00", running: gap7, slot: Slot{Length: hour(90)},
			overtime: sudden(one(5, 4)), shootOut: tiered, timeOut: half},
		{file: "L02b", periods: "17:00 17:00 17:00", running: gap7, slot: Slot{Length: hour(120)},
			overtime: sudden(one(5, 4)), shootOut: tiered, timeOut: half},
		{file: "L02c", periods: "16:00 16:00 16:00", running: gap7, slot: Slot{Length: hour(105)}, timeOut: half},
		{file: "L03", periods: "12:00 12:00 12:00", running: Running{Lead: 6, FromPeriod: 3, Returns: ReturnsBelow},
			slot:     Slot{Length: hour(60), LastHalf: true},
			overtime: Overtime{Periods: one(5, 5), SuddenDeath: true, FinalsOnly: true},
			shootOut: ShootOut{Shooters: 3, FinalsOnly: true}, timeOut: half, limits: Limits{Penalties: 4}},
		{file: "L04", periods: "12:00 12:00 12:00", running: gap5},
		{file: "L04b", periods: "24:00 24:00", form: MinorShift, clock: ClockRule{Running: true, HornEvery: 2 * minute},
			display: Display{NoScorers: true}},
		{file: "L04c", periods: "10:00 10:00 10:00", running: gap5},
		{file: "L04d", periods: "13:00 13:00 13:00", running: gap5},
		{file: "L05", warmUp: "3:00", periods: "20:00 20:00", breaks: "1:00", form: MinorShot, clock: ClockRule{Running: true},
			shootOut: ShootOut{Shooters: 1, WholeTeam: true, Always: true}},
		{file: "L05b", warmUp: "3:00", periods: "21:00 21:00", breaks: "1:00", form: MinorShot, clock: ClockRule{Running: true}},
		{file: "L06", periods: "15:00 15:00 15:00", breaks: "1:30 12:00", clock: club, running: clubGap,
			overtime: brackets, timeOut: whole},
		{file: "L06b", periods: "14:00 14:00 14:00", breaks: "1:30 12:00", clock: club, running: clubGap,
			overtime: brackets, timeOut: whole},
		{file: "L07", code: "hockey-canada", periods: "10:00 10:00 10:00", breaks: "1:00 1:00",
			clock: whistle, slot: Slot{Length: hour(50), Action: SlotEnd, LeastPlay: 30 * minute}},
		{file: "L07b", code: "hockey-canada", periods: "15:00 15:00 15:00", clock: whistle,
			slot: Slot{Length: hour(110), Action: SlotEnd, LeastPlay: 30 * minute}},
		{file: "L07c", code: "hockey-canada", periods: "20:00 20:00 20:00", clock: whistle,
			slot: Slot{Length: hour(140), Action: SlotEnd, LeastPlay: 30 * minute}},
		{file: "L08", code: "usah-adult", warmUp: "4:00", periods: "18:00 18:00 18:00", lengths: "2:30 5:00 10:00",
			clock: rink, overtime: Overtime{Periods: one(5, 5)}, timeOut: whole},
		{file: "L08b", code: "usah-adult", warmUp: "4:00", periods: "18:00 18:00 18:00", lengths: "2:30 5:00 10:00",
			clock: rink, overtime: Overtime{Periods: runningOn(one(18, 5)), SuddenDeath: true, Repeat: true, FinalsOnly: true},
			timeOut: whole},
		{file: "L09", slot: Slot{Action: SlotRun}},
		{file: "L10", code: "hockey-canada", periods: "10:00 10:00 12:00", lengths: full, limits: Limits{LeastSkaters: 6}},
		{file: "L11", code: "usah-adult", warmUp: "3:00", periods: "20:00 20:00", breaks: "1:00", lengths: "1:00 5:00 10:00",
			form: MinorShotTime, clock: ClockRule{Running: true, StopLast: 3 * minute},
			running: Running{Lead: 6, FromPeriod: 2, EndsGame: true},
			timeOut: TimeOut{Each: 1, Length: minute, FinalsOnly: true}},
		{file: "L12", code: "usah-adult",
			overtime: Overtime{Periods: runningOn(one(5, 5)), SuddenDeath: true, IfSlotAllows: true},
			limits:   Limits{Minutes: 8 * minute, NoPenalties: true, SuspendsLate: 5 * minute}},
		{file: "L13", running: Running{Lead: 8}, limits: Limits{GoalsByPlayer: 3}},
		{file: "L14", code: "nfhs", overtime: sudden(one(8, 5)), shootOut: prepared},
		{file: "L14b", code: "nfhs", overtime: untilWinner(one(8, 5)), shootOut: prepared},
		{file: "L15", code: "hockey-canada", lengths: full, overtime: school},
		{file: "L16", code: "usah-adult", warmUp: "5:00", periods: "20:00 20:00 20:00", breaks: "1:30 1:30",
			clock:    ClockRule{Running: true, StopLast: 2 * minute, StopsForCalls: true},
			overtime: sudden(one(5, 3)), shootOut: ShootOut{Shooters: 3}},
		{file: "L17", code: "nfhs", clock: ClockRule{SkateBetween: 2 * minute},
			timeOut: TimeOut{InjuredGoalkeeper: 2 * minute}, limits: Limits{LeastSkaters: 9, LeastPlayers: 10}},
		{file: "L18", code: "hockey-canada", running: Running{Lead: 7, FromPeriod: 3, Returns: ReturnsNever, ChangesLengths: true},
			display: Display{LeadAtMost: 5}},
		{file: "L18b", code: "hockey-canada", periods: "23:00 23:00",
			clock: ClockRule{Running: true, HornEvery: minute * 3 / 2}, display: Display{NoScore: true}},
		{file: "L19", slot: Slot{Action: SlotSetAndRun, LastHalf: true, LastAtMost: true}, timeOut: half},
		{file: "L20", code: "usah-adult", overtime: Overtime{Periods: one(5, 4), SuddenDeath: true, OneAtATime: true},
			shootOut: ShootOut{Shooters: 3, BothEnds: true, BarsPenalized: true}},
		{file: "L21", periods: "15:00 15:00 12:00", clock: ClockRule{Running: true, RunningPeriods: []int{1, 2}},
			running: Running{Lead: 5, Returns: ReturnsClosed}, slot: Slot{Length: hour(60), Action: SlotEnd},
			shootOut: ShootOut{Shooters: 3, FinalsOnly: true}, limits: Limits{Penalties: 4}},
	}
}

func TestEveryRowOfLocalVariationIsADivision(t *testing.T) {
	known := map[string]bool{}
	rows := map[string]bool{}
	for _, v := range variants() {
		known[v.file+".toml"], rows[v.file[:3]] = true, true
		t.Run(v.file, func(t *testing.T) {
			text, err := os.ReadFile(filepath.Join("testdata/variants", v.file+".toml"))
			if err != nil {
				t.Fatal(err)
			}
			d, err := ParseDivision(text, v.file+".toml")
			if err != nil {
				t.Fatal(err)
			}
			v.compare(t, d)
			if !strings.Contains(string(text), fmt.Sprintf("row %s.", strings.Replace(v.file[:3], "L0", "L", 1))) {
				t.Error("the file does not name its row")
			}
		})
	}
	for n := 1; n <= 21; n++ {
		if row := fmt.Sprintf("L%02d", n); !rows[row] {
			t.Errorf("row %s has no file", row)
		}
	}
	files, err := filepath.Glob("testdata/variants/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if !known[filepath.Base(file)] {
			t.Errorf("nothing says what %s should hold", file)
		}
	}
}

func (v variant) compare(t *testing.T, d Division) {
	t.Helper()
	same := func(what string, got, want any) {
		t.Helper()
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, and the row says %+v", what, got, want)
		}
	}
	stated := func(what, got, want string) {
		t.Helper()
		if want != "" {
			same(what, got, want)
		}
	}
	code := v.code
	if code == "" {
		code = "usah-youth"
	}
	same("id", d.ID, "variant-"+strings.ToLower(v.file))
	same("code", d.Code, code)
	warmUp := ""
	if d.WarmUp > 0 {
		warmUp = d.WarmUp.String()
	}
	same("warm-up", warmUp, v.warmUp)
	stated("periods", times(d.Periods...), v.periods)
	stated("intermissions", times(d.Intermissions...), v.breaks)
	l := d.Lengths
	stated("lengths", times(l.Minor, l.Major, l.Misconduct), v.lengths)
	same("bench minor", l.BenchMinor, l.Minor)
	same("form", l.Form, v.form)
	same("clock", d.Clock, v.clock)
	same("running time", d.Running, v.running)
	same("slot", d.Slot, v.slot)
	if v.overtime.Periods == nil {
		v.overtime.Periods = []OvertimePeriod{}
	}
	same("overtime", d.Overtime, v.overtime)
	same("shoot-out", d.ShootOut, v.shootOut)
	same("time-outs", d.TimeOut, v.timeOut)
	same("limits", d.Limits, v.limits)
	same("display", d.Display, v.display)
}
