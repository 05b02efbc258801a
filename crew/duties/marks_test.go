package duties

import (
	"slices"
	"testing"
)

// What a bench gives back marks a duty, also once it is over, and can be taken back; a
// stranger's seat and a moved game are left alone.
func TestABenchSaysWhoCame(t *testing.T) {
	l := empty()
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren), duty(t, "g1", "book", "2026-11-20", "09:45", ida)}
	now := on(t, "2026-11-20", "12:00")
	for _, c := range []struct {
		say  Answer
		want Result
		mark Kind
	}{{SayCame, Done, Came}, {SayCame, Noted, Came}, {SayUnmarked, Done, ""}, {SayMissed, Done, Missed}, {SayCame, Done, Came}} {
		_, got := answer(&l, list, now, l.Code(list[0], c.say)+"\n")
		if mark := l.Work().Of("g1", "clock", maren).Mark; !slices.Equal(got, []Result{c.want}) || mark != c.mark {
			t.Errorf("%s: %v, marked %q", c.say, got, mark)
		}
	}
	both := l.Code(list[1], SayCame) + " " + l.Code(list[1], SayMissed)
	if _, got := answer(&l, list, now, both); !slices.Equal(got, []Result{Unclear}) {
		t.Errorf("two things at once: %v", got)
	}
	send(&l, []Duty{list[0], duty(t, "g2", "clock", "2026-11-22", "09:45", ida)}, now)
	old := l.Code(duty(t, "g2", "clock", "2026-11-22", "09:45", ida), SayCame)
	if _, got := answer(&l, []Duty{duty(t, "g2", "clock", "2026-11-22", "09:45", jon)}, now, old); !slices.Equal(got, []Result{Another}) {
		t.Errorf("somebody else has the seat: %v", got)
	}
	if _, got := answer(&l, []Duty{duty(t, "g2", "clock", "2026-11-23", "09:45", ida)}, now, old); !slices.Equal(got, []Result{Moved}) {
		t.Errorf("the game was moved: %v", got)
	}
}
