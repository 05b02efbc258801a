package practice_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/demo"
	"whistlestop/internal/practice"
	"whistlestop/practice/grade"
	"whistlestop/practice/maker"
	"whistlestop/practice/progress"
	"whistlestop/practice/run"
	"whistlestop/practice/script"
)

const noon = entry.Millis(1_770_000_000_000)

// ask asks a room and reads the answer. It fails where the room says no.
func ask[T any](t testing.TB, room *practice.Room, method, path string, body any, now entry.Millis) T {
	t.Helper()
	var value T
	raw, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	if status, text := room.Call(method, path, raw, now); status != 200 {
		t.Fatalf("%s %s: %d %s", method, path, status, text)
	} else if err := json.Unmarshal(text, &value); err != nil {
		t.Fatalf("%s %s: %v in %s", method, path, err, text)
	}
	return value
}

// robot plays a practice through its room, as a page does.
type robot struct {
	t      testing.TB
	room   *practice.Room
	script script.Script
	seat   entry.Seat
	pace   run.Pace
	now    entry.Millis
	plan   []deed // what is to be done, the earliest first
	shown  []entry.Millis
	looks  int
	jumped entry.Millis
	jumps  [][2]entry.Millis // from, to
	done   []deed            // that were posts
	change func(*deed) bool  // what is done otherwise; false: not at all
	stops  []practice.Told   // for which the practice stood still
}

// deed is something that a robot is going to do.
type deed struct {
	at   entry.Millis
	post *entry.Entry
	act  *practice.Deed
}

// begin begins a practice and returns a robot that will be without a slip.
func begin(t testing.TB, room *practice.Room, s script.Script, seat entry.Seat, pace run.Pace) *robot {
	t.Helper()
	r := &robot{t: t, room: room, script: s, seat: seat, pace: pace, now: noon}
	begun := ask[practice.Begun](t, room, "POST", "/practice/begin", practice.Beginning{Script: s.ID, Seat: seat, Pace: pace}, r.now)
	if begun.Game == "" || len(begun.Cues) != len(s.Cues) {
		t.Fatalf("%s begins with %d cues", s.ID, len(begun.Cues))
	}
	return r
}

func (r *robot) mine(seat entry.Seat) bool {
	return seat != entry.Program && (r.seat == entry.Solo || r.seat == seat)
}

func (r *robot) add(d deed) {
	if r.change != nil && !r.change(&d) {
		return
	}
	r.plan = append(r.plan, d)
	slices.SortStableFunc(r.plan, func(a, b deed) int { return int(a.at - b.at) })
}

// show plans what a cue asks for.
func (r *robot) show(cue int) {
	if cue != len(r.shown) {
		r.t.Fatalf("cue %d is shown after %d", cue, len(r.shown)-1)
	}
	r.shown = append(r.shown, r.now)
	c := r.script.Cues[cue]
	if c.Kind == script.CueRunsOut && r.mine(entry.ClockSeat) {
		r.add(deed{at: r.now + 200, act: &practice.Deed{Do: grade.Horn}})
	}
	for i := range r.script.Answers {
		a := r.script.Answers[i]
		leaves, is := a.Entry.Body.(entry.Seated)
		if is = is && !leaves.In; a.Cue < 0 || !r.mine(a.Entry.Seat) || !is && a.Cue != cue {
			continue
		}
		real := a.Entry.Wall - script.Start
		last := c.Real
		if is { // somebody leaves the box after this cue, and before the next one
			later := cue+1 < len(r.script.Cues) && r.script.Cues[cue+1].Real <= real
			if real < c.Real || later {
				continue
			}
		}
		e := a.Entry
		e.At, e.Seq, e.Wall = entry.At{}, 0, r.now+real-last
		r.add(deed{at: e.Wall, post: &e})
	}
}

// do does what is due.
func (r *robot) do() {
	for len(r.plan) > 0 && r.plan[0].at <= r.now {
		d := r.plan[0]
		r.plan = r.plan[1:]
		if d.act != nil {
			for _, cue := range ask[practice.Seen](r.t, r.room, "POST", "/practice/act", d.act, r.now).Shown {
				r.show(cue)
			}
			continue
		}
		r.done = append(r.done, d)
		raw, err := d.post.MarshalJSON()
		if err != nil {
			r.t.Fatal(err)
		}
		body := map[string]any{"entries": []json.RawMessage{raw}}
		status, text := r.room.Call("POST", "/games/"+d.post.Game+"/entries", must(json.Marshal(body)), r.now)
		if status != 200 && r.change == nil {
			r.t.Fatalf("%s at cue %d: %s is refused: %s", r.script.ID, len(r.shown)-1, raw, text)
		}
	}
}

func must(raw []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return raw
}

// play plays to the end and returns the grade.
func (r *robot) play() practice.Graded {
	for {
		if seen := r.step(""); seen.Over {
			return ask[practice.Graded](r.t, r.room, "GET", "/practice/grade", nil, r.now)
		}
	}
}

// hear asks for what the practice stands still for, and for slips in starting the clock.
func (r *robot) hear(seen practice.Seen) {
	for seen.Told && r.pace == run.StepPace {
		told := ask[practice.Told](r.t, r.room, "GET", "/practice/told", nil, r.now)
		if told.Stops {
			r.stops = append(r.stops, told)
		}
		if !seen.Stops {
			return
		}
		seen.Stops = false
	}
}

