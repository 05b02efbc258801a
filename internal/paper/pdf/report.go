package pdf

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// Options say how a report is printed.
type Options struct {
	Paper   Paper
	Names   bool           // of players; otherwise numbers only
	Picture *lanes.Drawing // of the whole game, on a page of its own; nil: none
	Zone    *time.Location // of the times of day; nil: UTC
}

// The sizes of a report, in points: the largest in which a usual game fits on one
// page is taken. A game that fits in none goes on over the page.
const (
	reportMost  = 10.0
	reportLeast = 7.0
	reportStep  = 0.25
	reportLong  = 8.0
)

// Report prints the official report: the game on the first page, what happened
// besides on the next.
func Report(out io.Writer, d report.Document, o Options, words Words) error {
	p, err := newPage(o.Paper, "", words.Language())
	if err != nil {
		return err
	}
	s := &reportSheet{sheet: sheet{page: p, words: words}, doc: d, names: o.Names, zone: o.Zone}
	if s.zone == nil {
		s.zone = time.UTC
	}
	p.SetTitle(s.title(), true)
	s.again = s.runningHead
	s.under = s.footHigh()
	s.points = reportLong
	for points := reportMost; points >= reportLeast; points -= reportStep {
		if s.fits(points) {
			s.points = points
			break
		}
	}
	s.y = margin
	s.game()
	if s.besides() {
		s.turn()
		s.incidents()
	}
	pages := s.PageCount()
	if o.Picture != nil {
		pages++
	}
	for n := 1; n <= s.PageCount(); n++ {
		s.SetPage(n)
		s.foot(n, pages)
	}
	if o.Picture != nil {
		s.picture(*o.Picture)
		s.foot(pages, pages)
	}
	return p.finish(out)
}

type reportSheet struct {
	sheet
	doc   report.Document
	names bool
	zone  *time.Location
}

// fits tries whether the game fits on one page in a size.
func (s *reportSheet) fits(points float64) bool {
	s.points, s.dry, s.full, s.y = points, true, false, margin
	s.game()
	s.dry = false
	return !s.full
}

func (s *reportSheet) say(key string, pairs ...string) string {
	return s.words.Text(key, rules.Pairs(pairs...))
}

func (s *reportSheet) title() string {
	return fmt.Sprintf("%s – %s %s", s.doc.Teams[0].Name, s.doc.Teams[1].Name, s.doc.Head.Date)
}

// game is the first page.
func (s *reportSheet) game() {
	s.head()
	s.score()
	s.rosters()
	s.plays()
	s.goalkeepers()
	s.people()
}

// head writes which game it is, and in which form its times are.
func (s *reportSheet) head() {
	h, width := s.doc.Head, s.width-2*margin
	s.y += 6
	s.put(s.tag(nil, roleTitle), s.say("paper.title"), margin, s.y, width*0.5, 20, "B", false)
	s.beside(0, 0.5, 11, "B", "", s.standing())
	s.y += 2
	s.rule(margin, s.y, width, 0.6)
	s.y += 4.2
	s.beside(0.5, 0.5, 10, "B", join(" · ", h.Number, h.League, h.Division), join(" · ", h.Venue, h.Date, s.hours()))
	s.y += 4.2
	s.beside(0.62, 0.38, 9, "", s.say("paper.times."+string(s.doc.Times)), s.say("paper.book", "book", h.Book))
	s.y += 1
}

// beside writes two paragraphs beside each other, whose widths are shares of the
// page, and goes on below the longer one. The style is that of the left one.
func (s *reportSheet) beside(left, right, points float64, style, one, other string) {
	width, further := s.width-2*margin, ""
	if one == "" {
		further = style
	}
	lines := 1
	if one != "" {
		lines = s.put(s.tag(nil, rolePart), one, margin, s.y, width*left-1, points, style, false)
	}
	if other != "" {
		lines = max(lines, s.put(s.tag(nil, rolePart), other, margin+width*(1-right), s.y, width*right, points, further, true))
	}
	s.y += float64(max(lines, 1)-1) * leading(points)
}

// standing says whether the report is closed.
func (s *reportSheet) standing() string {
	switch {
	case s.doc.Sealed:
		return s.say("paper.sealed", "version", strconv.Itoa(s.doc.Seals[len(s.doc.Seals)-1].Version))
	case len(s.doc.Seals) > 0:
		return s.say("paper.corrected")
	default:
		return s.say("paper.draft")
	}
}

