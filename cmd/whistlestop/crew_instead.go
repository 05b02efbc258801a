package main

import (
	"whistlestop/internal/wording"
)

type crewFill struct {
	crewLogged
	Game string `arg:""`
	Seat string `arg:""`
}

type crewSwap struct {
	crewLogged
	Game      string `arg:""`
	Seat      string `arg:""`
	OtherGame string `arg:"" optional:""`
	OtherSeat string `arg:"" optional:""`
}

// crewFill writes to whoever is to be asked now about a seat that somebody left, and
// notes them as asked.
func (p *Program) crewFill(c crewFill) error {
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	slot, err := d.Slot(c.Game, c.Seat)
	if err != nil {
		return err
	}
	rung := d.Ladder(slot)
	messages := d.Instead(slot, rung.Ask)
	d.Sent(messages)
	if err := keepLog(file, d.Log); err != nil {
		return err
	}
	p.lines(wording.OfDesk(p.words, d).Rung(slot, rung))
	return p.writeMessages(d, messages)
}

// crewSwap says with whom somebody could change places, or does it.
func (p *Program) crewSwap(c crewSwap) error {
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	slot, err := d.Slot(c.Game, c.Seat)
	if err != nil {
		return err
	}
	say := wording.OfDesk(p.words, d)
	if c.OtherGame == "" {
		p.lines(say.Swaps(slot, d.Swaps(slot)))
		return nil
	}
	other, err := d.Slot(c.OtherGame, c.OtherSeat)
	if err != nil {
		return err
	}
	barriers, err := d.Swap(slot, other)
	if err != nil {
		return err
	}
	if len(barriers) > 0 {
		p.lines(say.Barriers(barriers))
		return nil
	}
	kept, err := readRota(c.Rota)
	if err != nil {
		return err
	}
	if err := keepLog(file, d.Log); err != nil {
		return err
	}
	if err := keepRota(c.Rota, d.Kept(kept)); err != nil {
		return err
	}
	p.lines(wording.OfDesk(p.words, d).Swapped(slot, other))
	return nil
}
