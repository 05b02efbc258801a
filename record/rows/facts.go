package rows

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/record/report"
)

// Column names a column. The names are those of the CSV file.
type Column string

// The columns, each of which many records share. Times of play are minutes and
// seconds. Both elapsed and left are given, so that nobody has to know which of
// the two is meant.
const (
	Record      Column = "record"
	Key         Column = "key"  // of a head row: what it says
	Text        Column = "text" // what it says, a remark, a reason
	Period      Column = "period"
	Elapsed     Column = "elapsed"
	Left        Column = "left"
	Side        Column = "side"
	Number      Column = "number"
	Name        Column = "name"
	Role        Column = "role"
	Position    Column = "position"
	Status      Column = "status"
	Letter      Column = "letter" // C or A
	Assist1     Column = "assist_1"
	Assist2     Column = "assist_2"
	Class       Column = "class"
	On          Column = "on"
	EmptyNet    Column = "empty_net"
	OwnGoal     Column = "own_goal"
	Goalkeeper  Column = "goalkeeper"
	OnIceHome   Column = "on_ice_home"
	OnIceAway   Column = "on_ice_visitors"
	Call        Column = "call"
	Part        Column = "part"
	Minutes     Column = "minutes"
	ServedBy    Column = "served_by"
	Start       Column = "start" // time elapsed in its period
	End         Column = "end"
	Back        Column = "back"
	How         Column = "how"
	Given       Column = "given"     // the referee gave it a length of its own
	Signalled   Column = "signalled" // the referee's arm was up before the whistle
	Scored      Column = "scored"
	Goals       Column = "goals"
	Assists     Column = "assists"
	Shots       Column = "shots"
	Saves       Column = "saves"
	PlusMinus   Column = "plus_minus"
	Won         Column = "face_offs_won"
	Lost        Column = "face_offs_lost"
	Time        Column = "time" // in goal, or of a time-out
	StartPeriod Column = "start_period"
	EndPeriod   Column = "end_period"
	BackPeriod  Column = "back_period"
	Version     Column = "version"
	Print       Column = "fingerprint"
	Entry       Column = "entry" // of the ledger
)

// Columns lists every column in the order in which they are written.
var Columns = []Column{
	Record, Key, Text, Period, Elapsed, Left, Side, Number, Name, Role, Position, Status, Letter, Assist1, Assist2,
	Class, On, EmptyNet, OwnGoal, Goalkeeper, OnIceHome, OnIceAway, Call, Part, Minutes, ServedBy,
	StartPeriod, Start, EndPeriod, End, BackPeriod, Back, How, Given, Signalled, Scored, Goals, Assists, Shots, Saves, PlusMinus, Won, Lost, Time,
	Version, Print, Entry,
}

// Records lists every kind of record, in the order in which they are written.
var Records = []string{
	"head", "period", "total", "player", "staff", "official", "crew", "goal", "penalty", "shots", "goalkeeper", "change_in_goal",
	"time_out", "attempt", "note", "delay", "owed", "signature", "seal",
}

// Fact is one row: a text for every column that says something.
type Fact struct{ cells map[Column]string }

// Get returns what a column says, or nothing.
func (f Fact) Get(c Column) string { return f.cells[c] }

// With returns the fact with another text in a column.
func (f Fact) With(c Column, text string) Fact {
	other := Fact{cells: maps.Clone(f.cells)}
	other.cells[c] = text
	return other
}

// Row returns the texts of the columns.
func (f Fact) Row(columns []Column) []string {
	row := make([]string, len(columns))
	for i, c := range columns {
		row[i] = f.cells[c]
	}
	return row
}

// Used lists the columns that any of the facts uses, in the usual order.
func Used(list []Fact) []Column {
	return slices.DeleteFunc(slices.Clone(Columns), func(c Column) bool {
		return !slices.ContainsFunc(list, func(f Fact) bool { return f.cells[c] != "" })
	})
}

// Read makes facts of lines of text below a row of column names. It refuses names
// that it does not know and lines with more cells than there are names.
func Read(names []string, lines [][]string) ([]Fact, error) {
	for i, name := range names {
		if !slices.Contains(Columns, Column(name)) {
			return nil, message.New("sheet.column", "column", i+1, "name", message.Plain(name))
		}
	}
	list := make([]Fact, 0, len(lines))
	for i, row := range lines {
		f := Fact{cells: map[Column]string{}}
		for j, text := range row {
			if text == "" {
				continue
			}
			if j >= len(names) {
				return nil, message.New("sheet.cells", "row", i+2)
			}
			f.cells[Column(names[j])] = text
		}
		if !slices.Contains(Records, f.Get(Record)) {
			return nil, message.New("sheet.record", "row", i+2, "record", message.Plain(f.Get(Record)))
		}
		list = append(list, f)
	}
	return list, nil
}

