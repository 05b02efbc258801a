package bench

import (
	"slices"

	"whistlestop/game/entry"
)

// Reading is a part of a game that not every seat needs for its work.
type Reading string

// What is read apart from score, clock, numbers, penalties and who is due out,
// which everybody may see, and from how the bench works, which every seat sees.
const (
	ReadNames         Reading = "names"         // of players and of a team's staff; who is suspended
	ReadNotes         Reading = "notes"         // what others wrote down: remarks, injuries, reasons
	ReadPeople        Reading = "people"        // officials, crew, signatures, who confirmed, whose device entered what
	ReadReport        Reading = "report"        // the report in any form, what does not add up, whether it was touched
	ReadRosters       Reading = "rosters"       // rosters as leagues send them
	ReadCards         Reading = "cards"         // the rink's card and its steps
	ReadSlot          Reading = "slot"          // when the game will end
	ReadAnnouncements Reading = "announcements" // what is to be said, with names
	ReadCopy          Reading = "copy"          // the ledger for a second copy, without what else the seat may not see
)

// Readings lists every reading.
var Readings = []Reading{
	ReadNames, ReadNotes, ReadPeople, ReadReport, ReadRosters, ReadCards, ReadSlot, ReadAnnouncements, ReadCopy,
}

// Readers lists the seats that may read something, beside the bench itself.
func Readers(r Reading) []entry.Seat {
	switch r {
	case ReadNotes, ReadPeople, ReadReport, ReadRosters:
		return []entry.Seat{entry.BookSeat}
	case ReadNames, ReadAnnouncements:
		return []entry.Seat{entry.BookSeat, entry.VoiceSeat}
	case ReadCards, ReadSlot:
		return []entry.Seat{entry.ClockSeat, entry.BookSeat}
	case ReadCopy:
		return []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.BookSeat, entry.ShotsSeat, entry.VoiceSeat}
	}
	return nil
}

// Reads reports whether a seat may read something. No seat is the bench itself.
func Reads(seat entry.Seat, r Reading) bool {
	return seat == "" || slices.Contains(Readers(r), seat)
}
