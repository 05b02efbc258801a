package office

// Switch is something that an association turns on for itself. All are off at first.
type Switch string

// The switches.
const (
	// TablesForAll shows tables, results and figures by numbers to whoever has the address.
	TablesForAll Switch = "tables"
	// PlacesBefore tells in which rink a game will be, before it is over.
	PlacesBefore Switch = "places"
	// Initials shows players of 14 to 17 by first name and initial, and not by number alone.
	Initials Switch = "initials"
)

// Switches are all of them, in the order in which pages show them.
var Switches = []Switch{TablesForAll, PlacesBefore, Initials}