// Of returns the facts of a report, in the order of Records.
func Of(d report.Document) []Fact {
	w := &writer{}
	w.head(d)
	for _, p := range d.Periods {
		w.add("period", Period, p.Period, Time, p.Length)
	}
	for i, team := range d.Teams {
		w.team(team, d.Totals.Sides[i])
	}
	w.people("official", d.Officials)
	w.people("crew", d.Crew)
	w.goals(d)
	w.penalties(d)
	w.figures(d)
	w.rest(d)
	slices.SortStableFunc(w.list, func(x, y Fact) int {
		return cmp.Compare(slices.Index(Records, x.Get(Record)), slices.Index(Records, y.Get(Record)))
	})
	return w.list
}

type writer struct{ list []Fact }

// add adds a fact of columns and texts by turns.
func (w *writer) add(record string, pairs ...any) {
	f := Fact{cells: map[Column]string{Record: record}}
	for i := 0; i+1 < len(pairs); i += 2 {
		if text := clean(fmt.Sprint(pairs[i+1])); text != "" {
			f.cells[pairs[i].(Column)] = text
		}
	}
	w.list = append(w.list, f)
}

func (w *writer) head(d report.Document) {
	for _, one := range []struct{ key, text string }{
		{"game", d.Game}, {"number", d.Head.Number}, {"schedule", d.Head.Schedule}, {"league", d.Head.League}, {"division", d.Head.Division}, {"division_id", d.Division.ID},
		{"venue", d.Head.Venue}, {"date", d.Head.Date}, {"code", d.Head.Code}, {"times", string(d.Times)},
		{"started_ms", milliseconds(d.Head.Started)}, {"finished_ms", milliseconds(d.Head.Finished)},
		{"home", d.Teams[0].Name}, {"visitors", d.Teams[1].Name},
		{"home_score", strconv.Itoa(d.Score.Final[0])}, {"visitors_score", strconv.Itoa(d.Score.Final[1])},
		{"decided", string(d.Score.Decided)}, {"sealed", yes(d.Sealed)},
	} {
		if one.text != "" {
			w.add("head", Key, one.key, Text, one.text)
		}
	}
}

// team writes the totals of a side, and everybody of it: players with their
// figures, also those who are on no roster.
func (w *writer) team(r report.Roster, totals report.Side) {
	for _, one := range []struct{ key, text string }{
		{"penalties", strconv.Itoa(totals.Penalties)}, {"penalty_minutes", totals.PenaltyMinutes.String()},
		{"power_plays", strconv.Itoa(totals.PowerPlays.Chances)}, {"power_play_goals", strconv.Itoa(totals.PowerPlays.Goals)},
		{"power_play_time", totals.PowerPlays.Time.String()}, {"short_handed_goals", strconv.Itoa(totals.ShortHanded.Goals)},
		{"penalty_kills", strconv.Itoa(totals.Kills)}, {"shots", known(totals.Shots)}, {"saves", known(totals.Saves)},
	} {
		if one.text != "" {
			w.add("total", Side, r.Side, Key, one.key, Text, one.text)
		}
	}
	listed := map[entry.Jersey]bool{}
	figures := map[entry.Jersey]report.Player{}
	for _, p := range totals.Players {
		figures[p.Number] = p
	}
	for _, p := range r.Players {
		letter := ""
		switch {
		case p.Captain:
			letter = "C"
		case p.Alternate:
			letter = "A"
		}
		position := p.Position
		if p.Goalkeeper {
			position = entry.Keeps
		}
		listed[p.Number] = true
		w.player(r.Side, figures[p.Number], Number, p.Number, Name, p.Name, Position, position, Status, p.Status, Letter, letter)
	}
	for _, p := range totals.Players {
		if !listed[p.Number] && p.Number != "" {
			w.player(r.Side, p, Number, p.Number, Status, notListed)
		}
	}
	for _, p := range r.Staff {
		w.add("staff", Side, r.Side, Role, p.Role, Name, p.Name)
	}
}

// player writes a player with figures.
func (w *writer) player(side entry.Side, f report.Player, pairs ...any) {
	pairs = append(pairs, Side, side, Goals, f.Goals, Assists, f.Assists, Minutes, f.PenaltyMinutes, PlusMinus, known(f.PlusMinus))
	if f.FaceOffs != nil {
		pairs = append(pairs, Won, f.FaceOffs.Won, Lost, f.FaceOffs.Lost)
	}
	w.add("player", pairs...)
}

func (w *writer) people(record string, list []entry.Official) {
	for _, p := range list {
		w.add(record, Role, p.Role, Name, p.Name)
	}
}

