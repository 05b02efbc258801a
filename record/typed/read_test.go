package typed_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/whole"
	"whistlestop/record/audit"
	"whistlestop/record/typed"
)

// TestTheExampleOfTheDocs reads the example that docs/audit.md shows, which adds
// up.
func TestTheExampleOfTheDocs(t *testing.T) {
	text, err := os.ReadFile("testdata/example.csv")
	if err != nil {
		t.Fatal(err)
	}
	s, err := typed.Read(text, typed.Options{Division: whole.Division(t, "harbour-u14"), Times: rulebook.TimesRemaining})
	if err != nil {
		t.Fatal(err)
	}
	findings, err := audit.Check(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range findings {
		t.Errorf("%s: %v", f.ID, f.What)
	}
	if len(s.Goals) != 4 || len(s.Calls) != 4 || len(s.Teams[0].Players) != 6 || len(s.Totals) != 8 {
		t.Errorf("%d goals, %d penalties, %d players, %d totals", len(s.Goals), len(s.Calls), len(s.Teams[0].Players), len(s.Totals))
	}
}

// TestTheWrongFormOfTimes: read with the wrong form, a sheet is said to run
// backwards once, and not line by line.
func TestTheWrongFormOfTimes(t *testing.T) {
	text := "what,period,time,team,number\ngoal,1,11:00,home,9\ngoal,1,8:00,home,9\ngoal,2,7:00,visitors,9\n" +
		"goal,2,5:00,visitors,8\ngoal,2,1:00,home,7\n"
	for times, want := range map[rulebook.ReportTimes]int{rulebook.TimesElapsed: 1, rulebook.TimesRemaining: 0} {
		s, err := typed.Read([]byte(text), typed.Options{Division: whole.Division(t, "harbour-u14"), Times: times})
		if err != nil {
			t.Fatal(err)
		}
		findings, err := audit.Check(s)
		if err != nil {
			t.Fatal(err)
		}
		if len(findings) != want || want == 1 && findings[0].Kind != audit.TimesReversed {
			t.Errorf("%s: %+v", times, findings)
		}
	}
}

// TestForgives reads one goal and one penalty in many spellings.
func TestForgives(t *testing.T) {
	d := whole.Division(t, "harbour-u14")
	for name, text := range map[string]string{
		"commas":           "what,period,time,team,number,assist 1,class,minutes\ngoal,1,3:12,visitors,9,10,PP,\npenalty,1,4:00,home,6,,,1:30\n",
		"semicolons":       "what;period;time;team;number;assist 1;class;minutes\ngoal;1;3:12;visitors;9;10;PP;\npenalty;1;4:00;home;6;;;1:30\n",
		"tabs and a mark":  "\xef\xbb\xbfwhat\tperiod\ttime\tteam\tnumber\tassist 1\tclass\tminutes\r\ngoal\t1\t3:12\tvisitors\t9\t10\tPP\t\r\npenalty\t1\t4:00\thome\t6\t\t\t1.5\r\n",
		"another order":    "Team,EVENT,Type,Player,A1,Per.,Clock,Min\nAway,Goal,power play,#9,10,P1,312,\nHOME,Penalty,,6,,1st,400,\"1,5\"\n",
		"quotes and marks": "\"what\",\"period\",\"time\",\"team\",\"number\",\"assist-1\",\"class\",\"minutes\",remark\n\"goal\",1,\"3:12\",\"V\",\"9\",\"10\",\"p.p.\",-,\"nice, \"\"really\"\"\"\n\n\"penalty\",1,\"4:00\",\"H\",\"6\",–,,\"1:30\",\n",
		"names of teams":   "what,period,time,team,number,assist 1,class,minutes,name\ngoal,1,3:12,lantern side,9,10,PP,,\npenalty,1,4:00,Kelp Bay,6,,,1:30,\nteam,,,home,,,,,Kelp Bay\nteam,,,visitors,,,,,Lanternside\n",
	} {
		s, err := typed.Read([]byte(text), typed.Options{Division: d})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(s.Goals) != 1 || len(s.Calls) != 1 {
			t.Errorf("%s: %+v", name, s)
			continue
		}
		g, c := s.Goals[0], s.Calls[0]
		if g.Side != entry.Visitors || g.Scorer != "9" || len(g.Assists) != 1 || g.Class != rules.PowerPlay ||
			g.At != (entry.At{Period: 1, Elapsed: entry.Clock(3, 12)}) {
			t.Errorf("%s: %+v", name, g)
		}
		if c.Side != entry.Home || c.Player != "6" || *c.Charged != entry.Clock(1, 30) || c.Parts[0] != entry.Minor {
			t.Errorf("%s: %+v", name, c)
		}
	}
}

// TestRefusesByRowAndColumn: what is not understood is refused, with its place.
func TestRefusesByRowAndColumn(t *testing.T) {
	d := whole.Division(t, "harbour-u14")
	const head = "what,period,time,team,number,class,minutes,penalty,score,status,total,count,on\n"
	for _, test := range []struct{ text, want string }{
		{"", "file: sheet.empty"},
		{head, "file: sheet.empty"},
		{"PK\x03\x04\x00\x00", "file: sheet.not_text"},
		{strings.Repeat("x", typed.MostBytes+1), "file: sheet.too_big"},
		{strings.Repeat("x,", 999) + "x\n", "row 1: sheet.columns_many"},
		{head + strings.Repeat("goal,1,1:00,home,9\n", 1001), "row 1002: sheet.rows_many"},
		{"period,time\n1,1:00\n", "row 1: sheet.no_what"},
		{"what,shoe size\ngoal,43\n", "row 1, column shoe size: sheet.column_unknown"},
		{"what,number,scorer\ngoal,9,9\n", "row 1, column scorer: sheet.column_twice"},
		{"what,time\ngoal,1:00,extra\n", "row 2, column 3: sheet.no_heading"},
		{head + "gaol,1,1:00,home,9\n", "row 2, column what: sheet.kind"},
		{head + "goal,1,1:00,home,=A1+B2\n", "row 2, column number: sheet.formula"},
		{head + "goal,1,1:00,home,@SUM(A1)\n", "row 2, column number: sheet.formula"},
		{head + "goal,1,-1:00,home,9\n", "row 2, column time: sheet.formula"},
		{head + "\ngoal,1,1:99,home,9\n", "row 3, column time: sheet.time"},
		{head + "goal,1,1:00,Millrace,9\n", "row 2, column team: sheet.team"},
		{head + "goal,one,1:00,home,9\n", "row 2, column period: sheet.period"},
		{head + "goal,1,1:00,home,123\n", "row 2, column number: sheet.number"},
		{head + "goal,1,1:00,home,9,XY\n", "row 2, column class: sheet.class"},
		{head + "goal,1,1:00,home,9,,,,two\n", "row 2, column score: sheet.score"},
		{head + "penalty,1,1:00,home,9,,7\n", "row 2, column minutes: sheet.minutes_unclear"},
		{head + "penalty,1,1:00,home,9,,many\n", "row 2, column minutes: sheet.minutes"},
		{head + "penalty,1,1:00,home,9,,2,serious\n", "row 2, column penalty: sheet.penalty"},
		{head + "penalty,1,1:00,home,9\n", "row 2, column penalty: sheet.penalty"},
		{head + "penalty,1,1:00,home,9,,2,,,,,,soon\n", "row 2, column on: sheet.time"},
		{head + "player,,,home,\n", "row 2, column number: sheet.number"},
		{head + "player,,,home,9,,,,,asleep\n", "row 2, column status: sheet.status"},
		{head + "total,,,home,,,,,,,corners,3\n", "row 2, column total: sheet.total"},
		{head + "total,,,home,,,,,,,goals,many\n", "row 2, column count: sheet.count"},
		{head + "period,1,15:00\nperiod,1,16:00\n", "row 3, column period: sheet.period_twice"},
		{head + "goal,1,\"1:00,home\n", "row 2: sheet.quotes"},
		{head + "goal,1,1:00,home," + strings.Repeat("9", 501) + "\n", "row 2, column number: sheet.cell_long"},
	} {
		_, err := typed.Read([]byte(test.text), typed.Options{Division: d})
		var fault *typed.Fault
		if !errors.As(err, &fault) || fault.Error() != test.want {
			t.Errorf("%.60q: %v, want %s", test.text, err, test.want)
		}
	}
}

// TestTimesOfTheNextPeriod: a penalty that is over before it was called is over
// in the next period, however times are written.
func TestTimesOfTheNextPeriod(t *testing.T) {
	d := whole.Division(t, "harbour-u14") // periods of 12:00, minors of 1:30
	for _, test := range []struct {
		times    rulebook.ReportTimes
		off, on  string
		period   int
		at, over entry.Millis
	}{
		{rulebook.TimesElapsed, "11:10", "0:40", 2, entry.Clock(11, 10), entry.Clock(0, 40)},
		{rulebook.TimesRemaining, "0:50", "11:20", 2, entry.Clock(11, 10), entry.Clock(0, 40)},
		{rulebook.TimesRemaining, "5:00", "3:30", 1, entry.Clock(7, 0), entry.Clock(8, 30)},
		{rulebook.TimesElapsed, "7:00", "2/8:30", 2, entry.Clock(7, 0), entry.Clock(8, 30)},
	} {
		text := "what,period,time,team,number,minutes,on\npenalty,1," + test.off + ",home,9,1:30," + test.on + "\n"
		s, err := typed.Read([]byte(text), typed.Options{Division: d, Times: test.times})
		if err != nil {
			t.Fatal(err)
		}
		c := s.Calls[0]
		if c.At.Elapsed != test.at || *c.On != (entry.At{Period: test.period, Elapsed: test.over}) {
			t.Errorf("%+v: %v to %v", test, c.At, *c.On)
		}
	}
}

// FuzzRead holds that whatever is read can be audited, and that reading it twice
// gives the same findings.
func FuzzRead(f *testing.F) {
	example, err := os.ReadFile("testdata/example.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(example), true)
	f.Add("what;period;time;team;number;assist 1;class\ngoal;1;3:12;away;9;10;EV EN\n", false)
	f.Add("what,period,time,team,number,minutes,on\npenalty,OT,0:10,home,bench,2+10,3/0:10\n", true)
	f.Add("what,team,number,scored\nshoot-out,home,9,yes\nshoot-out,visitors,8,won\n", false)
	d := whole.Division(f, "harbour-open")
	f.Fuzz(func(t *testing.T, text string, remaining bool) {
		o := typed.Options{Division: d, Times: rulebook.TimesElapsed}
		if remaining {
			o.Times = rulebook.TimesRemaining
		}
		s, err := typed.Read([]byte(text), o)
		var fault *typed.Fault
		if err != nil {
			if !errors.As(err, &fault) {
				t.Fatalf("refused without a place: %v", err)
			}
			return
		}
		first, err := audit.Check(s)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := audit.Check(s)
		if len(first) != len(again) {
			t.Fatalf("%d findings, then %d", len(first), len(again))
		}
		ids := map[string]bool{}
		for i, finding := range first {
			if ids[finding.ID] || finding.ID != again[i].ID {
				t.Fatalf("the id %s is not its own, or not stable", finding.ID)
			}
			ids[finding.ID] = true
		}
	})
}

// TestCodesOfGoals reads the short forms in which sheets write how a goal was
// scored, the IIHF's among them (from memory), one by one and together.
func TestCodesOfGoals(t *testing.T) {
	type want struct {
		class  rules.Class
		on     entry.GoalOn
		empty  bool
		owning bool
	}
	even, power, short := rules.EvenStrength, rules.PowerPlay, rules.ShortHanded
	for text, w := range map[string]want{
		"EQ": {class: even}, "EV": {class: even}, "PP1": {class: power}, "PP2": {class: power}, "SH1": {class: short}, "SH2": {class: short},
		"SHEN": {class: short, empty: true}, "SH EN": {class: short, empty: true}, "EN SH1": {class: short, empty: true},
		"PP1EN": {class: power, empty: true}, "EQ/EN": {class: even, empty: true}, "ENEQ": {class: even, empty: true},
		"EA": {}, "EQ EA": {class: even}, "PS": {on: entry.OnPenaltyShot}, "even strength": {class: even}, "S.H. E.N.": {class: short, empty: true},
		"power play, own goal": {class: power, owning: true},
	} {
		s, err := typed.Read([]byte("what;period;time;team;number;class\ngoal;1;3:12;home;9;"+text+"\n"), typed.Options{Division: whole.Division(t, "harbour-u14")})
		if err != nil || len(s.Goals) != 1 {
			t.Errorf("%s: %v", text, err)
			continue
		}
		g := s.Goals[0]
		if got := (want{g.Class, g.On, g.EmptyNet, g.OwnGoal}); got != w {
			t.Errorf("%s is read as %+v, want %+v", text, got, w)
		}
	}
	for _, text := range []string{"PP3", "SHE", "XEN", "EQX"} {
		if _, err := typed.Read([]byte("what;period;time;team;class\ngoal;1;3:12;home;"+text+"\n"), typed.Options{Division: whole.Division(t, "harbour-u14")}); err == nil {
			t.Errorf("%s is taken", text)
		}
	}
	s, err := typed.Read([]byte("what,period,time,team,class\ngoal,OT,5:00,visitors,GWS\n"), typed.Options{Division: whole.Division(t, "harbour-u14")})
	if err != nil || len(s.Goals) != 0 || s.ShootOut != entry.Visitors {
		t.Errorf("%v: %d goals, %q won", err, len(s.Goals), s.ShootOut)
	}
}

// TestAMissingEndIsOwed: where a sheet writes when penalties were over, one
// without it is owed; where it never does, none is.
func TestAMissingEndIsOwed(t *testing.T) {
	const with = "what,period,time,team,number,call,minutes,served by,on\n" +
		"penalty,1,2:00,home,7,tripping,1:30,,3:30\npenalty,1,6:00,home,9,hooking,1:30,,\npenalty,3,11:30,home,11,hooking,1:30,,\n"
	const without = "what,period,time,team,number,call,minutes\npenalty,1,2:00,home,7,tripping,1:30\n"
	for text, want := range map[string]int{with: 1, without: 0} {
		s, err := typed.Read([]byte(text), typed.Options{Division: whole.Division(t, "harbour-u14")})
		if err != nil {
			t.Fatal(err)
		}
		findings, err := audit.Check(s)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, f := range findings {
			if f.Kind == audit.EndMissing {
				n++
				if f.Where.Row != 3 || f.Severity != audit.Owed {
					t.Errorf("%+v", f)
				}
			}
		}
		if n != want {
			t.Errorf("%d ends are owed, want %d: %+v", n, want, findings)
		}
	}
}
