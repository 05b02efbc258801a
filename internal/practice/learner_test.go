package practice_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/practice"
	"whistlestop/practice/progress"
	"whistlestop/practice/run"
)

// learner plays as people do who do not know how: late, or not at all, or wrong.
type learner struct {
	*robot
	luck    *rand.Rand
	forgets float64 // how often something is left out
	late    int     // seconds at most
	wild    float64 // how often something is done that nobody asked for
}

// show plans what the cue asks for, and then forgets some of it and is late with
// the rest.
func (l *learner) show(cue int) {
	before := len(l.plan)
	l.robot.show(cue)
	if len(l.plan) == before {
		return
	}
	kept := l.plan[:0]
	for _, d := range l.plan {
		if d.at >= l.now && l.luck.Float64() < l.forgets {
			continue
		}
		if l.late > 0 {
			d.at = max(d.at, l.now) + entry.Millis(l.luck.IntN(l.late*1000))
		}
		kept = append(kept, d)
	}
	l.plan = nil
	for _, d := range kept {
		l.add(d)
	}
}

// wildly posts what nobody asked for. The bench may refuse it.
func (l *learner) wildly() {
	if l.luck.Float64() >= l.wild {
		return
	}
	period := entry.Stage{Kind: entry.Period, Number: 1 + l.luck.IntN(3)}
	bodies := []entry.Body{
		entry.ClockStarted{}, entry.ClockStopped{}, entry.ClockSet{Elapsed: entry.Millis(l.luck.IntN(720_000))},
		entry.StageBegun{Stage: period, Length: 720_000},
		entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: 60_000, Running: true},
		entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}},
		entry.Goal{Side: entry.Home, Scorer: "9"}, entry.TimeOut{Side: entry.Visitors, Length: 30_000},
		entry.Penalty{Side: entry.Visitors, Player: "6", Call: "tripping", Parts: []entry.Part{entry.Minor}},
		entry.RunningTime{On: true}, entry.Seated{Side: entry.Visitors, Player: "6"},
	}
	e := entry.Entry{
		ID: fmt.Sprintf("01PRACW%019d", l.luck.IntN(1<<30)), Game: l.script.Answers[0].Entry.ID, Wall: l.now, Seat: entry.Solo,
		Body: bodies[l.luck.IntN(len(bodies))],
	}
	raw, err := e.MarshalJSON()
	if err != nil {
		l.t.Fatal(err)
	}
	l.room.Call("POST", "/games/"+e.Game+"/entries", must(json.Marshal(map[string]any{"entries": []json.RawMessage{raw}})), l.now)
}

// play plays to the end, and holds every look to what looks promise.
func (l *learner) play() (practice.Graded, []byte) {
	var told bytes.Buffer
	for {
		if l.looks++; l.looks > 50_000 {
			l.t.Fatalf("%s has not reached its end after %d looks and %s, at cue %d", l.script.ID, l.looks, l.now-noon, len(l.shown)-1)
		}
		path := "/practice/look"
		if l.luck.IntN(4) == 0 {
			path = "/practice/next"
		}
		status, text := l.room.Call("POST", path, []byte("{}"), l.now)
		var seen practice.Seen
		if err := json.Unmarshal(text, &seen); err != nil || status != 200 {
			l.t.Fatalf("%s: %d %s", path, status, text)
		}
		told.Write(text)
		for _, cue := range seen.Shown {
			l.show(cue)
		}
		if seen.Cue != len(l.shown)-1 || seen.Next <= l.now && !seen.Over || seen.Jump < 0 || seen.Done > seen.Of || len(seen.Release) > len(seen.Box) {
			l.t.Fatalf("seen %s at %s", text, l.now-noon)
		}
		if seen.Told {
			ask[practice.Told](l.t, l.room, "GET", "/practice/told", nil, l.now)
		}
		if seen.Over {
			status, text := l.room.Call("GET", "/practice/grade", nil, l.now)
			var g practice.Graded
			if err := json.Unmarshal(text, &g); err != nil || status != 200 || g.Score < 0 || g.Score > 100 {
				l.t.Fatalf("grade: %d %s", status, text)
			}
			return g, append(told.Bytes(), text...)
		}
		l.wildly()
		l.now += seen.Jump
		next := max(seen.Next, l.now+1)
		if len(l.plan) > 0 {
			next = min(next, max(l.plan[0].at, l.now))
		}
		l.now = max(l.now, next)
		l.try()
	}
}

// try does what is due; the bench may refuse it.
func (l *learner) try() {
	for len(l.plan) > 0 && l.plan[0].at <= l.now {
		d := l.plan[0]
		l.plan = l.plan[1:]
		if d.act != nil {
			for _, cue := range ask[practice.Seen](l.t, l.room, "POST", "/practice/act", d.act, l.now).Shown {
				l.show(cue)
			}
			continue
		}
		raw, err := d.post.MarshalJSON()
		if err != nil {
			l.t.Fatal(err)
		}
		l.room.Call("POST", "/games/"+d.post.Game+"/entries", must(json.Marshal(map[string]any{"entries": []json.RawMessage{raw}})), l.now)
	}
}

// TestEveryPracticeEnds: whatever a learner does or leaves undone, a practice goes
// on to its end, at every pace and in every seat; and the same learner sees the
// same.
func TestEveryPracticeEnds(t *testing.T) {
	kinds := map[string]learner{
		"does nothing":   {forgets: 1},
		"forgets half":   {forgets: 0.5, late: 10},
		"is late":        {late: 90},
		"is wild":        {forgets: 0.2, late: 5, wild: 0.3},
		"only wild":      {forgets: 1, wild: 0.5},
		"forgets little": {forgets: 0.05, late: 2},
	}
	list := scripts(t)
	if underRace || testing.Short() {
		list = list[:len(list)-1] // without the standard game
	}
	for name, kind := range kinds {
		for i, s := range list {
			for j, pace := range run.Paces {
				if underRace && (i+j)%4 != 0 {
					continue
				}
				seat := progress.Seats[(i+j)%len(progress.Seats)]
				t.Run(fmt.Sprintf("%s/%s/%s/%s", name, s.ID, pace, seat), func(t *testing.T) {
					play := func() (practice.Graded, []byte, entry.Millis) {
						l := kind
						l.robot = begin(t, practice.NewRoom(), s, seat, pace)
						l.luck = rand.New(rand.NewPCG(uint64(i), uint64(j)))
						g, told := l.play()
						return g, told, l.now - noon
					}
					_, first, took := play()
					if most := 8*s.Length + 3_600_000; took > most {
						t.Errorf("it took %s, the script has %s", took, s.Length)
					}
					if i%4 != 0 {
						return
					}
					if _, again, _ := play(); !bytes.Equal(first, again) {
						t.Errorf("the same learner sees something else")
					}
				})
			}
		}
	}
}

// TestCallsWhereNobodyMindsTheBox: a learner who calls penalties at a level that
// has none keeps nobody waiting, and nobody looks at the box again and again.
func TestCallsWhereNobodyMindsTheBox(t *testing.T) {
	room := practice.NewRoom()
	s := made(t, room, practice.ScriptOrder{Seed: 5015, Level: 1, Division: "harbour-u14"})
	l := learner{robot: begin(t, room, s, entry.BookSeat, run.RealPace), luck: rand.New(rand.NewPCG(15, 9)), forgets: 0.1, wild: 0.05}
	if l.play(); l.looks > 2_000 {
		t.Errorf("looked %d times", l.looks)
	}
}
