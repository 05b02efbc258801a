package pdf

import "io"

// second writes the page that is turned to when something is wrong, and the document.
func (s *cardSheet) second(out io.Writer) error {
	c := s.card
	if len(c.Plugged)+len(c.Trouble)+len(c.Contacts) == 0 {
		return s.finish(out)
	}
	for points := pointsMost; points >= pointsLeast; points -= pointsStep {
		if s.besides(points, false) <= s.height-margin {
			s.AddPage()
			s.besides(points, true)
			return s.finish(out)
		}
	}
	return ErrTooLong
}

// besides writes what is plugged in, the troubles and the contacts, or only says where
// they would end.
func (s *cardSheet) besides(points float64, draw bool) float64 {
	c, y := s.card, margin
	y = s.heading(s.say("card.wrong.title", "rink", c.Rink), y, points*1.6, draw)
	part := func(title string, lines int, each func(i int) (bold, plain string)) {
		if lines == 0 {
			return
		}
		y = s.heading(title, y+leading(points)*0.6, points*1.15, draw)
		for i := range lines {
			bold, plain := each(i)
			y = s.pair(bold, plain, y, points, draw)
		}
	}
	part(s.say("card.wrong.plugged"), len(c.Plugged), func(i int) (string, string) { return "", c.Plugged[i] })
	part(s.say("card.wrong.trouble"), len(c.Trouble), func(i int) (string, string) { return c.Trouble[i].Shows, c.Trouble[i].Do })
	part(s.say("card.wrong.contacts"), len(c.Contacts), func(i int) (string, string) { return c.Contacts[i].Who, c.Contacts[i].Call })
	return y
}

// heading writes a heading over the page's width with a line below it.
func (s *cardSheet) heading(text string, top, points float64, draw bool) float64 {
	s.font("B", points)
	y, line := top, leading(points)
	var e *element
	if draw {
		e = s.add(nil, roleHeading)
	}
	for _, piece := range s.split(legible(text), s.width-2*margin) {
		y += line
		if draw {
			s.draw(e, func() { s.write(margin, y, piece) })
		}
	}
	if draw {
		s.draw(nil, func() {
			s.SetLineWidth(0.3)
			s.Line(margin, y+line*0.3, s.width-margin, y+line*0.3)
		})
	}
	return y + line*0.35
}

// pair writes what is seen, or who it is, and below it what to do or to call.
func (s *cardSheet) pair(bold, plain string, top, points float64, draw bool) float64 {
	y, line := top+leading(points)*0.2, leading(points)
	var e *element
	if draw {
		e = s.add(nil, rolePart)
	}
	for _, one := range []struct{ style, text string }{{"B", bold}, {"", plain}} {
		if one.text == "" {
			continue
		}
		s.font(one.style, points)
		for _, piece := range s.split(legible(one.text), s.width-2*margin) {
			y += line
			if draw {
				s.font(one.style, points)
				s.draw(e, func() { s.write(margin, y, piece) })
			}
		}
	}
	return y
}
