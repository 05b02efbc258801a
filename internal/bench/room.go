package bench

import (
	"strconv"

	"whistlestop/game/entry"
)

// How much a game takes (ours). A long game has some hundreds of entries, and a
// busy seat twenty a minute; what comes near these numbers is a program that has
// gone wrong, or somebody who means harm.
const (
	seatMinuteMost = 300    // entries of one seat in a minute
	seatsGameMost  = 10_000 // entries of a game, after which no seat's are taken
	clockGameMost  = 15_000 // the same for the clock's own entries of a seat
	benchGameMost  = 20_000 // the same for the bench itself
	seatPlaysMost  = 400    // goals and calls that count
	benchPlaysMost = 500
	minute         = entry.Millis(60_000)
)

// pace counts what each seat posted in the minute under way.
type pace struct {
	since entry.Millis
	count map[string]int
}

// posted counts entries of a seat, and reports whether it may post so many.
func (p *pace) posted(seat string, entries int, now entry.Millis) bool {
	if p.count == nil || now >= p.since+minute || now < p.since {
		p.since, p.count = now, map[string]int{}
	}
	if p.count[seat]+entries > seatMinuteMost {
		return false
	}
	p.count[seat] += entries
	return true
}

// room refuses what is too much for a game. A seat that floods the bench stops
// itself, long before it stops the bench, and nobody ever stops the bench's own
// clock.
func (g *game) room(p Poster, fresh []entry.Entry) error {
	if len(fresh) == 0 {
		return nil
	}
	if p.Seat != "" && !g.pace.posted(string(p.Seat)+"/"+p.Name, len(fresh), g.bench.Now()) {
		return problem(TooMany, nil, "bench.seat_too_fast", "most", strconv.Itoa(seatMinuteMost))
	}
	count := len(g.ledger)
	played := len(g.update.State.Goals) + len(g.update.State.Calls)
	for _, d := range fresh {
		clock := worksClock(d.Kind())
		most, plays, key := benchGameMost, benchPlaysMost, "bench.game_full"
		if p.Seat != "" {
			most, plays, key = seatsGameMost, seatPlaysMost, "bench.game_full_seats"
			if clock {
				most = clockGameMost
			}
		}
		if count++; count > most && (p.Seat != "" || !clock) {
			return refuse(d.ID, "entries", say(key, "most", strconv.Itoa(most)))
		}
		if d.Kind() == entry.KindGoal || d.Kind() == entry.KindPenalty {
			if played++; played > plays {
				return refuse(d.ID, "entries", say("bench.game_full_plays", "most", strconv.Itoa(plays)))
			}
		}
	}
	return nil
}

// worksClock reports whether an entry of the kind is part of running the clock.
func worksClock(k entry.Kind) bool {
	return touchesClock(k) && !edits(k)
}
