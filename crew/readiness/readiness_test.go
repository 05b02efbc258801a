package readiness_test

import (
	"fmt"
	"strings"
	"testing"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/readiness"
	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/practice/progress"
)

// first is 1 January 2020, from which practice counts its days.
func first() dates.Day {
	day, err := dates.Parse("2020-01-01")
	if err != nil {
		panic(err)
	}
	return day
}

// games are practice games over the bar, on days after 1 January 2020.
func games(name string, seat entry.Seat, days ...progress.Day) []progress.Result {
	var list []progress.Result
	for _, day := range days {
		list = append(list, progress.Result{Name: name, Seat: seat, Script: "a", Level: 3, Day: day, Score: 95})
	}
	return list
}

func held(name string, count int, last dates.Day) []readiness.Held {
	var list []readiness.Held
	for i := range count {
		list = append(list, readiness.Held{Who: duties.Who{Name: name, Family: "Holt"}, Seat: "clock", Day: last - dates.Day(i)})
	}
	return list
}

func Example() {
	list := []people.Person{{Name: "Maren Holt", Family: "Holt", Levels: map[string]people.Level{}}}
	today := first() + 200
	for _, c := range readiness.Work(list, []string{"clock", "book"}, readiness.Known{Results: games("maren holt", entry.BookSeat, 190, 195), Today: today}) {
		fmt.Println(list[c.Person].Name, c.Seat, c.Is, c.Why, c.Last)
	}
	// Output: Maren Holt book ready practised 2020-07-14
}

// Each way in which a level comes about, and that to work it out twice changes nothing.
func TestLevels(t *testing.T) {
	today := first() + 400
	for name, test := range map[string]struct {
		was   people.Level
		known readiness.Known
		want  people.Level
		why   readiness.Why
	}{
		"nothing is known":              {people.Guide, readiness.Known{}, people.Guide, ""},
		"one practice game":             {people.Not, readiness.Known{Results: games("Maren Holt", entry.ClockSeat, 390)}, people.Learner, readiness.Practised},
		"the bar":                       {people.Not, readiness.Known{Results: games("Maren Holt", entry.ClockSeat, 390, 391)}, people.Ready, readiness.Practised},
		"alone counts for each seat":    {people.Learner, readiness.Known{Results: games("Maren Holt", entry.Solo, 390, 391)}, people.Ready, readiness.Practised},
		"another seat":                  {people.Not, readiness.Known{Results: games("Maren Holt", entry.BookSeat, 390, 391)}, people.Not, ""},
		"another person":                {people.Not, readiness.Known{Results: games("Jon Holt", entry.ClockSeat, 390, 391)}, people.Not, ""},
		"ready, and four games":         {people.Ready, readiness.Known{Held: held("Maren Holt", 4, today-1)}, people.Ready, ""},
		"ready, and five games":         {people.Ready, readiness.Known{Held: held("Maren Holt", 5, today-1)}, people.Guide, readiness.HeldOften},
		"a learner who came five times": {people.Learner, readiness.Known{Held: held("Maren Holt", 5, today-1)}, people.Learner, ""},
		"ninety days ago":               {people.Guide, readiness.Known{Held: held("Maren Holt", 9, today-90)}, people.Guide, ""},
		"ninety-one days ago":           {people.Guide, readiness.Known{Held: held("Maren Holt", 9, today-91)}, people.Learner, readiness.Faded},
		"practised long ago":            {people.Ready, readiness.Known{Results: games("Maren Holt", entry.ClockSeat, 100, 101)}, people.Learner, readiness.Faded},
		"long ago, and at a game since": {people.Ready, readiness.Known{Results: games("Maren Holt", entry.ClockSeat, 100, 101), Held: held("Maren Holt", 1, today-5)}, people.Ready, ""},
	} {
		list := []people.Person{{Name: "Maren Holt", Family: "Holt", Levels: map[string]people.Level{"clock": test.was}}}
		test.known.Today = today
		got, why := test.was, readiness.Why("")
		for _, c := range readiness.Work(list, []string{"clock"}, test.known) {
			got, why = c.Is, c.Why
		}
		if got != test.want || why != test.why {
			t.Errorf("%s: %s, %s", name, got, why)
		}
		list[0].Levels["clock"] = got
		if again := readiness.Work(list, []string{"clock"}, test.known); len(again) > 0 {
			t.Errorf("%s: worked out again, %+v", name, again)
		}
	}
}

// Codes are found in whatever stands around them; what is no code is given back.
func TestCodes(t *testing.T) {
	code, err := progress.EncodeResult(games("Maren Holt", entry.ClockSeat, 390)[0])
	if err != nil {
		t.Fatal(err)
	}
	wrong := strings.Replace(code, "-", "-Z", 1)
	results, bad := readiness.Codes("Hello, my code: " + strings.ToLower(code) + ". And again " + code + "\nshort-a-b and " + wrong[:5] + code[5:len(code)-1])
	if len(results) != 1 || results[0].Name != "Maren Holt" || len(bad) != 1 {
		t.Errorf("%v %v", results, bad)
	}
	if names := readiness.Strangers(append(results, results...), nil); len(names) != 1 {
		t.Errorf("%v", names)
	}
	if names := readiness.Strangers(results, []people.Person{{Name: "MAREN HOLT "}}); len(names) != 0 {
		t.Errorf("%v", names)
	}
}

func FuzzCodes(f *testing.F) {
	f.Add("ABCDE-ABCDE-ABCDE-ABCDE-ABCDE")
	f.Fuzz(func(t *testing.T, text string) {
		results, _ := readiness.Codes(text)
		for _, r := range results {
			if _, err := progress.EncodeResult(r); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// Whoever came had the seat, on the day that they knew; what was taken back did not
// happen, and nobody without a name counts.
func TestSeatsThatWereHeld(t *testing.T) {
	maren := duties.Who{Name: "Maren Holt", Family: "Holt"}
	visit := duties.Visit{Day: 20730, There: 585, Rink: "saltworks"}
	event := func(kind duties.Kind, game string, who duties.Who) duties.Event {
		return duties.Event{Kind: kind, At: duties.Moment{Day: 20740}, Game: game, Seat: "clock_main", Who: who, Told: &visit}
	}
	log := duties.Log{Events: []duties.Event{
		event(duties.Asked, "a", maren), event(duties.Came, "a", maren), event(duties.Came, "b", maren), event(duties.Came, "c", maren),
		event(duties.Unmarked, "c", maren), event(duties.Missed, "d", maren), event(duties.Came, "e", duties.Who{Name: duties.Nameless}),
	}}
	list := readiness.Seats(log, func(string) string { return "clock" })
	if len(list) != 2 || list[0] != (readiness.Held{Who: maren, Seat: "clock", Day: 20730}) || list[1].Day != 20740 {
		t.Errorf("%+v", list)
	}
	if list := readiness.Seats(log, func(string) string { return "" }); len(list) != 0 {
		t.Errorf("%+v", list)
	}
}
