package duties

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/dates"
)

var (
	maren = Who{"Maren Holt", "Holt"}
	jon   = Who{"Jon Holt", "Holt"}
	ida   = Who{"Ida Vik", "Vik"}
)

func on(t testing.TB, day, clock string) Moment {
	t.Helper()
	d, err := dates.Parse(day)
	if err != nil {
		t.Fatal(err)
	}
	var c dates.Clock
	if err := c.UnmarshalText([]byte(clock)); err != nil {
		t.Fatal(err)
	}
	return Moment{d, c}
}

func duty(t testing.TB, game, seat, day, there string, who Who) Duty {
	m := on(t, day, there)
	return Duty{game, seat, Visit{m.Day, m.Clock, "saltworks"}, who}
}

func empty() Log { return Log{Key: bytes.Repeat([]byte{7}, KeyBytes)} }

// send sends what is due and says it in short.
func send(l *Log, list []Duty, now Moment) string {
	messages := Due(list, l.Work(), now)
	l.Events = append(l.Events, Sent(messages, now)...)
	var said []string
	for _, m := range messages {
		for _, line := range m.Lines {
			said = append(said, fmt.Sprintf("%s %s %s %s", m.Name, line.About, line.Game, line.Seat))
		}
	}
	return strings.Join(said, ", ")
}

func anybody([]Duty, int, Who) bool { return true }

func answer(l *Log, list []Duty, now Moment, text string) ([]Duty, []Result) {
	replies, after, events := l.Take(text, list, now, anybody)
	l.Events = append(l.Events, events...)
	var results []Result
	for _, r := range replies {
		results = append(results, r.Result)
	}
	return after, results
}

// Asked once, then reminded seven days, three days and one day before, each once,
// whenever somebody looks.
func TestReminders(t *testing.T) {
	list := []Duty{duty(t, "g1", "clock", "2026-11-30", "09:45", maren)}
	for _, c := range []struct {
		name, answer string
		want         []string // day of November, what
	}{
		{"nobody answers", "", []string{"10 ask", "23 unsure", "27 unsure", "29 unsure"}},
		{"a yes at once", "yes", []string{"10 ask", "23 remind", "27 remind", "29 remind"}},
		{"a no at once", "no", []string{"10 ask"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, rota := empty(), slices.Clone(list)
			var got []string
			for day := 10; day <= 30; day++ {
				now := on(t, fmt.Sprintf("2026-11-%02d", day), "08:30")
				for range 2 { // looking twice sends nothing twice
					if said := send(&l, rota, now); said != "" {
						got = append(got, fmt.Sprintf("%d %s", day, strings.Fields(said)[2]))
					}
				}
				if day == 10 && c.answer != "" {
					rota, _ = answer(&l, rota, now, l.Code(list[0], Answer(c.answer)))
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%v, want %v", got, c.want)
			}
		})
	}
}

func TestAskedLateIsNotRemindedAtOnce(t *testing.T) {
	l, list := empty(), []Duty{duty(t, "g1", "clock", "2026-11-30", "19:00", maren)}
	for _, step := range [][2]string{{"2026-11-28", "Maren Holt ask g1 clock"}, {"2026-11-29", "Maren Holt unsure g1 clock"}, {"2026-11-30", "Maren Holt unsure g1 clock"}, {"2026-12-01", ""}} {
		if got := send(&l, list, on(t, step[0], "12:00")); got != step[1] {
			t.Errorf("%s: %q, want %q", step[0], got, step[1])
		}
	}
}

func TestQuietHours(t *testing.T) {
	for clock, want := range map[string]bool{"07:59": true, "08:00": false, "20:59": false, "21:00": true, "00:00": true} {
		if got := on(t, "2026-11-01", clock).Quiet(); got != want {
			t.Errorf("%s: %v", clock, got)
		}
	}
}

// A moved game is asked about anew: the old yes holds for the old time.
func TestMovedGameAsksAnew(t *testing.T) {
	l, now := empty(), on(t, "2026-11-10", "12:00")
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren)}
	send(&l, list, now)
	old := l.Code(list[0], SayYes)
	list, _ = answer(&l, list, now, old)
	moved := []Duty{duty(t, "g1", "clock", "2026-11-21", "11:45", maren)}
	if got := send(&l, moved, now); got != "Maren Holt again g1 clock" {
		t.Fatal(got)
	}
	if s := l.Work().Of("g1", "clock", maren); s.Status != Waiting {
		t.Errorf("after the move: %v", s.Status)
	}
	if _, got := answer(&l, moved, now, old); !slices.Equal(got, []Result{Moved}) {
		t.Errorf("the code of the old time: %v", got)
	}
	// An answer that was under way while the game moved.
	l2 := empty()
	send(&l2, list, now)
	if _, got := answer(&l2, moved, now, l2.Code(list[0], SayYes)); !slices.Equal(got, []Result{Moved}) {
		t.Errorf("an answer for the old time: %v", got)
	}
}

