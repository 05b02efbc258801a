package rulebook

import "whistlestop/game/message"

// OwnDivision is the file of a league's own division. Bad says why it cannot be
// used.
type OwnDivision struct {
	Name     string
	Division Division
	Bad      error
}

// ErrUnwritable is a value that a division file cannot say, such as a part of a
// tenth of a second.
var ErrUnwritable = message.New("division_file.unwritable")
