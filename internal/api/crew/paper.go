package crew

import (
	"whistlestop/game/message"
	"whistlestop/record/tables"
)

// Document is a sheet as a document of tables: a table for each day, for each person, or
// for the balance and each part of it.
func (s Sheet) Document() tables.Document {
	d := tables.Document{Title: tables.T(s.League)}
	switch {
	case s.Families != nil:
		d.Parts = []tables.Part{{Tables: s.balance()}}
	case s.Slips:
		d.About = []tables.Cell{tables.S("crew.sheet.slip", "from", s.From, "to", s.To)}
		d.Parts = []tables.Part{{Tables: s.slips()}}
	default:
		d.About = []tables.Cell{tables.S("crew.sheet.week", "from", s.From, "to", s.To)}
		d.Parts = []tables.Part{{Tables: s.week()}}
	}
	if len(d.Parts[0].Tables) == 0 {
		d.About = append(d.About, tables.S("crew.sheet.none"))
	}
	return d
}

func column(name string) tables.Column {
	return tables.Column{Name: name, Title: "command.crew.column." + name, Kept: true, Wide: name == "game" || name == "family"}
}

func columns(names ...string) (list []tables.Column) {
	for _, name := range names {
		list = append(list, column(name))
	}
	return list
}

// headed is a table under a heading that is a text of the sheet's own.
func headed(name, heading string, columns []tables.Column) tables.Table {
	return tables.Table{Name: name, Title: message.Say{Key: "crew.sheet.heading", Args: message.Pairs("text", heading)}, Columns: columns, None: message.Say{Key: "crew.sheet.none"}}
}

func (s Sheet) week() (list []tables.Table) {
	for _, day := range s.Days {
		t := headed("day", day.Day, columns("start", "game", "rink", "seat", "there", "name"))
		for _, game := range day.Games {
			for i, seat := range game.Seats {
				row := []tables.Cell{tables.T(""), tables.T(""), tables.T(""), tables.T(seat.Seat), tables.T(seat.There), tables.T(seat.Name)}
				if i == 0 {
					row[0], row[1], row[2] = tables.T(game.Start), tables.T(game.Teams), tables.T(game.Rink)
				}
				if seat.Name == "" {
					row[5] = tables.S("crew.sheet.nobody")
				}
				t.Rows = append(t.Rows, row)
			}
		}
		list = append(list, t)
	}
	return list
}

func (s Sheet) slips() (list []tables.Table) {
	for _, person := range s.People {
		t := headed("slip", person.Name, columns("day", "there", "seat", "game", "rink", "answer_yes", "answer_no"))
		for _, l := range person.Lines {
			t.Rows = append(t.Rows, []tables.Cell{tables.T(l.Day), tables.T(l.There), tables.T(l.Seat), tables.T(l.Teams), tables.T(l.Rink), tables.T(l.Yes), tables.T(l.No)})
		}
		list = append(list, t)
	}
	return list
}

// balance is a table of everything and one for each part of it.
func (s Sheet) balance() []tables.Table {
	right := func(names ...string) []tables.Column {
		list := columns(names...)
		for i := range list {
			list[i].Right = !list[i].Wide
		}
		return list
	}
	all := tables.Table{Name: "balance", Title: message.Say{Key: "crew.sheet.balance"}, Columns: right("family", "share", "done", "missed", "unmarked", "promised", "open"), None: message.Say{Key: "crew.sheet.none"}}
	list := make([]tables.Table, len(s.Pots))
	for i, pot := range s.Pots {
		list[i] = headed("pot", pot.Name, right("family", "share", "done", "promised", "missing"))
		if pot.By != "" {
			list[i].Title = message.Say{Key: "crew.sheet.pot", Args: message.Pairs("pot", pot.Name, "by", pot.By)}
		}
	}
	for _, f := range s.Families {
		all.Rows = append(all.Rows, []tables.Cell{tables.T(f.Family), tables.N(f.Share), tables.N(f.Done), tables.N(f.Missed), tables.N(f.Unmarked), tables.N(f.Promised), tables.N(f.Open)})
		for i, pot := range f.Pots {
			list[i].Rows = append(list[i].Rows, []tables.Cell{tables.T(f.Family), tables.N(pot.Amount), tables.N(pot.Done), tables.N(pot.Promised), tables.N(pot.Missing)})
		}
	}
	return append([]tables.Table{all}, list...)
}