// Who is no longer wanted hears of it once; who said no never again.
func TestReleased(t *testing.T) {
	l, now := empty(), on(t, "2026-11-10", "12:00")
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren), duty(t, "g2", "book", "2026-11-22", "09:45", ida)}
	send(&l, list, now)
	list, _ = answer(&l, list, now, l.Code(list[1], SayNo))
	if list[1].Name != "" {
		t.Error("a no leaves them on the seat")
	}
	other := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", jon), list[1]}
	if got := send(&l, other, now); got != "Jon Holt ask g1 clock, Maren Holt released g1 clock" {
		t.Error(got)
	}
	if got := send(&l, other, now); got != "" {
		t.Errorf("and again: %s", got)
	}
}

func TestSomebodyElseTakesIt(t *testing.T) {
	l, now := empty(), on(t, "2026-11-10", "12:00")
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren)}
	send(&l, list, now)
	theirs := func(who Who) Duty { d := list[0]; d.Who = who; return d }
	// Nobody may take it as long as it is hers.
	l.Events = append(l.Events, Event{Kind: Asked, At: now, Game: "g1", Seat: "clock", Who: ida, Told: &list[0].Visit})
	if _, got := answer(&l, list, now, l.Code(theirs(ida), SayYes)); !slices.Equal(got, []Result{Taken}) {
		t.Error(got)
	}
	list, _ = answer(&l, list, now, l.Code(theirs(maren), SaySpare))
	if got := send(&l, list, now); got != "" {
		t.Errorf("who is asked to take it is released: %s", got)
	}
	list, got := answer(&l, list, now, l.Code(theirs(ida), SayYes))
	if !slices.Equal(got, []Result{Done}) || list[0].Who != ida {
		t.Errorf("%v, %v", got, list[0].Who)
	}
	if got := send(&l, list, now); got != "Maren Holt released g1 clock" {
		t.Error(got)
	}
	// The rules have the last word.
	l.Events = append(l.Events, Event{Kind: Asked, At: now, Game: "g1", Seat: "clock", Who: jon, Told: &list[0].Visit})
	replies, _, _ := l.Take(l.Code(theirs(jon), SayYes), []Duty{{"g1", "clock", list[0].Visit, Who{}}}, now, func([]Duty, int, Who) bool { return false })
	if len(replies) != 1 || replies[0].Result != Barred {
		t.Error(replies)
	}
}

// Whole messages are pasted: wrapped, in small letters, with the question quoted.
func TestPastedAnswers(t *testing.T) {
	l, now := empty(), on(t, "2026-11-10", "12:00")
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren), duty(t, "g2", "clock", "2026-11-27", "09:45", maren)}
	send(&l, list, now)
	yes, no := l.Code(list[0], SayYes), l.Code(list[1], SayNo)
	text := "Hi!\n\n  " + strings.ToLower(yes[:3]) + "\n" + yes[3:] + " and for the other " + strings.ReplaceAll(no, "-", " – ") + "\n\n> you are asked: " + l.Code(list[1], SayYes) + "\n"
	after, got := answer(&l, list, now, text)
	if !slices.Equal(got, []Result{Done, Done}) || after[0].Who != maren || after[1].Name != "" {
		t.Errorf("%v, %v", got, after)
	}
	if _, got := answer(&l, after, now, text); !slices.Equal(got, []Result{Already, Already}) {
		t.Errorf("the same text again: %v", got)
	}
	_, got = answer(&l, list, now, yes+"\n"+l.Code(list[0], SayNo))
	if !slices.Equal(got, []Result{Unclear}) {
		t.Errorf("two things at once: %v", got)
	}
	if _, got := answer(&l, list, on(t, "2026-11-20", "09:45"), l.Code(list[0], SayNo)); !slices.Equal(got, []Result{Over}) {
		t.Errorf("too late: %v", got)
	}
	other := Log{Key: bytes.Repeat([]byte{8}, KeyBytes)}
	if _, got := answer(&l, list, now, other.Code(list[0], SayYes)); got != nil {
		t.Errorf("a code of another season: %v", got)
	}
}

func TestCounts(t *testing.T) {
	l, now := empty(), on(t, "2026-11-15", "12:00")
	list := []Duty{
		duty(t, "g1", "clock", "2026-11-10", "09:45", maren), duty(t, "g2", "clock", "2026-11-11", "09:45", jon),
		duty(t, "g3", "clock", "2026-11-12", "09:45", maren), duty(t, "g4", "clock", "2026-11-20", "09:45", maren),
		duty(t, "g5", "clock", "2026-11-21", "09:45", jon), duty(t, "g6", "clock", "2026-11-21", "09:45", Who{}),
	}
	mark := func(d Duty, kind Kind) {
		l.Events = append(l.Events, Event{Kind: kind, At: now, Game: d.Game, Seat: d.Seat, Who: d.Who})
	}
	mark(list[0], Came)
	mark(list[1], Missed)
	mark(list[2], Missed)
	mark(list[2], Unmarked)
	mark(list[3], Accepted)
	want := map[string]Count{"Holt": {Done: 1, Missed: 1, Unmarked: 1, Promised: 1, Open: 1}}
	if got := Counts(list, l.Work(), now); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
}

