package wording

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/seating"
	"whistlestop/season/calendar"
)

// Duties says things of a desk: of duties, the people who have them, and their
// answers.
type Duties struct {
	Crew
	Desk *desk.Desk
}

// OfDesk says things of a desk in the words of a language.
func OfDesk(w Words, d *desk.Desk) Duties { return Duties{Crew{w, d.Rota}, d} }

// named are what a sentence about a duty needs.
func (d Duties) named(one duties.Duty) []string {
	game := one.Game
	for i, g := range d.Rota.Plan.Games {
		if g.ID == one.Game {
			game = d.Game(i)
		}
	}
	return []string{"name", one.Name, "seat", Seat(d.Words, one.Seat), "game", game}
}

// Letter is a message as its person gets it.
type Letter struct {
	Name    string // of whom it is for
	Subject string
	Text    string
	Link    string // opens it in a mail program (RFC 6068)
}

// Letter writes a message.
func (d Duties) Letter(m duties.Message) Letter {
	l := Letter{Name: m.Name, Text: d.text(m), Subject: d.subject(m)}
	l.Link = "mailto:?subject=" + mailText(l.Subject) + "&body=" + mailText(l.Text)
	return l
}

// subject is that of the first duty of a message, if there is one.
func (d Duties) subject(m duties.Message) string {
	at := max(0, slices.IndexFunc(m.Lines, func(l duties.Line) bool { return l.About != duties.Elsewhere }))
	switch first := m.Lines[at]; first.Seat {
	case duties.StaySeat:
		return d.say("command.crew.stay.subject", "season", first.Game)
	case duties.PageSeat:
		return d.say("command.crew.elsewhere.subject")
	default:
		if first.Get != nil {
			return d.say("command.crew."+string(first.About)+".subject", "name", desk.Short(first.Get.Name))
		}
		return d.say("command.crew.subject", "day", Day(d.Words, first.Day))
	}
}

// mailText is a text in the address of a message: all but unreserved letters as %XX
// of their bytes (RFC 3986, 2.3), and ends of lines as CR LF (RFC 6068, 5).
func mailText(text string) string {
	var out strings.Builder
	for _, b := range []byte(strings.ReplaceAll(text, "\n", "\r\n")) {
		if b >= '0' && b <= '9' || b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z' || strings.IndexByte("-_.~", b) >= 0 {
			out.WriteByte(b)
		} else {
			fmt.Fprintf(&out, "%%%02X", b)
		}
	}
	return out.String()
}

