package desk_test

import (
	"slices"
	"testing"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
)

// now is ten days before the game of given.
var now = duties.Moment{Day: 20720, Clock: 720}

func open(t *testing.T, kept []seating.Duty) *desk.Desk {
	t.Helper()
	g := given()
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	return desk.Open(g.League, plan, kept, duties.Log{Key: make([]byte, duties.KeyBytes)}, now)
}

var known = []seating.Duty{
	{Game: "u14-001", Seat: "clock", Name: "Maren Holt", Family: "Holt", Accepted: true},
	{Game: "u14-001", Seat: "book", Name: "Ida Vik", Family: "Vik"},
	{Game: "u14-050", Seat: "book", Name: "Ida Vik", Family: "Vik", Accepted: true},
}

// Games that are postponed or outside the days need nobody.
func TestOnlyGamesThatArePlayedNeedACrew(t *testing.T) {
	g := given()
	for _, test := range []struct {
		from, to dates.Day
		seats    int
	}{{0, 30000, 2}, {20730, 20730, 2}, {20731, 30000, 0}, {0, 20729, 0}} {
		g.From, g.To = test.from, test.to
		plan, err := g.Plan()
		if (err != nil) != (test.seats == 0) || err == nil && len(plan.Slots) != test.seats {
			t.Errorf("%v: %v %v", test, plan, err)
		}
	}
}

// An answer moves the rota and the log, and nothing that the desk does not have.
func TestAnAnswerIsKept(t *testing.T) {
	d := open(t, known)
	due := d.Due()
	d.Sent(due)
	at := slices.IndexFunc(due, func(m duties.Message) bool { return m.Name == "Ida Vik" })
	yes := d.Log.Code(due[at].Lines[0].Duty, duties.SayYes)
	no := d.Log.Code(d.Duties[0], duties.SayNo)
	replies := d.Take("Hello, " + yes + " and for Maren " + no)
	if len(replies) != 2 || replies[0].Result != duties.Done || replies[1].Result != duties.Done {
		t.Fatalf("%v", replies)
	}
	want := []seating.Duty{{Game: "u14-001", Seat: "clock"}, {Game: "u14-001", Seat: "book", Name: "Ida Vik", Family: "Vik", Accepted: true}, known[2]}
	if got := d.Kept(known); !slices.Equal(got, want) {
		t.Errorf("%v", got)
	}
	if known[0].Name == "" {
		t.Error("the rota that was handed over is changed")
	}
	// Whoever said no is not asked again, and is no candidate.
	desk.LeaveOut(d.Plan, d.Log)
	if why, err := d.Why(0, "Maren Holt"); err != nil || why.Verdict != desk.Barred || why.Reason != seating.SaidNo {
		t.Errorf("%v %v", why, err)
	}
}

// Each way in which somebody stands to a seat.
func TestHowSomebodyStandsToASeat(t *testing.T) {
	d := open(t, known)
	for _, test := range []struct {
		slot int
		name string
		want desk.Verdict
	}{
		{0, "", desk.Sits}, {0, "Maren Holt", desk.Sits}, {0, "Ida Vik", desk.Against}, {0, "Jon Holt", desk.Barred}, {1, "Jon Holt", desk.Could},
	} {
		if why, err := d.Why(test.slot, test.name); err != nil || why.Verdict != test.want {
			t.Errorf("%v: %v %v", test, why, err)
		}
	}
	if why, err := open(t, nil).Why(0, ""); err != nil || why.Verdict != desk.Empty {
		t.Errorf("%v %v", why, err)
	}
	if _, err := d.Why(0, "Nobody"); err == nil {
		t.Error("somebody who is not in the list has a reason")
	}
	if next := d.Next(1, 8); len(next) != 1 || d.Plan.People[next[0].Person].Name != "Jon Holt" || next[0].Share.Duties != 1 {
		t.Errorf("%v", next)
	}
}

// An accepted duty of somebody who may not any more is named, and given to others.
func TestABrokenDutyIsNamed(t *testing.T) {
	g := given()
	g.People[0].Levels = map[string]people.Level{"book": people.Ready}
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	made, err := desk.Make(plan, known, rota.Options{Seed: 1, Moves: 1000})
	if err != nil || len(made.Broken) != 1 || made.Broken[0].Reason != seating.NotReady || made.Who[0] != 1 || made.Changed != 2 {
		t.Errorf("%+v %v", made, err)
	}
	if _, err := desk.Make(plan, nil, rota.Options{Moves: desk.MovesMost + 1}); err == nil {
		t.Error("more moves than may be asked for")
	}
}

// Coming is counted, taken back, and counts on without the name.
func TestComingAndForgetting(t *testing.T) {
	d := open(t, known)
	for _, test := range []struct {
		kind duties.Kind
		done int
	}{{duties.Came, 1}, {duties.Unmarked, 0}, {duties.Came, 1}} {
		if one, err := d.Mark("u14-001", "clock", test.kind); err != nil || one.Name != "Maren Holt" {
			t.Fatal(one, err)
		}
		if b := d.Balances()[0]; b.Family != "Holt" || b.Done != test.done || b.Share != 1 {
			t.Errorf("%s: %+v", test.kind, b)
		}
	}
	f, err := desk.Forget("Maren Holt", known, d.Log)
	if err != nil || f.Duties != 1 || f.Events != 3 || f.Kept[0].Name != "" || known[0].Name == "" {
		t.Errorf("%+v %v", f, err)
	}
	for _, e := range f.Log.Events {
		if e.Name != duties.Nameless {
			t.Errorf("%v", e)
		}
	}
	if _, err := desk.Forget("Maren Holt", f.Kept, f.Log); err == nil {
		t.Error("a name that is nowhere was forgotten")
	}
}

// A calendar has the duties with their ends.
func TestACalendarHasTheEnds(t *testing.T) {
	d := open(t, known)
	if list := d.Calendar(0); len(list) != 1 || list[0].End != 675 || list[0].There != 585 {
		t.Errorf("%+v", list)
	}
}

func TestANameIsShort(t *testing.T) {
	for name, want := range map[string]string{"Maren Holt": "Maren H", "Åse von Ørn": "Åse Ø", "Ida": "Ida", "": ""} {
		if got := desk.Short(name); got != want {
			t.Errorf("%s: %s", name, got)
		}
	}
}
