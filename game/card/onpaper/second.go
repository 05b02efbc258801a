package onpaper

// pairForms are the ways to set what is seen and what to do then: below each other, or on
// one line.
var pairForms = []form{{lead: 1.25}, {lead: 1.12, runOn: true}}

// second places what is turned to when something is wrong.
func (s *setter) second(p *Plan) {
	if c := s.card; len(c.Plugged)+len(c.Trouble)+len(c.Contacts) == 0 {
		return
	}
	for _, f := range pairForms {
		for points := pointsMost; points >= pointsLeast; points -= pointsStep {
			if s.besides(points, f, false) <= s.paper.Height-Margin {
				s.besides(points, f, true)
				p.Second = s.take()
				return
			}
		}
	}
	p.NoSecond = true
}

// besides places what is plugged in, the troubles and the contacts, or only says where they
// would end.
func (s *setter) besides(points float64, f form, draw bool) float64 {
	c, y := s.card, Margin
	y = s.heading(s.say("card.wrong.title", "rink", c.Rink), y, points*1.6, f.lead, draw)
	part := func(title string, lines int, each func(i int) (bold, plain string)) {
		if lines == 0 {
			return
		}
		y = s.heading(title, y+leading(points, f.lead)*0.6, points*1.15, f.lead, draw)
		for i := range lines {
			bold, plain := each(i)
			y = s.pair(bold, plain, y, points, f, draw)
		}
	}
	part(s.say("card.wrong.plugged"), len(c.Plugged), func(i int) (string, string) { return "", c.Plugged[i] })
	part(s.say("card.wrong.trouble"), len(c.Trouble), func(i int) (string, string) { return c.Trouble[i].Shows, c.Trouble[i].Do })
	part(s.say("card.wrong.contacts"), len(c.Contacts), func(i int) (string, string) { return c.Contacts[i].Who, c.Contacts[i].Call })
	return y
}

// heading places a heading over the page's width with a line below it.
func (s *setter) heading(text string, top, points, lead float64, draw bool) float64 {
	y, line := top, leading(points, lead)
	s.part()
	for _, piece := range s.split("B", text, (s.paper.Width-2*Margin)/points) {
		y += line
		if draw {
			s.put(Heading, Margin, y, "B", points, piece)
		}
	}
	if draw {
		s.line(Margin, y+line*0.3, s.paper.Width-2*Margin, 0.3)
	}
	return y + line*0.35
}

// pair places what is seen, or who it is, and what to do or to call: below it, or behind it.
func (s *setter) pair(bold, plain string, top, points float64, f form, draw bool) float64 {
	line := leading(points, f.lead)
	y, width := top+line*0.2, s.paper.Width-2*Margin
	s.part()
	if f.runOn && bold != "" {
		e := flow{left: Margin, width: width, x: Margin, y: y + line, line: line}
		s.styled(&e, "B", bold, points, draw)
		e.x += points * 0.3528 // an em apart
		s.styled(&e, "", plain, points, draw)
		return e.y
	}
	for _, one := range []struct{ style, text string }{{"B", bold}, {"", plain}} {
		for _, piece := range s.split(one.style, one.text, width/points) {
			y += line
			if draw {
				s.put(Part, Margin, y, one.style, points, piece)
			}
		}
	}
	return y
}

// styled sets a text in a style where the one before it ended.
func (s *setter) styled(f *flow, style, text string, points float64, draw bool) {
	rest := f.left + f.width - f.x
	if f.x > f.left && rest < f.width/3 {
		f.x, f.y, rest = f.left, f.y+f.line, f.width
	}
	for i, piece := range s.split(style, text, rest/points) {
		if i > 0 {
			f.x, f.y = f.left, f.y+f.line
		}
		if draw {
			s.put(Part, f.x, f.y, style, points, piece)
		}
		f.x += s.wide(style, piece) * points
	}
}
