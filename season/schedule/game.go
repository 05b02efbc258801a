package schedule

import (
	"fmt"
	"strconv"
	"strings"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/season/league"
)

// State is where a game of a schedule stands. Beside scheduled there are six, because
// a game that was called off for good and one that will be played later differ.
type State string

// The states.
const (
	ToBeConfirmed State = "to_be_confirmed" // its time or ice is not settled
	Scheduled     State = "scheduled"
	Postponed     State = "postponed" // will be played at a time not yet known
	Cancelled     State = "cancelled"
	Forfeited     State = "forfeited"
	Abandoned     State = "abandoned" // begun and not ended
	Played        State = "played"
)

// States are all of them.
var States = []State{ToBeConfirmed, Scheduled, Postponed, Cancelled, Forfeited, Abandoned, Played}

// Place is when and where a game is.
type Place struct {
	Rink    string      `json:"rink"` // its id
	Sheet   int         `json:"sheet"`
	Day     dates.Day   `json:"day"`
	Start   dates.Clock `json:"start"`
	Minutes int         `json:"minutes"` // of ice
}

const dayMinutes = 24 * 60

// Begin is when the ice begins, in minutes on the rink's clock.
func (p Place) Begin() int { return int(p.Day)*dayMinutes + int(p.Start) }

// End is the first minute after the ice.
func (p Place) End() int { return p.Begin() + p.Minutes }

// Game is a game of a schedule. It keeps its id through every change.
type Game struct {
	ID       string `json:"id"` // division and number: u14-007
	Division string `json:"division"`
	Round    int    `json:"round"` // from 1
	Home     string `json:"home"`  // team ids
	Visitors string `json:"visitors"`
	State    State  `json:"state"`
	Place    *Place `json:"place,omitempty"` // nil: none yet, or none any more
	Was      []Was  `json:"was,omitempty"`   // the oldest first

	Added *dates.Day `json:"added,omitempty"` // when it was put on the schedule, where that was after it was made
	UID   string     `json:"uid,omitempty"`   // by which the file that it was read from knows it
}

// Was is how a game stood before a change.
type Was struct {
	State State  `json:"state"`
	Place *Place `json:"place,omitempty"`
	Why   string `json:"why"` // of the change that followed
}

// Sequence counts the changes, as calendars want it.
func (g Game) Sequence() int { return len(g.Was) }

// LastPlace is where the game is, or was the last time that it had a place; nil: it
// never had one.
func (g Game) LastPlace() *Place {
	at := g.Place
	for i := len(g.Was) - 1; at == nil && i >= 0; i-- {
		at = g.Was[i].Place
	}
	return at
}

// Change is the game at another time or place, or in another state. What was stays
// readable. A change needs a reason, and a game that was played stays where it was.
func (g Game) Change(to State, place *Place, why string) (Game, error) {
	switch {
	case why == "":
		return g, message.New("change.reason", "game", g.ID)
	case g.State == Played:
		return g, message.New("change.played", "game", g.ID)
	case to == Scheduled && place == nil:
		return g, message.New("change.no_place", "game", g.ID)
	case to == Postponed && place != nil:
		return g, message.New("change.place", "game", g.ID)
	}
	was := append([]Was(nil), g.Was...) // of its own: other versions of the game keep theirs
	g.Was = append(was, Was{State: g.State, Place: g.Place, Why: why})
	g.State, g.Place = to, place
	return g, nil
}

// Games is who meets whom in a league, division by division, with no time yet: a
// round robin for each meeting, home and away exchanged from one to the next.
func Games(l league.League) ([]Game, error) {
	var games []Game
	for _, d := range l.Divisions {
		once, err := RoundRobin(len(d.Teams))
		if err != nil {
			return nil, message.Because(err, "schedule.division", "division", d.ID)
		}
		number := 0
		for r, round := range meetings(once, d.Meetings) {
			for _, p := range round {
				number++
				games = append(games, Game{
					ID: fmt.Sprintf("%s-%03d", d.ID, number), Division: d.ID, Round: r + 1,
					Home: d.Teams[p.Home].ID, Visitors: d.Teams[p.Away].ID, State: ToBeConfirmed,
				})
			}
		}
	}
	return games, nil
}

// renumber lets the numbers of each division's games go on behind those that are taken.
func renumber(games []Game, taken []string) {
	last := numbers(taken)
	number := map[string]int{}
	for i, g := range games {
		number[g.Division]++
		games[i].ID = fmt.Sprintf("%s-%03d", g.Division, last[g.Division]+number[g.Division])
	}
}

// numbers are the highest numbers of each division's games among some ids.
func numbers(ids []string) map[string]int {
	last := map[string]int{}
	for _, id := range ids {
		at := strings.LastIndexByte(id, '-')
		if n, err := strconv.Atoi(id[at+1:]); err == nil && at > 0 {
			last[id[:at]] = max(last[id[:at]], n)
		}
	}
	return last
}

// meetings is a round robin so many times.
func meetings(once []Round, times int) []Round {
	var all []Round
	for ; times >= 2; times -= 2 {
		all = append(all, Twice(once)...)
	}
	if times == 1 {
		all = append(all, once...)
	}
	return all
}
