package pdf

// unprinted says of which texts some letters are in no face, and stand as
// question marks on the page: whose name, or which line.
func (s *reportSheet) unprinted() (list []string) {
	d := s.doc
	see := func(text, key string, pairs ...string) {
		if lacking(text) {
			list = append(list, s.say(key, pairs...))
		}
	}
	head := d.Head
	for _, text := range []string{head.Number, head.League, head.Division, head.Venue, head.Date} {
		see(text, "paper.unprinted.head")
	}
	for _, team := range d.Teams {
		see(team.Name, "paper.unprinted.team."+string(team.Side))
		if s.names {
			for _, p := range team.Players {
				see(p.Name, "paper.unprinted.player."+string(team.Side), "number", string(p.Number))
			}
		}
		see(team.Confirmed, "paper.unprinted.confirmed."+string(team.Side))
		for _, p := range team.Staff {
			see(p.Name, "paper.unprinted.staff."+string(team.Side), "role", "@role."+string(p.Role))
		}
	}
	for _, p := range append(d.Officials[:len(d.Officials):len(d.Officials)], d.Crew...) {
		see(p.Name, "paper.unprinted.person", "role", "@role."+string(p.Role))
	}
	for _, one := range d.Signatures {
		see(one.Name+one.Code, "paper.unprinted.signed", "role", "@role."+string(one.Role))
	}
	for _, n := range d.Notes {
		see(n.Text, "paper.unprinted.note", "when", s.when(n.At))
	}
	for _, c := range d.Corrections.List {
		see(c.Reason+c.By+s.words.Text(c.Say.Key, c.Say.Args), "paper.unprinted.correction")
	}
	see(s.missing(), "paper.unprinted.missing")
	return list
}
