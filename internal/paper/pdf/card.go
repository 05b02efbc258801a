package pdf

import (
	"io"

	"whistlestop/game/card"
	"whistlestop/game/card/onpaper"
	"whistlestop/game/rules"
)

// Words are the texts of a language for people, by their keys.
type Words interface {
	Text(key string, args rules.Args) string
	Language() string // as a tag of BCP 47
}

// Card prints a rink card on one page: what the board is like, the picture of the
// console with its keys numbered, if there is one, then the steps of
// every happening with a box to tick and the console's keys with each. What is
// filled in during the game stands in a frame. Where picture and steps cannot both be
// read on one page, the picture has one of its own. What is plugged in, what to do if
// something is wrong, and whom to call stand on a last page, if the card says so.
func Card(out io.Writer, c card.Card, paper Paper, words Words) error {
	p, err := newPage(paper, c.Rink, words.Language())
	if err != nil {
		return err
	}
	s := &cardSheet{page: p, card: c, words: words}
	plan := onpaper.Make(c, onpaper.Paper{Width: p.width, Height: p.height}, words, s.measured)
	if !plan.Printable() {
		return ErrTooLong
	}
	if plan.Photo == nil || plan.Alone {
		s.draws(plan.First)
	}
	if plan.Photo != nil {
		if plan.Alone {
			s.AddPage()
			s.draws(plan.Above)
		} else {
			// The head of the page comes before its picture.
			head := headOf(plan.First)
			s.draws(plan.First[:head])
			plan.First = plan.First[head:]
		}
		if err := s.picture(plan.Photo, plan.Legend); err != nil {
			return err
		}
		if !plan.Alone {
			s.draws(plan.First)
		}
	}
	if len(plan.Second) > 0 {
		s.AddPage()
		s.draws(plan.Second)
	}
	return s.finish(out)
}

// headOf is how many pieces stand before the first happening.
func headOf(list []onpaper.Piece) int {
	for i, piece := range list {
		if piece.Role == onpaper.Heading {
			return i
		}
	}
	return len(list)
}

type cardSheet struct {
	*page
	card  card.Card
	words Words
}

func (s *cardSheet) say(key string, pairs ...string) string {
	return s.words.Text(key, rules.Pairs(pairs...))
}

// measured is how wide a text is, in millimetres for each point.
func (s *cardSheet) measured(style, text string) float64 {
	const points = 100
	s.font(style, points)
	return s.wide(legible(text)) / points
}

// draws writes pieces where they stand; those of one sentence are one element.
func (s *cardSheet) draws(list []onpaper.Piece) {
	roles := map[onpaper.Role]string{onpaper.Part: rolePart, onpaper.Heading: roleHeading, onpaper.Title: roleTitle}
	of, e := -1, (*element)(nil)
	for _, piece := range list {
		if piece.Role == onpaper.Aside {
			s.draw(nil, func() {
				s.SetLineWidth(piece.Thick)
				if piece.Height == 0 {
					s.Line(piece.X, piece.Y, piece.X+piece.Width, piece.Y)
				} else {
					s.Rect(piece.X, piece.Y, piece.Width, piece.Height, "D")
				}
			})
			continue
		}
		if piece.Of != of {
			of, e = piece.Of, s.add(nil, roles[piece.Role])
		}
		s.draw(e, func() {
			s.font(piece.Style, piece.Points)
			s.write(piece.X, piece.Y, piece.Text)
		})
	}
}
