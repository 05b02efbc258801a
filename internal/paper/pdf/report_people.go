package pdf

import (
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/record/report"
)

// people writes officials and crew, and room for the signatures.
func (s *reportSheet) people() {
	list := func(title string, people []entry.Official) grid {
		g := grid{title: title, none: s.say("paper.nobody"), rest: 1, columns: []column{
			{title: s.say("paper.role"), width: 30}, {title: s.say("paper.name")},
		}}
		for _, p := range people {
			g.rows = append(g.rows, cells{text: []string{s.say("role." + string(p.Role)), p.Name}})
		}
		return g
	}
	if len(s.doc.Officials)+len(s.doc.Crew) > 0 {
		s.grids([]float64{1, 1}, list(s.say("paper.officials"), s.doc.Officials), list(s.say("paper.crew"), s.doc.Crew))
	}
	s.signatures()
}

const (
	boxHigh  = 13.0 // millimetres of a signature
	boxesAcr = 4    // across the page
)

// signatures draws the signatures, or boxes for a pen where there are none yet.
func (s *reportSheet) signatures() {
	list := s.doc.Signatures
	if len(list) == 0 {
		for _, role := range []entry.Role{entry.Referee, entry.Linesperson, entry.Scorer, entry.OtherRole} {
			list = append(list, report.Signature{Role: role})
		}
	}
	width := (s.width - 2*margin - gap*(boxesAcr-1)) / boxesAcr
	high := func(row []report.Signature) float64 {
		lines := 1
		for _, one := range row {
			name, _ := s.lay(s.signer(one), width, s.points, "B")
			lines = max(lines, len(name))
		}
		return boxHigh + float64(1+lines)*s.line()
	}
	s.room(s.line() + high(list[:min(boxesAcr, len(list))]))
	s.y += s.line()
	s.put(s.tag(nil, roleHeading), s.say("paper.signatures"), margin, s.y, s.width-2*margin, s.points+1.5, "B", false)
	s.y += s.line() * 0.4
	for row := range slices.Chunk(list, boxesAcr) {
		s.room(high(row))
		for i, one := range row {
			x := margin + float64(i)*(width+gap)
			if one.Drawing != "" && !s.dry {
				s.sign(one, x+2, s.y+1, width-4, boxHigh-2)
			}
			s.rule(x, s.y+boxHigh, width, 0.25)
			e := s.tag(nil, rolePart)
			s.put(e, s.say("role."+string(one.Role)), x, s.y+boxHigh+s.line()*0.9, width, s.points, "", false)
			s.put(e, s.signer(one), x, s.y+boxHigh+s.line()*1.8, width, s.points, "B", false)
		}
		s.y += high(row)
	}
}

// signer is who signed, and with what.
func (s *reportSheet) signer(one report.Signature) string { return join(" · ", one.Name, s.code(one)) }

// code is what stands for a pen.
func (s *reportSheet) code(one report.Signature) string {
	if one.Code == "" {
		return ""
	}
	return s.say("paper.signed_code", "code", one.Code)
}

// besides reports whether there is anything for a second page.
func (s *reportSheet) besides() bool {
	d := s.doc
	return len(d.Notes)+len(d.Delays)+len(d.Owed)+len(d.Corrections.List)+len(s.unprinted()) > 0 || s.onIceKept() || s.missing() != ""
}

// missing is the reason that the last seal gives for what is still owed.
func (s *reportSheet) missing() string {
	if n := len(s.doc.Seals); n > 0 {
		return s.doc.Seals[n-1].Missing
	}
	return ""
}

// incidents is what stands on the second page.
func (s *reportSheet) incidents() {
	d := s.doc
	if list := s.unprinted(); len(list) > 0 {
		s.heading("paper.unprinted")
		for _, one := range list {
			s.paragraph("– "+one, "")
		}
		s.paragraph(s.say("paper.unprinted_do"), "")
	}
	if len(d.Notes) > 0 {
		s.heading("paper.incidents")
		for _, n := range d.Notes {
			about := "@paper.about.remark"
			if n.About != entry.Remark {
				about = "@paper.about." + string(n.About)
			}
			s.paragraph(s.say("paper.note", "when", s.when(n.At), "about", about, "text", n.Text), "")
		}
	}
	if len(d.Delays) > 0 {
		s.heading("paper.delays")
		for _, one := range d.Delays {
			s.paragraph(s.say("paper.delay", "when", s.when(one.At), "why", "@delay."+string(one.Why)), "")
		}
	}
	if len(d.Owed) > 0 || s.missing() != "" {
		s.heading("paper.owed")
		if s.missing() != "" {
			s.paragraph(s.say("paper.reason", "reason", s.missing()), "B")
		}
		for _, item := range d.Owed {
			s.paragraph("– "+s.words.Text(item.Say.Key, item.Say.Args), "")
		}
	}
	s.onIce()
	if len(d.Corrections.List) > 0 {
		s.heading("paper.corrections")
		for _, c := range d.Corrections.List {
			key := "paper.amended"
			if c.Struck {
				key = "paper.struck"
			}
			text := s.say(key, "what", s.words.Text(c.Say.Key, c.Say.Args))
			if c.Reason != "" {
				text = s.say("paper.because", "what", text, "reason", c.Reason)
			}
			if c.By != "" {
				text = s.say("paper.by", "what", text, "by", c.By)
			}
			s.paragraph(text, "")
		}
	}
}

