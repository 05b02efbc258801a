package practice_test

import (
	"fmt"
	"slices"
	"testing"

	"whistlestop/game/rulebook"
	"whistlestop/internal/practice"
	"whistlestop/practice/grade"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/progress"
	"whistlestop/practice/run"
	"whistlestop/practice/script"
)

// made adds a made game to a room.
func made(t testing.TB, room *practice.Room, o practice.ScriptOrder) script.Script {
	t.Helper()
	title := ask[practice.ScriptTitle](t, room, "POST", "/practice/scripts/made", o, noon)
	for _, d := range rulebook.Divisions() {
		if d.ID != o.Division {
			continue
		}
		s, err := maker.Generate(o.Seed, o.Level, o.Skills, d)
		if err != nil || s.ID != title.ID {
			t.Fatalf("%v is made as %s: %v", o, title.ID, err)
		}
		return s
	}
	t.Fatalf("there is no division %s", o.Division)
	return script.Script{}
}

// TestPerfectRobotInMadeGames: the same in made games of every level and division,
// in turn at every pace and in every seat.
func TestPerfectRobotInMadeGames(t *testing.T) {
	games := 60
	switch {
	case underRace:
		games = 4
	case testing.Short():
		games = 15
	}
	divisions := rulebook.Divisions()
	seeds := []uint32{1263, 1338} // with a clock that is put back to before somebody left
	for n := range games {
		seeds = append(seeds, uint32(n))
	}
	for _, seed := range seeds {
		n := int(seed % 1000)
		pace, seat := run.Paces[n%len(run.Paces)], progress.Seats[n/2%len(progress.Seats)]
		o := practice.ScriptOrder{Seed: seed, Level: 1 + n%plot.Levels, Division: divisions[n/3%len(divisions)].ID}
		t.Run(fmt.Sprintf("%d/%s/%s", seed, pace, seat), func(t *testing.T) {
			room := practice.NewRoom()
			r := begin(t, room, made(t, room, o), seat, pace)
			if g := r.play(); g.Score != 100 && usesAny(g) || len(g.Grade.Findings) > 0 || !g.Grade.Complete {
				for _, f := range g.Grade.Findings {
					t.Errorf("%s %+v %v want %s have %s", f.Fault, f.At, f.Say, f.Want, f.Entry)
				}
				t.Errorf("%d points in %s", g.Score, r.script.Text())
			}
			for _, stop := range r.stops {
				t.Errorf("it stood still for %+v", stop.Findings)
			}
			t.Logf("%d looks, %s of %s", r.looks, r.now-noon-r.jumped, r.script.Length)
		})
	}
}

// usesAny reports whether the practice asked anything of its seat.
func usesAny(g practice.Graded) bool {
	return slices.ContainsFunc(g.Grade.Skills, func(k grade.SkillScore) bool { return k.Of > 0 && plot.Uses(g.Seat, k.Skill) })
}