func (d Duties) text(m duties.Message) string {
	lines := []string{d.say("command.crew.hello", "name", strings.Fields(m.Name)[0]), ""}
	for _, line := range m.Lines {
		if line.Seat == duties.StaySeat {
			lines = append(lines, d.stay(line)...)
			continue
		}
		if line.Seat == duties.PageSeat {
			lines = append(lines, d.say("command.crew.elsewhere"), "")
			continue
		}
		if line.Get != nil {
			lines = append(lines, d.Change(line), d.say("command.crew."+string(line.About)+".answer"), "")
			continue
		}
		was := ""
		if line.Was != nil {
			was = d.visit(*line.Was)
		}
		lines = append(lines, d.say("command.crew."+string(line.About), "duty", d.Duty(line.Duty), "was", was))
		if line.About == duties.Free {
			continue
		}
		if with := d.Desk.Others(line.Duty); len(with) > 0 {
			lines = append(lines, d.say("command.crew.with", "names", strings.Join(with, ", ")))
		}
		if d.Desk.Needed(line.Seat) {
			lines = append(lines, d.say("command.crew.waits", "seat", Seat(d.Words, line.Seat)))
		}
		codes := "command.crew.codes.ask"
		if line.About == duties.Remind {
			codes = "command.crew.codes.remind"
		}
		code := func(answer duties.Answer) string { return d.Desk.Log.Code(line.Duty, answer) }
		lines = append(lines, d.say(codes, "yes", code(duties.SayYes), "no", code(duties.SayNo), "spare", code(duties.SaySpare)), "")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n") + "\n"
}

// Change says who would change places with somebody, or did, and for what. Of the other
// person it has the short name.
func (d Duties) Change(l duties.Line) string {
	return d.say("command.crew."+string(l.About), "name", desk.Short(l.Get.Name), "theirs", d.Duty(*l.Get), "yours", d.Duty(l.Duty))
}

func (d Duties) visit(v duties.Visit) string {
	return strings.Join([]string{Day(d.Words, v.Day), v.There.String(), d.Rota.League.RinkName(v.Rink)}, ", ")
}

// Duty says when and where somebody has to be, for which seat of which game.
func (d Duties) Duty(one duties.Duty) string {
	home, visitors := "", ""
	for _, g := range d.Rota.Plan.Games {
		if g.ID == one.Game {
			home, visitors = d.Rota.League.TeamName(g.Teams[0]), d.Rota.League.TeamName(g.Teams[1])
		}
	}
	return d.say("command.crew.duty", "day", Day(d.Words, one.Day), "there", one.There.String(), "rink", d.Rota.League.RinkName(one.Rink),
		"seat", Seat(d.Words, one.Seat), "home", home, "visitors", visitors)
}

// Reply says what came of an answer.
func (d Duties) Reply(r duties.Reply) string {
	if r.Seat == duties.StaySeat {
		return StayReply(d.Words, r)
	}
	key := "command.crew.reply." + string(r.Result)
	if r.Result == duties.Done {
		key += "." + string(r.Answer)
	}
	return d.say(key, d.named(r.Duty)...)
}

// Marked says what was noted of whether somebody came.
func (d Duties) Marked(one duties.Duty, kind duties.Kind) string {
	if one.Name == "" {
		return d.say("command.crew.nobody_there", d.named(one)...)
	}
	return d.say("command.crew."+string(kind), d.named(one)...)
}

// Balances are rows, under titles, of what each family did and promised; where the
// rules have pots, of each pot too.
func (d Duties) Balances() [][]string {
	rules := d.Rota.Plan.Rules
	head := titles(d.Words, "command.crew.column.", "family", "share", "done", "missed", "unmarked", "promised", "open")
	if unit := rules.Target.Unit; unit != "" && unit != seating.InDuties {
		head[1] = d.say("command.crew.column.in_unit", "column", head[1], "unit", d.say("crew.unit."+string(unit)))
	}
	for _, pot := range rules.Pots {
		for _, column := range titles(d.Words, "command.crew.column.", "share", "done", "promised", "missing") {
			head = append(head, d.say("command.crew.column.of_pot", "pot", pot.Name, "column", column))
		}
	}
	lines := [][]string{head}
	for _, b := range d.Desk.Balances() {
		counts := []int{b.Share, b.Done, b.Missed, b.Unmarked, b.Promised, b.Open}
		for _, pot := range b.Pots {
			counts = append(counts, pot.Amount, pot.Done, pot.Promised, pot.Missing())
		}
		line := []string{b.Family}
		for _, count := range counts {
			line = append(line, strconv.Itoa(count))
		}
		lines = append(lines, line)
	}
	return lines
}

// Calendar is one person's duties as a calendar file, with the rinks' zone. Its
// titles name no other person.
func (d Duties) Calendar(person int, zone *time.Location) calendar.Calendar {
	who, l := d.Rota.Plan.People[person], d.Rota.League
	var events []calendar.Event
	for _, one := range d.Desk.Calendar(person) {
		status := calendar.Tentative
		switch {
		case one.Cancelled:
			status = calendar.Cancelled
		case one.Confirmed:
			status = calendar.Confirmed
		}
		events = append(events, calendar.Event{
			UID: calendar.UID("duty", l.Name, l.Season, one.Game, one.Seat, who.Name, who.Family), Sequence: one.Sequence, Status: status,
			Start: one.Day.In(zone, int(one.There)), End: one.Day.In(zone, one.End),
			Summary: Seat(d.Words, one.Seat) + ", " + d.Duty(one.Duty), Location: l.RinkName(one.Rink),
		})
	}
	now := d.Desk.Now
	return calendar.Calendar{
		Name: d.say("command.crew.calendar", "name", who.Name), Product: "-//Whistlestop//Crew//EN",
		Zone: zone, Stamp: now.Day.In(zone, int(now.Clock)), Refresh: 4 * time.Hour, Events: events,
	}
}

// Moved says what a change of the schedule does to duties. Those of the changed game
// come without its name.
func (d Duties) Moved(list []desk.Moved, changed string) []string {
	var lines []string
	for _, m := range list {
		pairs := d.named(m.Duty)
		switch m.Effect {
		case desk.Cannot:
			pairs = append(pairs, "reason", d.against(m))
		case desk.AskAgain:
			if m.Yes {
				lines = append(lines, d.say("crew.moved.said_yes", pairs...))
				continue
			}
		case desk.NotNeeded:
		}
		key := "crew.moved." + string(m.Effect)
		if m.Duty.Game != changed {
			key = "crew.moved.other"
		}
		lines = append(lines, d.say(key, pairs...))
	}
	return lines
}

// against is why somebody cannot have a duty then.
func (d Duties) against(m desk.Moved) string {
	switch {
	case m.Reason != "":
		return d.Reason(m.Reason)
	case m.With != "":
		return d.say("crew.moved.with", "rule", d.say("crew.rule."+m.Rule), "game", m.With)
	}
	return d.say("crew.rule." + m.Rule)
}
