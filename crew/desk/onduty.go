package desk

import (
	"whistlestop/crew/duties"
	"whistlestop/crew/onduty"
	"whistlestop/game/dates"
)

// OnDuty is who is on duty at the games of some days, for a bench that does not have
// the desk. Seats that nobody has are left out.
func (d *Desk) OnDuty(from, to dates.Day) onduty.File {
	file, book := onduty.File{League: d.League.Name, Made: d.Now, Games: []onduty.Game{}}, d.Log.Work()
	game := -1
	for i, one := range d.Duties {
		slot := d.Plan.Slots[i]
		g := d.Plan.Games[slot.Game]
		if one.Name == "" || g.Day < from || g.Day > to {
			continue
		}
		if slot.Game != game {
			game = slot.Game
			file.Games = append(file.Games, onduty.Game{
				ID: g.ID, Day: g.Day, Start: g.Start, Home: d.League.TeamName(g.Teams[0]), Visitors: d.League.TeamName(g.Teams[1]),
			})
		}
		at := &file.Games[len(file.Games)-1]
		at.Seats = append(at.Seats, onduty.Seat{
			ID: one.Seat, Kind: slot.Seat.Kind, There: one.There, Name: Short(one.Name), Mark: book.Of(one.Game, one.Seat, one.Who).Mark,
			Came: d.Log.Code(one, duties.SayCame), Missed: d.Log.Code(one, duties.SayMissed), Unmarked: d.Log.Code(one, duties.SayUnmarked),
		})
	}
	return file
}
