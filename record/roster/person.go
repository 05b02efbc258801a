package roster

import (
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

func sayPairs(key string, pairs ...string) rules.Say {
	return rules.Say{Key: key, Args: rules.Pairs(pairs...)}
}

// person reads a row: a player, or somebody of the staff.
func (s *Sheet) person(at int, row []string) {
	p, marks := entry.Player{}, []string(nil)
	p.Name, marks = s.withoutMarks(s.name(row))
	text := s.get(row, FieldNumber)
	for _, f := range []Field{FieldRole, FieldPosition, FieldNumber} {
		if role, ok := staffOf(s.get(row, f)); ok {
			s.staff(at, role, p.Name)
			return
		}
	}
	if f, known := fieldOf(text); known && f == FieldNumber {
		return // the names of the columns again, on a further page
	}
	text, letter := offNumber(text)
	if letter != "" {
		marks = append(marks, letter)
	}
	number, ok := jersey(text)
	switch {
	case text == "" && p.Name == "":
		return // a row with nothing of ours in it
	case text == "":
		s.find(Mistake, at, FieldNumber, "roster.no_number", "name", p.Name)
	case !ok:
		s.find(Mistake, at, FieldNumber, "roster.bad_number", "text", text)
	default:
		p.Number = number
	}
	s.position(at, row, &p)
	s.status(at, row, &p)
	captain, alternate, known := letterOf(s.get(row, FieldLetter))
	if !known {
		s.find(Mistake, at, FieldLetter, "roster.bad_letter", "text", s.get(row, FieldLetter))
	}
	p.Captain, p.Alternate = p.Captain || captain, p.Alternate || alternate
	for _, mark := range marks {
		applyMark(&p, mark)
	}
	s.Team.Players = append(s.Team.Players, p)
	s.rows = append(s.rows, at)
}

func (s *Sheet) staff(at int, role entry.Role, name string) {
	if name == "" {
		s.find(Mistake, at, FieldName, "roster.nameless_staff", "role", "@role."+string(role))
		return
	}
	s.Team.Staff = append(s.Team.Staff, entry.Official{Role: role, Name: name})
}

func (s *Sheet) position(at int, row []string, p *entry.Player) {
	for _, f := range []Field{FieldPosition, FieldRole} {
		text := s.get(row, f)
		position, ok := positionOf(text)
		if both, letter, mixed := withPosition(text); !ok && mixed {
			position, ok = both, applyMark(p, letter)
		}
		if !ok {
			s.find(Mistake, at, f, "roster.bad_position", "text", text)
			continue
		}
		if position != entry.PositionUnsaid && p.Position == entry.PositionUnsaid {
			p.Position = position
		}
	}
	p.Goalkeeper = p.Position == entry.Keeps
}

func (s *Sheet) status(at int, row []string, p *entry.Player) {
	text := s.get(row, FieldStatus)
	status, ok := statusOf(text)
	if !ok {
		s.find(Mistake, at, FieldStatus, "roster.bad_status", "text", text)
	}
	p.Status = status
	said := s.get(row, FieldDressed)
	dressed, ok := statusOf(said)
	switch {
	case said == "":
	case !ok:
		s.find(Mistake, at, FieldDressed, "roster.bad_dressed", "text", said)
	case dressed == entry.Dressed && p.Status == entry.Suspended:
		s.find(Mistake, at, FieldDressed, "roster.suspended_dressed", "name", who(*p))
	case dressed == entry.Dressed && p.Status == entry.Absent:
		s.find(Mistake, at, FieldDressed, "roster.absent_dressed", "name", who(*p))
	case p.Status == entry.Dressed:
		p.Status = dressed
	}
}

// who names a player in a sentence.
func who(p entry.Player) string {
	switch {
	case p.Name == "":
		return string(p.Number)
	case p.Number == "":
		return p.Name
	default:
		return string(p.Number) + " " + p.Name
	}
}

// brackets are those in which marks stand.
var brackets = []struct{ open, close string }{{"(", ")"}, {"[", "]"}, {"{", "}"}}

// withoutMarks takes marks in brackets off either end of a name: (C), [A], (C, D)
// and the like. Other brackets belong to the name.
func (s *Sheet) withoutMarks(name string) (bare string, marks []string) {
	for again := true; again; {
		again = false
		for _, b := range brackets {
			if head, tail, found := cutLast(name, b.open); found && strings.HasSuffix(tail, b.close) {
				if list, ok := marksOf(strings.TrimSuffix(tail, b.close)); ok {
					name, marks, again = strings.TrimSpace(head), append(marks, list...), true
				}
			}
			if inside, rest, found := strings.Cut(strings.TrimPrefix(name, b.open), b.close); found && strings.HasPrefix(name, b.open) {
				if list, ok := marksOf(inside); ok {
					name, marks, again = strings.TrimSpace(rest), append(marks, list...), true
				}
			}
		}
	}
	return name, marks
}

// marksOf takes apart what stands in brackets: one mark, or several.
func marksOf(text string) (list []string, ok bool) {
	if isMark(text) {
		return []string{text}, true
	}
	list = strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '/' || r == ' ' || r == ';' || r == '+' })
	for _, one := range list {
		if !isMark(one) {
			return nil, false
		}
	}
	return list, len(list) > 1
}

func cutLast(text, at string) (before, after string, found bool) {
	if i := strings.LastIndex(text, at); i >= 0 {
		return text[:i], text[i+len(at):], true
	}
	return text, "", false
}

// isMark reports whether a word in brackets says something about a player rather
// than being a part of the name.
func isMark(word string) bool { return applyMark(&entry.Player{}, word) }

// bareMark reports whether a word without brackets can be a mark: short and in
// capital letters, or long and in small ones. Wing and Guest are names.
func bareMark(word string) bool {
	if letters := len([]rune(word)); letters <= 3 {
		return word == strings.ToUpper(word)
	}
	return word == strings.ToLower(word)
}

// applyMark notes a mark: C and A are captain and alternate here.
func applyMark(p *entry.Player, mark string) bool {
	switch mark {
	case "C":
		p.Captain = true
		return true
	case "A":
		p.Alternate = true
		return true
	}
	if position, ok := positionOf(mark); ok && position != entry.PositionUnsaid {
		p.Position, p.Goalkeeper = position, position == entry.Keeps
		return true
	}
	if status, ok := statusOf(mark); ok && status != entry.Dressed && len([]rune(plain(mark))) > 1 {
		p.Status = status
		return true
	}
	return false
}
