package entry

// Text says what kind of text about a person stands in a place of an entry.
type Text string

// The texts about people that an entry can carry.
const (
	TextPlayer   Text = "player"   // name of a player
	TextStaff    Text = "staff"    // name of a coach or another of a team's staff
	TextOfficial Text = "official" // name of an official, of the crew, of who confirmed or signed; a code that stands for one
	TextDrawing  Text = "drawing"  // a drawn signature
	TextRemark   Text = "remark"   // what somebody wrote down: a note, a reason
	TextDevice   Text = "device"   // name of the device that it was entered from
)

// TakenOut stands on screens and on paper where a text about a person was taken
// out and something has to stand.
const TakenOut = "\u2014"

// Gone is what stands in place of a text of the kind that nobody knows any more.
// A player is then a number; a drawing or a device is nothing.
func (t Text) Gone() string {
	switch t {
	case TextStaff, TextOfficial, TextRemark:
		return TakenOut
	case TextPlayer, TextDrawing, TextDevice:
		return ""
	}
	return ""
}

// MapTexts returns a copy of the entry in which each text about a person is what
// change makes of it. It comes to every place in the same order, also where
// nothing stands: the number of places follows from the rest of the entry. The
// entry itself stays as it is.
func MapTexts(e Entry, change func(what Text, text string) string) Entry {
	e.By = change(TextDevice, e.By)
	if e.Body != nil {
		e.Body = MapBody(e.Body, change)
	}
	return e
}

// MapBody is MapTexts for what an entry says.
func MapBody(b Body, change func(what Text, text string) string) Body {
	switch b := b.(type) {
	case GameOpened:
		b.Home, b.Visitors = mapTeam(b.Home, change), mapTeam(b.Visitors, change)
		return b
	case RosterSet:
		b.Team = mapTeam(b.Team, change)
		return b
	case RosterConfirmed:
		b.By = change(TextOfficial, b.By)
		return b
	case CrewSet:
		b.Officials = mapOfficials(b.Officials, TextOfficial, change)
		b.Crew = mapOfficials(b.Crew, TextOfficial, change)
		return b
	case Signed:
		b.Name, b.Code = change(TextOfficial, b.Name), change(TextOfficial, b.Code)
		b.Drawing = change(TextDrawing, b.Drawing)
		return b
	case Sealed:
		b.Missing = change(TextRemark, b.Missing)
		return b
	case Note:
		b.Text = change(TextRemark, b.Text)
		return b
	case Struck:
		b.Reason = change(TextRemark, b.Reason)
		return b
	case Amended:
		if b.To != nil {
			b.To = MapBody(b.To, change)
		}
		return b
	default:
		return b
	}
}

func mapTeam(t Team, change func(Text, string) string) Team {
	if t.Players != nil {
		players := make([]Player, len(t.Players))
		for i, p := range t.Players {
			p.Name = change(TextPlayer, p.Name)
			players[i] = p
		}
		t.Players = players
	}
	t.Staff = mapOfficials(t.Staff, TextStaff, change)
	return t
}

func mapOfficials(list []Official, what Text, change func(Text, string) string) []Official {
	if list == nil {
		return nil
	}
	changed := make([]Official, len(list))
	for i, o := range list {
		o.Name = change(what, o.Name)
		changed[i] = o
	}
	return changed
}
