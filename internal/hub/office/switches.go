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

	// OlderTaken takes ledgers of version 1 with the names that are in their lines, and
	// takes the names out before anything is kept.
	OlderTaken Switch = "older"
	// OlderNamed keeps the names of players that were in such lines as it keeps those that
	// lie beside newer ones. It counts with OlderTaken only.
	OlderNamed Switch = "older_names"

	// NamesEnd has benches take the names of a sealed game's people out of what they keep.
	// It is on in associations that are founded, and off in those that were there before.
	NamesEnd Switch = "names_end"
)

// Older is what an association decided about ledgers of version 1.
type Older string

// The decisions. Without one they are refused.
const (
	OlderRefused Older = "refuse"
	OlderWithout Older = "without" // taken without names
	OlderWith    Older = "with"    // taken, and names of players are kept apart
)

// Olders are all of them, in the order in which pages show them.
var Olders = []Older{OlderRefused, OlderWithout, OlderWith}

// OlderOf is the decision that follows from what is turned on.
func OlderOf(on map[Switch]bool) Older {
	switch {
	case !on[OlderTaken]:
		return OlderRefused
	case !on[OlderNamed]:
		return OlderWithout
	}
	return OlderWith
}

// Switches are all of them, in the order in which pages show them.
var Switches = []Switch{TablesForAll, PlacesBefore, Initials}