// step looks once, does what is due, and goes on to when there is more; it says
// "next" where that is waited for, but not where it is to be left.
func (r *robot) step(leave run.Waiting) practice.Seen {
	if r.looks++; r.looks > 50_000 {
		r.t.Fatalf("%s has not reached its end after %d looks, at cue %d", r.script.ID, r.looks, len(r.shown)-1)
	}
	seen := ask[practice.Seen](r.t, r.room, "POST", "/practice/look", struct{}{}, r.now)
	for _, cue := range seen.Shown {
		r.show(cue)
	}
	r.hear(seen)
	r.do()
	switch {
	case seen.Over, leave != "" && seen.Waits == leave && len(r.plan) == 0:
		return seen
	case seen.Jump > 0 && (len(r.plan) == 0 || r.plan[0].at > r.now+seen.Jump):
		r.jumps = append(r.jumps, [2]entry.Millis{r.now, r.now + seen.Jump})
		r.now, r.jumped = r.now+seen.Jump, r.jumped+seen.Jump
		return seen
	case seen.Waits == run.ForStop && r.pace == run.StepPace && len(seen.Shown) > 0:
		return seen // what was just done is looked at first
	case (seen.Waits == run.ForNext || seen.Waits == run.ForStop && r.pace == run.StepPace) && len(r.plan) == 0:
		r.now += 700 // a person looks first
		more := ask[practice.Seen](r.t, r.room, "POST", "/practice/next", struct{}{}, r.now)
		for _, cue := range more.Shown {
			r.show(cue)
		}
		r.hear(more)
		r.do()
		more.Told = more.Told || seen.Told
		return more
	}
	next := max(seen.Next, r.now+1)
	if len(r.plan) > 0 {
		next = min(next, max(r.plan[0].at, r.now))
	}
	r.now = next
	r.do()
	return seen
}

// scripts are the scripts that come with the program.
func scripts(t testing.TB) []script.Script {
	t.Helper()
	all, err := maker.All(must(json.Marshal(demo.Card().Card)))
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestTheCheckGameIsShort: without a slip it takes six to eight minutes at the quick
// pace, in every seat.
func TestTheCheckGameIsShort(t *testing.T) {
	for _, seat := range progress.Seats {
		r := begin(t, practice.NewRoom(), maker.Check(), seat, run.FastPace)
		r.play()
		if took := r.now - noon - r.jumped; took < 6*60_000 || took > 8*60_000 {
			t.Errorf("the check game takes the %s %s", seat, took)
		}
	}
}

// TestPerfectRobot: whoever does all that a practice asks for, when it asks for it,
// has 100, at every pace and in every seat, with the other seats played by the
// program.
func TestPerfectRobot(t *testing.T) {
	for i, s := range scripts(t) {
		for j, pace := range run.Paces {
			for k, seat := range progress.Seats {
				if underRace && (i+j+k)%6 != 0 {
					continue
				}
				t.Run(fmt.Sprintf("%s/%s/%s", s.ID, pace, seat), func(t *testing.T) {
					r := begin(t, practice.NewRoom(), s, seat, pace)
					g := r.play()
					if g.Score != 100 && usesAny(g) || len(g.Grade.Findings) > 0 || !g.Grade.Complete {
						for _, f := range g.Grade.Findings {
							t.Errorf("%s %+v %v want %s have %s", f.Fault, f.At, f.Say, f.Want, f.Entry)
						}
						t.Errorf("%d points", g.Score)
					}
					for _, stop := range r.stops {
						t.Errorf("it stood still for %+v", stop.Findings)
					}
					t.Logf("%d looks, %s of %s", r.looks, r.now-noon-r.jumped, s.Length)
				})
			}
		}
	}
}

// TestWatched: whoever only watches sees every script of the program played to its end
// without a slip, at every pace, and is told of each entry what it is.
func TestWatched(t *testing.T) {
	for i, s := range scripts(t) {
		pace := run.Paces[i%len(run.Paces)]
		room := practice.NewRoom()
		r := &robot{t: t, room: room, script: s, pace: pace, now: noon}
		ask[practice.Begun](t, room, "POST", "/practice/begin", practice.Beginning{Script: s.ID, Seat: entry.Solo, Pace: pace, Watch: true}, r.now)
		did := 0
		for {
			seen := r.step("")
			for _, d := range seen.Doing {
				if did++; d.Say.Key == "" {
					t.Errorf("%s: %s is not said", s.ID, d.Kind)
				}
			}
			if seen.Over {
				break
			}
		}
		g := ask[practice.Graded](t, room, "GET", "/practice/grade", nil, r.now)
		if g.Score != 100 || len(g.Grade.Findings) > 0 || did < 4 {
			t.Errorf("%s at %s: %d points, %d entries were said, %+v", s.ID, pace, g.Score, did, g.Grade.Findings)
		}
	}
}

// TestHints: step by step a learner is told what comes next, entry by entry, and is not
// told it any more once it was done.
func TestHints(t *testing.T) {
	r := begin(t, practice.NewRoom(), maker.Check(), entry.Solo, run.StepPace)
	found := map[run.Hint]bool{}
	for {
		seen := r.step("")
		found[seen.Hint] = true
		if seen.Over {
			break
		}
	}
	for _, want := range []run.Hint{run.HintDoor, run.HintEnter, run.HintCall, run.HintStage, run.HintSeat, run.HintNext, run.HintStop} {
		if !found[want] {
			t.Errorf("nobody is told %q", want)
		}
	}
}
