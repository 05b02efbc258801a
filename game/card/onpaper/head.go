package onpaper

import (
	"strconv"
	"strings"
)

const headPoints = 10.5

// head places the rink, its board and the notes, and returns where the rest of the page
// begins.
func (s *setter) head() float64 {
	y := Margin + 7
	name, size := s.card.Rink, 26.0
	for ; s.wide("B", name)*size > s.paper.Width-2*Margin-40 && size > 12; size-- {
	}
	s.part()
	s.put(Title, Margin, y, "B", size, name)
	title := s.say("card.title")
	s.part()
	s.put(Part, s.paper.Width-Margin-s.wide("", title)*12, y, "", 12, title)
	y += 3
	s.line(Margin, y, s.paper.Width-2*Margin, 0.6)
	for _, text := range []string{s.board(), s.card.Notes, s.say("card.how")} {
		if text == "" {
			continue
		}
		s.part()
		for _, line := range s.split("", text, (s.paper.Width-2*Margin)/headPoints) {
			y += leading(headPoints, 1.25)
			s.put(Part, Margin, y, "", headPoints, line)
		}
	}
	return y + 4
}

// board says in a line what the board shows.
func (s *setter) board() string {
	b := s.card.Board
	if b.PenaltyLines == 0 {
		return s.say("card.board.none")
	}
	parts := []string{s.say("card.board.lines", "count", strconv.Itoa(b.PenaltyLines))}
	if b.PenaltyLines == 1 {
		parts[0] = s.say("card.board.line")
	}
	switch {
	case !b.ShowsNumbers:
		parts = append(parts, s.say("card.board.no_numbers"))
	case b.NumberDigits == 2:
		parts = append(parts, s.say("card.board.two_digits"))
	default:
		parts = append(parts, s.say("card.board.numbers"))
	}
	parts = append(parts, s.say("card.board.most", "minutes", strconv.Itoa(b.MostMinutes)))
	if b.CountsInIntermission {
		parts = append(parts, s.say("card.board.counts"))
	}
	return strings.Join(parts, " ")
}

// split breaks a text into lines of a width, given in millimetres for each point of the text.
func (s *setter) split(style, text string, width float64) []string {
	return Lines(text, width, func(text string) float64 { return s.wide(style, text) })
}
