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
	"whistlestop/season/schedule"
)

const newToday dates.Day = 20724 // a Tuesday

// newcomer is a season of a game each day of eight weeks with a clock and a book. Two
// families guide at both, at any game; somebody is new, and dear: another team's game
// costs, and so does any family's duty beyond its share.
func newcomer(t *testing.T, since *dates.Day, now duties.Moment, log duties.Log, kept []seating.Duty, target []string) *desk.Desk {
	t.Helper()
	g := given()
	g.Games, g.Rules.Target.Done, g.Rules.Costs.First = nil, target, 30
	for day := range 56 {
		g.Games = append(g.Games, schedule.Game{ID: dates.Day(int(newToday) + day).String(), Division: "u14", Home: "kelp-bay", Visitors: "millrace", State: schedule.Scheduled,
			Place: &schedule.Place{Rink: "saltworks", Sheet: 1, Day: newToday + dates.Day(day), Start: 600, Minutes: 75}})
	}
	both := func(level people.Level) map[string]people.Level {
		return map[string]people.Level{"clock": level, "book": level}
	}
	g.People = []people.Person{
		{Name: "Maren Holt", Family: "Holt", Levels: both(people.Guide), DayMost: 2},
		{Name: "Ida Vik", Family: "Vik", Levels: both(people.Guide), DayMost: 2},
		{Name: "Ready Lie", Family: "Lie", Levels: both(people.Ready), DayMost: 2},
		{Name: "New Moe", Family: "Moe", Levels: both(people.Ready), Since: since},
	}
	plan, err := g.Plan()
	if err != nil {
		t.Fatal(err)
	}
	if kept == nil {
		desk.Welcome(plan, desk.Had(nil, log, now), now.Day)
		made, err := desk.Make(plan, nil, rota.Options{Seed: 1, Moves: 20_000})
		if err != nil {
			t.Fatal(err)
		}
		kept = plan.Duties(made.Who, nil)
	}
	return desk.Open(g.League, plan, kept, log, now)
}

// Somebody new gets a first duty within four weeks and beside a guide, also where their
// family would have none by its share. Without being new they get none.
func TestAFirstDutyWithinFourWeeks(t *testing.T) {
	now := duties.Moment{Day: newToday, Clock: 480}
	log := duties.Log{Key: make([]byte, duties.KeyBytes)}
	done := []string{"Moe"} // their share is nought
	for _, ago := range []dates.Day{0, 10, 20, 27, 40, 400} {
		since := newToday - ago
		d := newcomer(t, &since, now, log, nil, done)
		list := d.Newcomers(desk.Had(d.Duties, log, now))
		if len(list) != 1 || list[0].Person != 3 || list[0].Slot < 0 || list[0].Guide == rota.Nobody {
			t.Fatalf("%d days new: %+v", ago, list)
		}
		day := d.Plan.Games[d.Plan.Slots[list[0].Slot].Game].Day
		by := desk.FirstBy(since, newToday)
		if by < newToday+6 { // where less than a week is left it may be any day of that week
			by = newToday + 6
		}
		if day > by || list[0].InTime(d.Plan) != (day <= since+28) {
			t.Errorf("%d days new: first duty on day %d of %d", ago, day-newToday, by-newToday)
		}
		if duty := slices.IndexFunc(d.Duties, func(one duties.Duty) bool { return one.Name == "New Moe" }); duty != list[0].Slot {
			t.Errorf("%d days new: the first duty is %d, not %d", ago, duty, list[0].Slot)
		}
	}
	d := newcomer(t, nil, now, log, nil, done)
	if slices.ContainsFunc(d.Duties, func(one duties.Duty) bool { return one.Name == "New Moe" }) || len(d.Newcomers(nil)) != 0 {
		t.Error("somebody who is not new, of a family without a share, has a duty: the test says nothing")
	}
}

// Until their first duty they sit only beside a guide; who accepted one stays there.
func TestNobodyNewSitsAlone(t *testing.T) {
	now := duties.Moment{Day: newToday, Clock: 480}
	log := duties.Log{Key: make([]byte, duties.KeyBytes)}
	since := newToday
	d := newcomer(t, &since, now, log, nil, nil)
	for slot, one := range d.Duties {
		game := d.Plan.Slots[slot].Game
		if one.Name != "New Moe" || one.Day > since+28 {
			continue
		}
		guided := slices.ContainsFunc(d.Duties, func(o duties.Duty) bool {
			return o.Game == one.Game && o.Seat != one.Seat && (o.Name == "Maren Holt" || o.Name == "Ida Vik")
		})
		if !guided {
			t.Errorf("on day %d, game %d, somebody new sits without a guide", one.Day-newToday, game)
		}
	}
	kept := []seating.Duty{{Game: newToday.String(), Seat: "clock", Name: "New Moe", Family: "Moe", Accepted: true}, {Game: newToday.String(), Seat: "book", Name: "Ready Lie", Family: "Lie", Accepted: true}}
	d = newcomer(t, &since, now, log, kept, nil)
	list := d.Newcomers(nil)
	if len(list) != 1 || list[0].Guide != rota.Nobody || list[0].Slot != 0 {
		t.Errorf("%+v", list)
	}
	desk.Welcome(d.Plan, nil, newToday)
	made, err := desk.Make(d.Plan, kept, rota.Options{})
	if err != nil || made.Who[0] != 3 || made.Who[1] != 2 || len(made.Broken) != 0 {
		t.Errorf("%v: %v %+v", err, made.Who[:2], made.Broken)
	}
}

// Whoever had a duty is new no more; who did not come to it still is. Without one they
// are told of seats that nobody has, beside a guide.
func TestWhoIsNew(t *testing.T) {
	since := newToday - 5
	now := duties.Moment{Day: newToday + 3, Clock: 720}
	log := duties.Log{Key: make([]byte, duties.KeyBytes)}
	kept := []seating.Duty{
		{Game: newToday.String(), Seat: "clock", Name: "New Moe", Family: "Moe"},
		{Game: (newToday + 6).String(), Seat: "book", Name: "Ida Vik", Family: "Vik"},
		{Game: (newToday + 7).String(), Seat: "book", Name: "Ready Lie", Family: "Lie"},
	}
	d := newcomer(t, &since, now, log, kept, nil)
	if list := d.Newcomers(desk.Had(d.Duties, d.Log, now)); len(list) != 0 {
		t.Errorf("a duty that is over does not count: %+v", list)
	}
	if _, err := d.Mark(newToday.String(), "clock", duties.Missed); err != nil {
		t.Fatal(err)
	}
	list := d.Newcomers(desk.Had(d.Duties, d.Log, now))
	if len(list) != 1 || list[0].Slot != -1 || !slices.Equal(list[0].Could, []int{12}) {
		t.Fatalf("%+v", list)
	}
	// Of another season, by the log alone.
	d.Log.Events = append(d.Log.Events, duties.Event{Kind: duties.Came, Game: "2025-26/a", Seat: "book", Who: duties.Who{Name: "New Moe", Family: "Moe"}})
	if list := d.Newcomers(desk.Had(d.Duties, d.Log, now)); len(list) != 0 {
		t.Errorf("%+v", list)
	}
}
