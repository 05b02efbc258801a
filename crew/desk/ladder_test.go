package desk_test

import (
	"fmt"
	"slices"
	"testing"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/season/schedule"
)

// dropOut is a desk with an empty clock at 10:00 on day 20730 (there at 9:45), twelve
// people who could take it, of whom two are at the rink that day: one has the book of
// a later game there, one a child that plays in it.
func dropOut(t *testing.T, now duties.Moment) *desk.Desk {
	t.Helper()
	g := given()
	g.Rules.Seats[1].For = []string{"u12"} // no book at the game of the clock
	g.Games[0].Division = "u14"
	g.Games[1] = schedule.Game{ID: "u12-001", Division: "u12", Home: "millrace", Visitors: "kelp-bay-u12", State: schedule.Scheduled, Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: 20730, Start: 900, Minutes: 60}}
	g.People = nil
	for i := range 12 {
		one := people.Person{Name: fmt.Sprintf("Person %02d", i), Family: fmt.Sprint(i), DayMost: 2, Levels: map[string]people.Level{"clock": people.Ready, "book": people.Ready}}
		if i == 7 {
			one.Teams = []string{"millrace"}
		}
		g.People = append(g.People, one)
	}
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	kept := []seating.Duty{{Game: "u12-001", Seat: "book", Name: "Person 09", Family: "9", Accepted: true}}
	return desk.Open(g.League, plan, kept, duties.Log{Key: make([]byte, duties.KeyBytes)}, now)
}

// climb asks whom the ladder says, and gives their names.
func climb(d *desk.Desk) (desk.Rung, []string) {
	rung := d.Ladder(0)
	d.Sent(d.Instead(0, rung.Ask))
	var names []string
	for _, one := range rung.Ask {
		names = append(names, d.Plan.People[one.Person].Name)
	}
	return rung, names
}

// Three people long before, five more after half a day, everybody in the end; nobody
// twice.
func TestTheLadderLongBefore(t *testing.T) {
	d := dropOut(t, duties.Moment{Day: 20720, Clock: 600})
	seen := map[string]bool{}
	for i, want := range []struct{ ask, wait int }{{3, 720}, {0, 420}, {5, 720}, {4, 720}, {0, 720}} {
		rung, names := climb(d)
		if len(names) != want.ask || rung.Wait != want.wait {
			t.Fatalf("rung %d: %v, wait %d", i, names, rung.Wait)
		}
		for _, name := range names {
			if seen[name] {
				t.Errorf("%s is asked twice", name)
			}
			seen[name] = true
		}
		d.Now.Clock += 300
		if i != 0 {
			d.Now.Day++
		}
	}
	// A no before the time is over brings the next ones only once all have answered.
	d = dropOut(t, duties.Moment{Day: 20720, Clock: 600})
	rung, _ := climb(d)
	for i, one := range rung.Ask {
		asked := d.Duties[0]
		asked.Who = duties.Who{Name: d.Plan.People[one.Person].Name, Family: d.Plan.People[one.Person].Family}
		d.Now.Clock++
		d.Take(d.Log.Code(asked, duties.SayNo))
		if next := d.Ladder(0); (len(next.Ask) == 5) != (i == 2) || next.Open != 2-i {
			t.Errorf("after %d noes: %+v", i+1, next)
		}
	}
}

// Five every twenty minutes within two days; within three hours who is at the rink
// anyway, and then the telephone. Whoever has the seat ends it.
func TestTheLadderInAHurry(t *testing.T) {
	d := dropOut(t, duties.Moment{Day: 20729, Clock: 600})
	for i, want := range []struct{ ask, wait int }{{5, 20}, {0, 10}, {5, 20}} {
		if rung, names := climb(d); len(names) != want.ask || rung.Wait != want.wait {
			t.Fatalf("rung %d: %v, wait %d", i, names, rung.Wait)
		}
		d.Now.Clock += 10
	}
	d = dropOut(t, duties.Moment{Day: 20730, Clock: 480})
	if rung, names := climb(d); !slices.Equal(names, []string{"Person 07", "Person 09"}) && !slices.Equal(names, []string{"Person 09", "Person 07"}) || len(rung.Call) != 0 {
		t.Errorf("%v %+v", names, rung)
	}
	if rung := d.Ladder(0); len(rung.Ask) != 0 || len(rung.Call) != 10 {
		t.Errorf("%+v", rung)
	}
	asked := d.Duties[0]
	asked.Who = duties.Who{Name: "Person 07", Family: "7"}
	d.Take(d.Log.Code(asked, duties.SayYes))
	if rung := d.Ladder(0); d.Who[0] != 7 || rung.Wait != -1 || len(rung.Ask)+len(rung.Call) != 0 {
		t.Errorf("%v %+v", d.Who, rung)
	}
	// The other one hears at once that they need not come.
	due := d.Due()
	if at := slices.IndexFunc(due, func(m duties.Message) bool { return m.Name == "Person 09" }); at < 0 || due[at].Lines[0].About != duties.Free {
		t.Errorf("%+v", due)
	}
	d.Now.Clock = 590
	if rung := d.Ladder(0); rung.Wait != -1 {
		t.Error("the ladder goes on after the game began")
	}
}

// Two people change places where every rule holds for both, and both have accepted.
func TestASwap(t *testing.T) {
	kept := []seating.Duty{
		{Game: "u14-001", Seat: "clock", Name: "Person 01", Family: "1"}, {Game: "u12-001", Seat: "book", Name: "Person 09", Family: "9", Accepted: true},
	}
	begin := func() *desk.Desk {
		d := dropOut(t, duties.Moment{Day: 20720, Clock: 600})
		return desk.Open(d.League, d.Plan, kept, d.Log, d.Now)
	}
	d := begin()
	if list := d.Swaps(0); !slices.Equal(list, []int{2}) {
		t.Fatalf("%v", list)
	}
	if barriers, err := d.Swap(0, 2); err != nil || len(barriers) != 0 {
		t.Fatal(barriers, err)
	}
	want := []seating.Duty{
		{Game: "u14-001", Seat: "clock", Name: "Person 09", Family: "9", Accepted: true}, {Game: "u12-001", Seat: "book", Name: "Person 01", Family: "1", Accepted: true},
	}
	if got := d.Kept(kept); !slices.Equal(got, want) || len(d.Due()) != 0 {
		t.Errorf("%v, and to be told: %v", got, d.Due())
	}
	// What a rule forbids is named, and changes nothing.
	d = begin()
	d.Plan.People[1].Levels = map[string]people.Level{"clock": people.Ready}
	barriers, err := d.Swap(0, 2)
	if err != nil || len(barriers) != 1 || barriers[0] != (desk.Barrier{Slot: 2, Person: 1, Reason: seating.NotReady}) || d.Who[0] != 1 || len(d.Log.Events) != 0 {
		t.Errorf("%v %v", barriers, err)
	}
	d = begin()
	d.Now = duties.Moment{Day: 20730, Clock: dates.Clock(585)}
	if _, err := d.Swap(0, 2); err == nil || len(d.Swaps(0)) != 0 {
		t.Error("a duty that began is swapped")
	}
	if _, err := begin().Swap(0, 0); err == nil {
		t.Error("somebody changes places with themselves")
	}
}