// hours are the real start and finish.
func (s *reportSheet) hours() string {
	h := s.doc.Head
	switch {
	case h.Started == 0:
		return ""
	case h.Finished == 0:
		return s.say("paper.started", "time", s.instant(h.Started))
	default:
		return s.say("paper.hours", "from", s.instant(h.Started), "to", s.instant(h.Finished))
	}
}

// score writes a row for each side: goals and shots by period, and totals.
func (s *reportSheet) score() {
	var periods []column
	for _, p := range s.doc.Periods {
		periods = append(periods, column{title: s.short(p.Stage), width: 8, right: true})
	}
	if s.doc.ShootOut != nil {
		periods = append(periods, column{title: s.say("paper.short.shoot_out"), width: 8, right: true})
	}
	goals := grid{title: s.say("paper.score"), columns: append(append([]column{{}}, periods...),
		column{title: s.say("paper.final"), width: 11, right: true})}
	rows := s.say("paper.rows", "home", s.doc.Teams[0].Name, "visitors", s.doc.Teams[1].Name)
	shots := grid{title: s.say("paper.shots"), about: rows}
	for _, p := range s.doc.Periods {
		shots.columns = append(shots.columns, column{title: s.short(p.Stage), width: 7, right: true})
	}
	shots.columns = append(shots.columns, column{title: s.say("paper.total"), right: true})
	shots.rest = len(shots.columns) - 1
	totals := grid{title: s.say("paper.totals"), about: rows, rest: 3, columns: []column{
		{title: s.say("paper.power_plays"), width: 13, right: true},
		{title: s.say("paper.power_play_time"), width: 12, right: true},
		{title: s.say("paper.kills"), width: 11, right: true},
		{title: s.say("paper.penalty_minutes"), right: true},
	}}
	for i, team := range s.doc.Teams {
		row := []string{team.Name}
		shotRow, kept, all := []string{}, true, 0
		for _, p := range s.doc.Periods {
			row = append(row, strconv.Itoa(p.Goals[i]))
			if p.Shots == nil {
				kept = false
				shotRow = append(shotRow, "–")
				continue
			}
			all += p.Shots[i]
			shotRow = append(shotRow, strconv.Itoa(p.Shots[i]))
		}
		if s.doc.ShootOut != nil {
			row = append(row, strconv.Itoa(s.doc.ShootOut.Goals[i]))
		}
		total := strconv.Itoa(all)
		if !kept {
			total = "–"
		}
		goals.rows = append(goals.rows, cells{text: append(row, strconv.Itoa(s.doc.Score.Final[i])), bold: true})
		shots.rows = append(shots.rows, cells{text: append(shotRow, total)})
		side := s.doc.Totals.Sides[i]
		totals.rows = append(totals.rows, cells{text: []string{
			fmt.Sprintf("%d/%d", side.PowerPlays.Goals, side.PowerPlays.Chances), side.PowerPlays.Time.String(),
			fmt.Sprintf("%d/%d", side.Kills, s.doc.Totals.Sides[1-i].PowerPlays.Chances), minutes(side.PenaltyMinutes),
		}})
	}
	s.grids([]float64{5, 3, 3}, goals, shots, totals)
}

// short is the short name of a period above a column.
func (s *reportSheet) short(stage entry.Stage) string {
	if stage.Kind == entry.Overtime {
		if stage.Number == 1 {
			return s.say("paper.short.overtime")
		}
		return s.say("paper.short.overtime") + strconv.Itoa(stage.Number)
	}
	return strconv.Itoa(stage.Number)
}

// period is the short name of a period by its number.
func (s *reportSheet) period(number int) string {
	for _, p := range s.doc.Periods {
		if p.Period == number {
			return s.short(p.Stage)
		}
	}
	if number == 0 {
		return ""
	}
	return strconv.Itoa(number)
}

