package grade

import (
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
)

// The fuzz targets work on small inputs and do one cheap thing each: where one
// took milliseconds on a text of pages, the fuzzer spent its whole minute on
// making that text shorter, and tried nothing new.

// FuzzPlay plays whatever the bytes say. What can be played can be written down,
// and whoever does all of it right has 100.
func FuzzPlay(f *testing.F) {
	f.Add([]byte{0, 0, 60, 1, 2, 3, 20, 1, 3, 0, 30, 2, 1, 9})
	f.Add([]byte{9, 4, 200, 1, 130, 4, 0, 1, 5, 6, 0, 8, 0, 0, 200, 2, 2, 2, 10, 3, 0, 0})
	f.Add([]byte{17, 2, 90, 5, 1, 1, 250, 2, 4, 1, 240, 6, 0, 5, 0, 7, 0, 0, 9, 4, 9, 9})
	f.Fuzz(func(t *testing.T, raw []byte) {
		p, ok := plotOf(raw)
		if !ok {
			return
		}
		s, err := maker.Direct(p)
		if err != nil {
			return // said to whoever wrote it
		}
		g, err := Evaluate(s, s.Ledger(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if g.Score != 100 && g.Possible > 0 || len(g.Findings) > 0 {
			t.Fatalf("%d points, told %+v\n%s", g.Score, g.Findings, s.Text())
		}
	})
}

// plotOf makes a plot of any bytes: two for the head, four for each thing that
// happens. It reports whether there are as many as that.
func plotOf(raw []byte) (plot.Plot, bool) {
	if len(raw) < 6 || len(raw) > 2+4*24 {
		return plot.Plot{}, false
	}
	p, err := plot.Parse([]byte(shortPlot), "short", plot.Known{Divisions: rulebook.Divisions()})
	if err != nil {
		return plot.Plot{}, false
	}
	codes, divisions := rulebook.Codes(), rulebook.Divisions()
	p.Division = divisions[int(raw[0])%len(divisions)]
	p.Division.Code = codes[int(raw[0])/len(divisions)%len(codes)].ID
	p.Level, p.Box, p.Short, p.Whistles = 1+int(raw[1])%plot.Levels, raw[1]&32 > 0, raw[1]&64 > 0, []plot.Whistle{}
	at := entry.At{Period: 1}
	for _, b := range slices.Collect(slices.Chunk(raw[2:], 4)) {
		if len(b) < 4 {
			break
		}
		if length := p.Length(at.Period); at.Elapsed+entry.Millis(b[0])*1000 > length {
			at = entry.At{Period: at.Period + 1}
		}
		if at.Elapsed += entry.Millis(b[0]) * 1000; b[0] > 0 || len(p.Whistles) == 0 {
			why := plot.ForPuck
			if at.Elapsed == p.Length(at.Period) {
				why = plot.ForEndOf
			}
			p.Whistles = append(p.Whistles, plot.Whistle{At: at, Why: why, Happen: []plot.Happening{}})
		}
		w := &p.Whistles[len(p.Whistles)-1]
		if h, happens := happeningOf(p, at, b[1], b[2], b[3]); happens {
			w.Happen = append(w.Happen, h)
		}
	}
	return p, true
}

// happeningOf makes one thing that happens of three bytes.
func happeningOf(p plot.Plot, at entry.At, what, who, more byte) (plot.Happening, bool) {
	side, team := entry.Home, p.Home
	if who&128 > 0 {
		side, team = entry.Visitors, p.Visitors
	}
	number := func(n byte) entry.Jersey { return team.Players[int(n)%len(team.Players)].Number }
	switch what % 9 {
	case 1:
		g := entry.Goal{Side: side, Scorer: number(who), EmptyNet: more&8 > 0}
		if more&4 > 0 && number(more) != g.Scorer {
			g.Assists = []entry.Jersey{number(more)}
		}
		g.Unassisted = len(g.Assists) == 0
		return plot.Happening{What: plot.AGoal, Goal: &g}, true
	case 2, 3:
		parts := [][]entry.Part{
			{entry.Minor}, {entry.Minor, entry.Minor}, {entry.Major}, {entry.Misconduct}, {entry.Minor, entry.Misconduct},
			{entry.Match}, {entry.GameMisconduct}, {entry.Major, entry.GameMisconduct},
		}[more%8]
		return plot.Happening{What: plot.APenalty, Mumbled: more&16 > 0, Penalty: &entry.Penalty{
			Side: side, Player: number(who), Call: "tripping", Parts: parts, Signalled: more&32 > 0,
		}}, true
	case 4:
		return plot.Happening{What: plot.APenalty, Penalty: &entry.Penalty{
			Side: side, Bench: true, Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor},
		}}, true
	case 5:
		return plot.Happening{What: plot.ATimeOut, Side: side}, true
	case 6:
		return plot.Happening{What: plot.AClockBack, To: max(1000, at.Elapsed-entry.Millis(more%16)*1000)}, true
	case 7:
		return plot.Happening{What: plot.ANoGoal}, true
	case 8:
		return plot.Happening{What: plot.ARunningTime, On: more&1 > 0}, true
	}
	return plot.Happening{}, false
}

const shortPlot = `practice 1
id       short
title    A short one
division harbour-u14
home     Kelp Bay: 1g 4 5 7 9 12
visitors Lanternside: 30g 2 6 9 10

period 1
11:30 offside
`