func (w *writer) goals(d report.Document) {
	for _, g := range d.Goals {
		var assists [2]string
		for i, a := range g.Assists {
			if i < len(assists) {
				assists[i] = string(a)
			}
		}
		w.add("goal", Period, g.At.Period, Elapsed, g.At.Elapsed, Left, g.At.Left, Side, g.Side, Number, g.Scorer,
			Assist1, assists[0], Assist2, assists[1], Class, g.Class, On, g.On, EmptyNet, yes(g.EmptyNet),
			OwnGoal, yes(g.OwnGoal), Goalkeeper, g.Goalkeeper,
			OnIceHome, jerseys(g.OnIce[0]), OnIceAway, jerseys(g.OnIce[1]), Entry, g.Entry)
	}
}

func (w *writer) penalties(d report.Document) {
	for _, p := range d.Penalties {
		how := string(p.How)
		if p.Wiped {
			how = "wiped"
		}
		number := string(p.Player)
		if p.Bench {
			number = "bench"
		}
		when := ""
		if p.WarmUp {
			when = "warm_up" // the time is that of the first face-off
		}
		w.add("penalty", Text, when, Period, p.Off.Period, Elapsed, p.Off.Elapsed, Left, p.Off.Left, Side, p.Side, Number, number,
			Call, p.Call, Part, p.Kind, Minutes, p.Charged, ServedBy, p.ServedBy, How, how,
			StartPeriod, periodOf(p.Start), Start, timeOf(p.Start), EndPeriod, periodOf(p.End), End, timeOf(p.End),
			BackPeriod, periodOf(p.On), Back, timeOf(p.On), Given, yes(p.Given), Signalled, yes(p.Signalled), Entry, p.Entry)
	}
}

func (w *writer) figures(d report.Document) {
	for _, s := range d.Shots {
		w.add("shots", Period, s.Period, Side, s.Side, Goalkeeper, s.Goalkeeper, Shots, s.Shots, Goals, s.Goals, Saves, s.Saves)
	}
	for _, k := range d.Goalkeepers {
		w.add("goalkeeper", Side, k.Side, Number, k.Number, Name, k.Name, Time, k.Time, Goals, k.GoalsAgainst,
			Shots, known(k.Shots), Saves, known(k.Saves))
	}
	for _, c := range d.Changes {
		number := string(c.Number)
		if number == "" {
			number = "nobody"
		}
		w.add("change_in_goal", Period, c.At.Period, Elapsed, c.At.Elapsed, Left, c.At.Left, Side, c.Side, Number, number)
	}
}

func (w *writer) rest(d report.Document) {
	for _, t := range d.TimeOuts {
		w.add("time_out", Period, t.At.Period, Elapsed, t.At.Elapsed, Left, t.At.Left, Side, t.Side, Time, t.Length, Entry, t.Entry)
	}
	for _, a := range d.Attempts {
		on := entry.PenaltyShotAttempt
		if a.ShootOut {
			on = entry.ShootOutAttempt
		}
		w.add("attempt", Period, a.At.Period, Elapsed, a.At.Elapsed, Left, a.At.Left, Side, a.Side, Number, a.Player,
			Goalkeeper, a.Goalkeeper, On, on, Scored, yes(a.Scored), Entry, a.Entry)
	}
	for _, n := range d.Notes {
		w.add("note", Period, n.At.Period, Elapsed, n.At.Elapsed, Left, n.At.Left, Side, n.Side, Number, n.Player, Key, n.About, Text, n.Text, Entry, n.Entry)
	}
	for _, one := range d.Delays {
		w.add("delay", Period, one.At.Period, Elapsed, one.At.Elapsed, Left, one.At.Left, Key, one.Why, Entry, one.Entry)
	}
	for _, item := range d.Owed {
		w.add("owed", Key, item.Key, Entry, item.Entry)
	}
	for _, s := range d.Signatures {
		w.add("signature", Role, s.Role, Name, s.Name, Key, s.Code, Entry, s.Entry)
	}
	for _, s := range d.Seals {
		w.add("seal", Version, s.Version, Print, s.Fingerprint, Text, s.Missing, Entry, s.Entry)
	}
}

// clean leaves out what no spreadsheet can hold: control characters, and the two
// characters that XML forbids. Line breaks and tabs stay.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' || r == 0xfffe || r == 0xffff {
			return -1
		}
		return r
	}, text)
}

// yes writes what is true, and nothing otherwise.
func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

func milliseconds(m entry.Millis) string {
	if m == 0 {
		return ""
	}
	return strconv.FormatInt(int64(m), 10)
}

func known(n *int) string {
	if n == nil {
		return ""
	}
	return strconv.Itoa(*n)
}

func periodOf(s *report.Stamp) string {
	if s == nil {
		return ""
	}
	return strconv.Itoa(s.Period)
}

func timeOf(s *report.Stamp) string {
	if s == nil {
		return ""
	}
	return s.Elapsed.String()
}

func jerseys(list []entry.Jersey) string {
	words := make([]string, len(list))
	for i, j := range list {
		words[i] = string(j)
	}
	return strings.Join(words, " ")
}