func TestCalendarKeepsWhatIsCancelled(t *testing.T) {
	l, now := empty(), on(t, "2026-11-10", "12:00")
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren)}
	send(&l, list, now)
	first := Calendar(list, l.Work(), maren, now)
	list, _ = answer(&l, list, now, l.Code(list[0], SayYes))
	second := Calendar(list, l.Work(), maren, now)
	other := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", jon)}
	third := Calendar(other, l.Work(), maren, now)
	send(&l, other, now)
	fourth := Calendar(other, l.Work(), maren, now)
	if len(first) != 1 || first[0].Confirmed || len(second) != 1 || !second[0].Confirmed || second[0].Sequence <= first[0].Sequence {
		t.Errorf("%+v, %+v", first, second)
	}
	if len(third) != 1 || !third[0].Cancelled || third[0].Sequence <= second[0].Sequence || len(fourth) != 1 || !fourth[0].Cancelled {
		t.Errorf("%+v, %+v", third, fourth)
	}
	if got := Calendar(other, l.Work(), maren, on(t, "2026-12-21", "12:00")); len(got) != 0 {
		t.Errorf("after a month: %+v", got)
	}
}

func TestForgotten(t *testing.T) {
	l, now := empty(), on(t, "2026-11-10", "12:00")
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren)}
	send(&l, list, now)
	gone, count := l.Forget(maren)
	text, err := gone.Keep()
	if err != nil || count != 1 || bytes.Contains(text, []byte("Maren")) {
		t.Errorf("%d, %v: %s", count, err, text)
	}
	if l.Events[0].Who != maren {
		t.Error("the log that was given changed")
	}
}

func TestLogIsReadAsKept(t *testing.T) {
	l := empty()
	list := []Duty{duty(t, "g1", "clock", "2026-11-20", "09:45", maren)}
	send(&l, list, on(t, "2026-11-10", "12:00"))
	text, err := l.Keep()
	if err != nil {
		t.Fatal(err)
	}
	back, err := Read(text)
	if err != nil || !reflect.DeepEqual(back, l) {
		t.Errorf("%+v, %v", back, err)
	}
	for name, bad := range map[string]string{
		"no JSON": "x", "version": strings.Replace(string(text), `"version": 1`, `"version": 2`, 1),
		"key": strings.Replace(string(text), `"key": "07`, `"key": "`, 1), "kind": strings.Replace(string(text), "asked", "begged", 1),
		"unknown field": strings.Replace(string(text), `"version"`, `"size": 1, "version"`, 1),
		"no place":      strings.Replace(string(text), `"told"`, `"was"`, 1),
	} {
		if bad == string(text) {
			t.Fatalf("%s changed nothing", name)
		}
		if _, err := Read([]byte(bad)); err == nil {
			t.Errorf("%s was read", name)
		}
	}
}

// Whatever happens, a person has at most three reminders for what they were asked
// once, nobody hears of one thing twice a day, and no seat has two people.
func TestAnySeason(t *testing.T) {
	crew := []Who{maren, jon, ida, {"Rune Vik", "Vik"}}
	for seed := range uint64(300) {
		random := rand.New(rand.NewPCG(seed, 1))
		l := empty()
		var list []Duty
		for g := range 6 {
			list = append(list, duty(t, fmt.Sprint("g", g), "clock", fmt.Sprintf("2026-11-%02d", 10+random.IntN(18)), "10:00", crew[random.IntN(len(crew))]))
		}
		for day := 1; day <= 30; day++ {
			now := on(t, fmt.Sprintf("2026-11-%02d", day), "12:00")
			messages := Due(list, l.Work(), now)
			l.Events = append(l.Events, Sent(messages, now)...)
			if again := Due(list, l.Work(), now); len(again) != 0 {
				t.Fatalf("seed %d, day %d: told twice: %+v", seed, day, again)
			}
			d := &list[random.IntN(len(list))]
			switch random.IntN(4) {
			case 0:
				d.Day += dates.Day(random.IntN(3))
			case 1:
				d.Who = crew[random.IntN(len(crew))]
			default:
				var text strings.Builder
				for _, m := range messages {
					for _, line := range m.Lines {
						text.WriteString(l.Code(line.Duty, Answers[random.IntN(len(Answers))]) + "\n")
					}
				}
				list, _ = answer(&l, list, now, text.String())
			}
		}
		for _, s := range l.Work().standings {
			if s.Reminders > remindersMost {
				t.Errorf("seed %d: %d reminders", seed, s.Reminders)
			}
		}
	}
}

func FuzzRead(f *testing.F) {
	l := empty()
	send(&l, []Duty{duty(f, "g1", "clock", "2026-11-20", "09:45", maren)}, on(f, "2026-11-10", "12:00"))
	text, _ := l.Keep()
	f.Add(text)
	f.Fuzz(func(t *testing.T, text []byte) {
		read, err := Read(text)
		if err != nil {
			return
		}
		again, err := read.Keep()
		if err != nil {
			t.Fatal(err)
		}
		if back, err := Read(again); err != nil || len(back.Events) != len(read.Events) {
			t.Fatalf("%v", err)
		}
		read.Work()
	})
}
