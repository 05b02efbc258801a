package duties_test

import (
	"slices"
	"testing"

	"whistlestop/crew/duties"
	"whistlestop/game/dates"
)

// A new season begins with everybody asked once, reminded while they say nothing, and
// left alone once they did. Who had which seat stays, under the old season's name.
func TestANewSeason(t *testing.T) {
	maren, jon := duties.Who{Name: "Maren Holt", Family: "Holt"}, duties.Who{Name: "Jon Holt", Family: "Holt"}
	everybody := []duties.Who{maren, jon}
	const first dates.Day = 20800
	visit := duties.Visit{Day: first - 100, There: 585, Rink: "saltworks"}
	old := duties.Log{Key: make([]byte, duties.KeyBytes), Events: []duties.Event{
		{Kind: duties.Asked, Game: "a", Seat: "clock", Who: maren, Told: &visit}, {Kind: duties.Accepted, Game: "a", Seat: "clock", Who: maren, Told: &visit},
		{Kind: duties.Came, Game: "a", Seat: "clock", Who: maren}, {Kind: duties.Missed, Game: "b", Seat: "clock", Who: jon},
		{Kind: duties.Came, Game: "c", Seat: "book", Who: duties.Who{Name: duties.Nameless}},
	}}
	if _, asked := old.Work().Question(); asked || old.Work().Stays(everybody) != nil || old.Work().Staying(maren) != duties.NotAsked {
		t.Error("people are asked without a new season")
	}
	now := duties.Moment{Day: first, Clock: 720}
	log := old.Begin("2026-27", "2027-28", now, first+21)
	came := log.Work().Came()
	if len(came) != 1 || came[0].Who != maren || came[0].Game != "2026-27/a" || came[0].Day != visit.Day {
		t.Errorf("%+v", came)
	}
	if kept, err := log.Keep(); err != nil {
		t.Error(err)
	} else if again, err := duties.Read(kept); err != nil || len(again.Events) != len(log.Events) {
		t.Errorf("%v %+v", err, again)
	}
	due := func() []duties.Message { return duties.Due(log.Work().Stays(everybody), log.Work(), now) }
	send := func(want int, about duties.About) {
		t.Helper()
		list := due()
		if len(list) != want || want > 0 && list[0].Lines[0].About != about {
			t.Fatalf("on day %d: %+v", now.Day-first, list)
		}
		log.Events = append(log.Events, duties.Sent(list, now)...)
	}
	send(2, duties.Ask)
	send(0, "")
	say := func(who duties.Who, answer duties.Answer, want duties.Result) {
		t.Helper()
		asked := log.Work().Stays(everybody)
		at := slices.IndexFunc(asked, func(d duties.Duty) bool { return d.Who == who })
		replies, _, events := log.Take("Hello, "+log.Code(asked[at], answer), asked, now, nil)
		if len(replies) != 1 || replies[0].Result != want || replies[0].Who != who {
			t.Fatalf("%s %s: %+v", who.Name, answer, replies)
		}
		log.Events = append(log.Events, events...)
	}
	say(jon, duties.SayNo, duties.Done)
	say(jon, duties.SayNo, duties.Already)
	if log.Work().Staying(jon) != duties.No || log.Work().Staying(maren) != duties.Waiting {
		t.Error(log.Work().Staying(jon), log.Work().Staying(maren))
	}
	for _, days := range []dates.Day{14, 18, 20} { // a week, three days and one day before
		now.Day = first + days
		send(1, duties.Unsure)
	}
	say(jon, duties.SayYes, duties.Done) // who said no may still stay
	if log.Work().Staying(jon) != duties.Yes {
		t.Error(log.Work().Staying(jon))
	}
	now.Day = first + 22
	send(0, "")
	say(maren, duties.SayYes, duties.Over)
	// Calendars and late noes know nothing of the question.
	if list := duties.Calendar(nil, log.Work(), jon, now); len(list) != 0 {
		t.Errorf("%+v", list)
	}
	if list := log.Work().LeftLate(10_000); len(list) != 0 {
		t.Errorf("%+v", list)
	}
	// The season after that keeps what both were good for.
	log.Events = append(log.Events, duties.Event{Kind: duties.Came, At: now, Game: "a", Seat: "clock", Who: maren})
	next := log.Begin("2027-28", "2028-29", now, now.Day+21)
	if came := next.Work().Came(); len(came) != 2 || came[0].Game != "2026-27/a" || came[1].Game != "2027-28/a" {
		t.Errorf("%+v", came)
	}
	if question, asked := next.Work().Question(); !asked || question.Game != "2028-29" || next.Work().Staying(jon) != duties.NotAsked {
		t.Errorf("%+v", question)
	}
}
