package laptop

import (
	"bytes"
	"errors"
	"io"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/message"
	"whistlestop/internal/api"
)

// Cards keeps rink cards. All lists them, those of the folder first, each id
// once. Keep keeps a card that was checked under its id, in place of an older
// one.
type Cards interface {
	All() ([]card.File, error)
	Keep(id string, text []byte) error
}

// PrintCard writes a card as PDF on a paper, which is "a4" or "letter".
type PrintCard func(out io.Writer, c card.Card, paper string, words api.Words) error

// cardFileJSON is a rink card in the list. The card is what an entry of the kind
// card_set takes.
type cardFileJSON struct {
	ID   string `json:"id"`
	Rink string `json:"rink"`
	Demo bool   `json:"demo"`
	// Picture says that there is a photo of the console, which is asked for apart.
	Picture bool      `json:"picture,omitempty"`
	Card    card.Card `json:"card"`
}

func (s *Service) cards(c *api.Call) (cardsJSON, error) {
	files, err := s.cardFiles()
	if err != nil {
		return cardsJSON{}, err
	}
	list := cardsJSON{Cards: []cardFileJSON{}, Damaged: []api.BadCard{}}
	for _, f := range files {
		if f.Bad != nil {
			list.Damaged = append(list.Damaged, api.BadCard{File: f.Name, Why: api.Reason(c.Words, f.Bad)})
			continue
		}
		if f.BadPicture != nil {
			list.Damaged = append(list.Damaged, api.BadCard{File: f.Name, Why: api.Reason(c.Words, f.BadPicture)})
		}
		list.Cards = append(list.Cards, cardFileJSON{
			ID: f.Card.ID, Rink: f.Card.Rink, Demo: f.Demo, Picture: f.Card.Picture != nil, Card: f.Card,
		})
	}
	return list, nil
}

func (s *Service) cardFiles() ([]card.File, error) {
	files, err := s.Cards.All()
	if err != nil {
		s.Logger.Error("read the rink cards", "error", err)
		return nil, api.NotNow("card.not_read")
	}
	return files, nil
}

// keepCard takes a card file, checks it and keeps it.
func (s *Service) keepCard(c *api.Call) (cardFileJSON, error) {
	text, err := c.Body()
	if err != nil {
		return cardFileJSON{}, err
	}
	one, err := card.Parse(text, "card")
	if err != nil {
		return cardFileJSON{}, api.Refuse("card.unusable", "why", message.Inside(err)).About("card")
	}
	if one.Picture != nil {
		anew, err := card.AnewPicture(one.Picture)
		if err != nil {
			return cardFileJSON{}, api.Refuse("card.unusable", "why", message.Inside(err)).About("card")
		}
		if text, _, err = card.Cut(text); err != nil {
			return cardFileJSON{}, err
		}
		text = card.Join(text, anew)
	}
	if err := s.Cards.Keep(one.ID, text); err != nil {
		s.Logger.Error("keep a rink card", "card", one.ID, "error", err)
		return cardFileJSON{}, api.NotNow("card.not_kept")
	}
	c.Location = "/api/cards/" + one.ID + ".toml"
	return cardFileJSON{ID: one.ID, Rink: one.Rink, Picture: one.Picture != nil, Card: one}, nil
}

// cardFile answers with a card as its file, with the picture in it, as the picture
// alone, or as a printed page.
func (s *Service) cardFile(c *api.Call) (api.File, error) {
	id, ending, _ := strings.Cut(c.Part("file"), ".")
	files, err := s.cardFiles()
	if err != nil {
		return api.File{}, err
	}
	for _, f := range files {
		if f.Bad != nil || f.Card.ID != id {
			continue
		}
		switch ending {
		case "toml":
			return api.File{Raw: f.Whole(), Media: "text/plain; charset=utf-8", Name: id + ".toml"}, nil
		case "jpg":
			if f.Card.Picture != nil {
				return api.File{Raw: f.Card.Picture, Media: "image/jpeg"}, nil
			}
		case "pdf":
			return s.printCard(c, f.Card)
		}
	}
	return api.File{}, api.NotThere("card.missing", "card", api.Clip(id))
}

func (s *Service) printCard(c *api.Call, one card.Card) (api.File, error) {
	paper, err := paperOf(c)
	if err != nil {
		return api.File{}, err
	}
	var page bytes.Buffer
	if err := s.Print(&page, one, paper, c.Words); err != nil {
		if no := (*api.No)(nil); errors.As(err, &no) {
			return api.File{}, err // it was not the card's fault
		}
		return api.File{}, api.Refuse("card.not_printed", "why", message.Inside(err))
	}
	return api.File{Raw: page.Bytes(), Media: "application/pdf", Name: one.ID + "-" + paper + ".pdf"}, nil
}

// paperOf is the paper that something is printed on.
func paperOf(c *api.Call) (string, error) {
	switch paper := c.Query("paper"); paper {
	case "":
		return "a4", nil
	case "a4", "letter":
		return paper, nil
	default:
		return "", api.Unread("card.no_paper", "paper", api.Clip(paper))
	}
}
