package plot

import (
	"testing"

	"whistlestop/game/rulebook"
)

const shortFile = `practice 1
id       short
title    A short one
division harbour-u14
home     Kelp Bay: 1g 4 5 7 9 12
visitors Lanternside: 30g 2 6 9 10

period 1
11:30 offside
`

// FuzzParse reads any text; what is a plot is printed and read again as it was.
func FuzzParse(f *testing.F) {
	f.Add([]byte(shortFile))
	for _, line := range []string{
		"10:59 goal visitors 9 from 2 6 empty-net\n", "10:59 penalty home 7 tripping minor+misconduct=1:00 served-by 9 signalled mumbled\n",
		"10:59 goal home - own-goal\n10:59 no-goal\n", "10:59 official\n10:59 clock-to 11:02\n10:00 time-out officials\n",
		"10:00 running-time on\nperiod 2\n9:00 penalty visitors bench too_many_players bench_minor\n9:00 captain 9\n0:00 end\n",
	} {
		f.Add([]byte(shortFile + line))
	}
	known := Known{Divisions: rulebook.Divisions()}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := Parse(text, "fuzz", known)
		if err != nil || p.Validate() != nil {
			return
		}
		again, err := Parse([]byte(p.Text()), "again", known)
		if err != nil {
			t.Fatalf("%v\n%s", err, p.Text())
		}
		if again.Text() != p.Text() {
			t.Fatalf("%s\nbecame\n%s", p.Text(), again.Text())
		}
	})
}
