package main

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"path/filepath"

	"whistlestop/game/message"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/hub/office"
)

type hubAssociationCommand struct {
	Name string `arg:""`
	Data string `type:"path"`
}

// hubAssociation begins a further association in a hub, which may be running, and
// prints the link for its first admin.
func (p *Program) hubAssociation(ctx context.Context, c hubAssociationCommand) error {
	if _, err := p.besideHub(ctx, c.Data); err != nil {
		return err
	}
	all, err := p.hub.store.Associations(ctx)
	if err != nil {
		return err
	}
	for _, a := range all {
		if a.Name == c.Name {
			return message.New("hub.command.named", "name", c.Name)
		}
	}
	one := office.Association{ID: newAssociation(), Name: c.Name, Made: office.Now()}
	desk := office.New(p.hub.store, one.ID, office.Now, rand.Reader)
	if err := p.begun(ctx, one, desk); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	return p.linkBeside(ctx, desk)
}

// begun begins an association. At its benches the names of people end, unless an admin
// decides otherwise.
func (p *Program) begun(ctx context.Context, one office.Association, notes *office.Office) error {
	if err := p.hub.store.Found(ctx, one, notes.Note(office.Here, "founded", one.ID, "")); err != nil {
		return err
	}
	return p.hub.store.Turn(ctx, one.ID, office.NamesEnd, true, notes.Note(office.Here, "turned_on", string(office.NamesEnd), ""))
}

// newAssociation is the id of one, which nobody has to guess or not to.
func newAssociation() string {
	raw := make([]byte, 8)
	_, _ = rand.Read(raw) // never fails
	return hex.EncodeToString(raw)
}

// hubLink prints another link that makes an admin of an association, once.
func (p *Program) hubLink(ctx context.Context, c hubLinkCommand) error {
	if c.Postgres != "" {
		return p.nationalLink(ctx, c)
	}
	desk, err := p.besideHub(ctx, c.Data)
	if err != nil {
		return err
	}
	if c.Association != "" {
		all, err := p.hub.store.Associations(ctx)
		if err != nil {
			return err
		}
		desk = nil
		for _, a := range all {
			if a.Name == c.Association || a.ID == c.Association {
				desk = office.New(p.hub.store, a.ID, office.Now, rand.Reader)
			}
		}
		if desk == nil {
			return message.New("hub.command.no_association", "name", c.Association, "folder", p.folder)
		}
	}
	return p.linkBeside(ctx, desk)
}

// linkBeside prints a link with the address that a hub in this folder noted.
func (p *Program) linkBeside(ctx context.Context, desk *office.Office) error {
	address, err := privatefile.At(filepath.Join(p.folder, hubAddressFile)).Read()
	if err != nil || address == nil {
		return message.New("hub.command.none", "folder", p.folder)
	}
	return p.printLink(ctx, desk, string(address))
}
