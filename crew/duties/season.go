package duties

import (
	"strings"

	"whistlestop/game/dates"
)

// StaySeat stands in the place of a seat where somebody is asked whether they stay for
// a season. No seat of a league has such an id.
const StaySeat = "-stay"

// nowhere is the rink of a question that is answered at home.
const nowhere = "-"

// lastMinute of a day.
const lastMinute = dates.Clock(24*60 - 1)

// Begin is the log of a new season. What people were asked and said goes; who came to
// which seat stays under the old season's name, because it says what they can do.
// Everybody is asked whether they stay; By is the last day for an answer.
func (l Log) Begin(old, season string, now Moment, by dates.Day) Log {
	next := Log{Key: l.Key}
	for _, d := range l.Work().Came() {
		if d.Name == Nameless {
			continue
		}
		game := d.Game
		if !strings.Contains(game, "/") { // of a season before that one
			game = old + "/" + game
		}
		next.Events = append(next.Events, Event{Kind: Came, At: Moment{Day: d.Day}, Game: game, Seat: d.Seat, Who: d.Who})
	}
	asked := Visit{Day: by, There: lastMinute, Rink: nowhere}
	next.Events = append(next.Events, Event{Kind: Season, At: now, Game: season, Seat: StaySeat, Who: Who{Name: Nameless}, Told: &asked})
	return next
}

// Question is whether people stay for the season that began last, as a duty of nobody;
// false where nobody is asked.
func (b Book) Question() (Duty, bool) {
	if b.season == nil {
		return Duty{}, false
	}
	return Duty{Game: b.season.Game, Seat: StaySeat, Visit: *b.season.Told}, true
}

// Stays is the question for each of some people, to be put beside their duties.
func (b Book) Stays(people []Who) []Duty {
	question, asked := b.Question()
	if !asked {
		return nil
	}
	list := make([]Duty, len(people))
	for i, who := range people {
		list[i] = question
		list[i].Who = who
	}
	return list
}

// Staying is what somebody said of the season that began last.
func (b Book) Staying(who Who) Status {
	question, asked := b.Question()
	if !asked {
		return NotAsked
	}
	return b.Of(question.Game, StaySeat, who).Status
}

func (d Duty) asksWhetherToStay() bool { return d.Seat == StaySeat }

// answered: whoever said whether they stay is not reminded of it.
func (b Book) answered(d Duty) bool {
	status := b.Of(d.Game, d.Seat, d.Who).Status
	return status != NotAsked && status != Waiting
}
