package league

import "slices"

// Rink is a rink by its id.
func (l League) Rink(id string) (Rink, bool) {
	i := slices.IndexFunc(l.Rinks, func(r Rink) bool { return r.ID == id })
	if i < 0 {
		return Rink{}, false
	}
	return l.Rinks[i], true
}

// Division is a division by its id.
func (l League) Division(id string) (Division, bool) {
	i := slices.IndexFunc(l.Divisions, func(d Division) bool { return d.ID == id })
	if i < 0 {
		return Division{}, false
	}
	return l.Divisions[i], true
}

// RinkName is the name of a rink by its id; of one that the league does not have,
// the id.
func (l League) RinkName(id string) string {
	if r, known := l.Rink(id); known {
		return r.Name
	}
	return id
}

// DivisionName is the same of a division.
func (l League) DivisionName(id string) string {
	if d, known := l.Division(id); known {
		return d.Name
	}
	return id
}

// TeamName is the same of a team.
func (l League) TeamName(id string) string {
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			if t.ID == id {
				return t.Name
			}
		}
	}
	return id
}