func (s *reportSheet) heading(key string) {
	s.room(4 * s.line())
	s.y += 1.6 * s.line()
	s.put(s.tag(nil, roleHeading), s.say(key), margin, s.y, s.width-2*margin, s.points+1.5, "B", false)
	s.rule(margin, s.y+s.line()*0.28, s.width-2*margin, 0.3)
	s.y += 0.3 * s.line()
}

// when is a moment in words.
func (s *reportSheet) when(at report.Stamp) string {
	if at.Period == 0 {
		return s.say("stage.setup")
	}
	return s.say("paper.when", "period", s.period(at.Period), "time", at.Text)
}

func (s *reportSheet) onIceKept() bool {
	for _, g := range s.doc.Goals {
		if len(g.OnIce[0])+len(g.OnIce[1]) > 0 {
			return true
		}
	}
	return false
}

// onIce lists who was on the ice at each goal, where a league keeps it.
func (s *reportSheet) onIce() {
	if !s.onIceKept() {
		return
	}
	g := grid{title: s.say("paper.on_ice"), rest: 3, columns: []column{
		{title: s.say("paper.period_short"), width: 6}, {title: s.say("paper.time"), width: 10, right: true},
		{title: s.team(entry.Home), width: 80}, {title: s.team(entry.Visitors)},
	}}
	for _, goal := range s.doc.Goals {
		row := []string{s.period(goal.At.Period), goal.At.Text}
		for _, list := range goal.OnIce {
			text := ""
			for i, j := range list {
				if i > 0 {
					text += ", "
				}
				text += string(j)
			}
			row = append(row, text)
		}
		g.rows = append(g.rows, cells{text: row})
	}
	s.grids([]float64{1}, g)
}

// runningHead says on every further page which game it is.
func (s *reportSheet) runningHead() {
	s.y += 4
	lines := s.put(nil, s.title(), margin, s.y, s.width-2*margin-50, 11, "B", false)
	lines = max(lines, s.put(nil, s.doc.Head.Number, s.width-margin-48, s.y, 48, 11, "", true))
	s.y += 1.6 + float64(lines-1)*leading(11)
	s.rule(margin, s.y, s.width-2*margin, 0.4)
}

// The foot of a page, in millimetres and points.
const (
	footUsual  = 9.0
	footPoints = 10.0
	footRight  = 30.0 // for the number of the page
)

// closing is what stands at the foot of every page: by what the paper can be checked.
func (s *reportSheet) closing() string {
	last := len(s.doc.Seals)
	if last == 0 {
		return s.say("paper.unsealed")
	}
	key, newest := "paper.fingerprint", s.doc.Seals[last-1]
	if !s.doc.Sealed {
		key = "paper.fingerprint_old"
	}
	return s.say(key, "version", strconv.Itoa(newest.Version), "fingerprint", newest.Fingerprint)
}

// footHigh is the room that the foot needs.
func (s *reportSheet) footHigh() float64 {
	lines, _ := s.lay(s.closing(), s.width-2*margin-footRight, footPoints, "B")
	return footUsual + float64(len(lines)-1)*leading(footPoints)
}

// foot writes under a page by what the paper can be checked, and which page it is.
// It is read out once.
func (s *reportSheet) foot(page, pages int) {
	width, height := s.GetPageSize()
	s.SetFont(faces[0].name, "", 1) // the page may have ended in another one
	y := height - margin - (s.under - footUsual)
	s.rule(margin, y-6.5, width-2*margin, 0.3)
	var seal, made *element
	if page == 1 {
		seal, made = s.tag(nil, rolePart), s.tag(nil, rolePart)
	}
	s.put(seal, s.closing(), margin, y-2.6, s.width-2*margin-footRight, footPoints, "B", false)
	s.put(nil, s.say("paper.page", "page", strconv.Itoa(page), "pages", strconv.Itoa(pages)), width-margin-footRight, y-2.6, footRight, footPoints, "", true)
	s.put(made, s.say("paper.made", "game", s.doc.Game, "entries", strconv.Itoa(s.doc.Seq)), margin, height-margin+1, width-2*margin, 7.5, "", false)
}