func (s *reportSheet) rosters() {
	var list [2]grid
	kept := s.kept()
	for i, team := range s.doc.Teams {
		g := grid{
			title: s.say("paper.roster."+string(team.Side), "team", team.Name), rest: 1,
			none: s.say("paper.no_roster"),
			columns: append([]column{
				{title: s.say("paper.number"), width: 7, right: true}, {title: s.say("paper.player")},
				{title: s.say("paper.goals_short"), width: 7, right: true},
				{title: s.say("paper.assists_short"), width: 7, right: true},
				{title: s.say("paper.points_short"), width: 8, right: true},
				{title: s.say("paper.penalty_minutes_short"), width: 9, right: true},
			}, kept...),
		}
		if team.Confirmed != "" {
			g.title = s.say("paper.roster_confirmed", "title", g.title, "by", team.Confirmed)
		}
		figures := map[entry.Jersey]report.Player{}
		for _, p := range s.doc.Totals.Sides[i].Players {
			figures[p.Number] = p
		}
		for _, p := range team.Players {
			f := figures[p.Number]
			delete(figures, p.Number)
			if !p.Status.Plays() && f.Points == 0 && f.PenaltyMinutes == 0 {
				f = report.Player{}
			}
			g.rows = append(g.rows, s.figures(p, f, len(kept)))
		}
		for _, p := range s.doc.Totals.Sides[i].Players { // who is on no roster
			if f, left := figures[p.Number]; left && p.Number != "" {
				g.rows = append(g.rows, s.figures(entry.Player{Number: p.Number, Name: p.Name}, f, len(kept)))
			}
		}
		for _, p := range team.Staff {
			text := make([]string, len(g.columns))
			text[1] = s.say("paper.person", "role", "@role."+string(p.Role), "name", p.Name)
			g.rows = append(g.rows, cells{text: text})
		}
		list[i] = g
	}
	s.grids([]float64{1, 1}, list[0], list[1])
}

// kept are the columns of what only some leagues keep.
func (s *reportSheet) kept() []column {
	var plus, faceOffs bool
	for _, side := range s.doc.Totals.Sides {
		for _, p := range side.Players {
			plus = plus || p.PlusMinus != nil
			faceOffs = faceOffs || p.FaceOffs != nil
		}
	}
	var list []column
	if plus || faceOffs {
		list = append(list, column{title: s.say("paper.plus_minus"), width: 8, right: true})
	}
	if faceOffs {
		list = append(list, column{title: s.say("paper.face_offs"), width: 11, right: true})
	}
	return list
}

// figures is the row of a player.
func (s *reportSheet) figures(p entry.Player, f report.Player, kept int) cells {
	row := []string{string(p.Number), s.player(p), count(f.Goals), count(f.Assists), count(f.Points), minutes(f.PenaltyMinutes)}
	plus, faceOffs := "", ""
	if f.PlusMinus != nil {
		plus = fmt.Sprintf("%+d", *f.PlusMinus)
	}
	if f.FaceOffs != nil {
		faceOffs = fmt.Sprintf("%d–%d", f.FaceOffs.Won, f.FaceOffs.Lost)
	}
	return cells{text: append(row, []string{plus, faceOffs}[:kept]...)}
}

// player is a line of a roster in words: name, letter, place, and why a player
// did not take part.
func (s *reportSheet) player(p entry.Player) string {
	name := ""
	if s.names {
		name = p.Name
	}
	var marks []string
	switch {
	case p.Captain:
		marks = append(marks, s.say("paper.captain"))
	case p.Alternate:
		marks = append(marks, s.say("paper.alternate"))
	}
	if p.Goalkeeper || p.Position == entry.Keeps {
		marks = append(marks, s.say("paper.goalkeeper_short"))
	}
	if p.Status != entry.Dressed {
		marks = append(marks, s.say("paper.status."+string(p.Status)))
	}
	if len(marks) > 0 {
		name = strings.TrimSpace(name + " (" + strings.Join(marks, ", ") + ")")
	}
	return name
}

// who is a player in a line of the record.
func (s *reportSheet) who(side entry.Side, number entry.Jersey) string {
	if number == "" {
		return "–"
	}
	if s.names {
		for _, p := range s.doc.Teams[side.Index()].Players {
			if p.Number == number && p.Name != "" {
				return string(number) + " " + p.Name
			}
		}
	}
	return string(number)
}

func join(between string, parts ...string) string {
	var kept []string
	for _, one := range parts {
		if one != "" {
			kept = append(kept, one)
		}
	}
	return strings.Join(kept, between)
}

// count leaves a zero out of a table of many.
func count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
