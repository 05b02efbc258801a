package report

import (
	"encoding/json"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// ErrForm is returned for a file that is no report of this program, or one of a
// newer form.
var ErrForm = message.New("sheet.no_report")

// Read reads a report that was written as JSON. What it says may be wrong, but it
// has the form of a report: its division can be played, its sides are sides.
func Read(text []byte) (Document, error) {
	var d Document
	if err := json.Unmarshal(text, &d); err != nil {
		return Document{}, err
	}
	if d.Version > Version || d.Version < 0 {
		return Document{}, ErrForm
	}
	if err := d.Division.Validate(); err != nil {
		return Document{}, err
	}
	if !d.sound() {
		return Document{}, ErrForm
	}
	return d, nil
}

// sound reports whether all lines have a side and moments that a game can have.
func (d *Document) sound() bool {
	ok := d.Teams[0].Side == entry.Home && d.Teams[1].Side == entry.Visitors
	stamp := func(s *Stamp) {
		ok = ok && (s == nil || s.Period >= 0 && s.Period <= 99 && s.Elapsed >= 0 && s.Left >= 0 && s.Abs >= 0)
	}
	line := func(s *Stamp, side entry.Side, both bool) {
		stamp(s)
		ok = ok && (side.Valid() || both && side == "")
	}
	for _, p := range d.Periods {
		ok = ok && p.Period > 0 && p.Period <= 99 && p.Length >= 0
	}
	for i := range d.Goals {
		line(&d.Goals[i].At, d.Goals[i].Side, false)
	}
	for i := range d.Penalties {
		p := &d.Penalties[i]
		line(&p.Off, p.Side, false)
		stamp(p.Start)
		stamp(p.End)
		stamp(p.On)
		ok = ok && p.Part >= 0 && p.Part < 99
	}
	for i := range d.Changes {
		line(&d.Changes[i].At, d.Changes[i].Side, false)
	}
	for i := range d.TimeOuts {
		line(&d.TimeOuts[i].At, d.TimeOuts[i].Side, true)
	}
	for i := range d.Attempts {
		line(&d.Attempts[i].At, d.Attempts[i].Side, false)
	}
	for _, s := range d.Shots {
		ok = ok && s.Side.Valid()
	}
	for _, k := range d.Goalkeepers {
		ok = ok && k.Side.Valid()
	}
	return ok && (d.ShootOut == nil || d.ShootOut.Winner == "" || d.ShootOut.Winner.Valid())
}
