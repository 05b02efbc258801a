package main

import (
	"io"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
)

// crewMessages writes what people are to hear, one message a person.
func (p *Program) crewMessages(c crewMessages) error {
	d, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	list := duties.Due(d.list, d.log.Work(), d.now)
	if len(list) == 0 {
		p.line("command.crew.no_messages")
		return nil
	}
	if c.Sent {
		d.log.Events = append(d.log.Events, duties.Sent(list, d.now)...)
		if err := keepLog(d.file, d.log); err != nil {
			return err
		}
		p.line("command.crew.sent", "count", strconv.Itoa(len(list)))
		return nil
	}
	// The key has to be the same when they are noted as sent.
	if err := keepLog(d.file, d.log); err != nil {
		return err
	}
	if err := p.writeMessages(d, list); err != nil {
		return err
	}
	p.line("command.crew.messages", "count", strconv.Itoa(len(list)))
	return nil
}

// askInstead writes what to send to people who could take a seat, and notes them as
// asked: their answers are known only by that.
func (p *Program) askInstead(c crewNext, list []rota.Choice) error {
	d, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	at := slices.IndexFunc(d.list, func(one duties.Duty) bool { return one.Game == c.Game && one.Seat == c.Seat })
	var messages []duties.Message
	for _, one := range list {
		asked := d.list[at]
		asked.Who = whoOf(d.plan.People[one.Person])
		messages = append(messages, duties.Message{Who: asked.Who, Lines: []duties.Line{{About: duties.Ask, Duty: asked}}})
	}
	d.log.Events = append(d.log.Events, duties.Sent(messages, d.now)...)
	if err := keepLog(d.file, d.log); err != nil {
		return err
	}
	return p.writeMessages(d, messages)
}

// writeMessages prints messages, each with a link that opens it in a mail program.
func (p *Program) writeMessages(d desk, list []duties.Message) error {
	if d.now.Quiet() {
		p.line("command.crew.quiet", "clock", d.now.Clock.String())
	}
	for _, m := range list {
		p.line("command.crew.to", "name", m.Name)
		text := p.messageText(d, m)
		subject := p.words.say("command.crew.subject", "day", m.Lines[0].Day.String())
		link := url.URL{Scheme: "mailto", RawQuery: "subject=" + mailText(subject) + "&body=" + mailText(text)} // RFC 6068
		if _, err := io.WriteString(p.Out, text+link.String()+"\n\n"); err != nil {
			return err
		}
	}
	return nil
}

// mailText is a text in the address of a message: blanks as %20, because a plus is a
// plus there, and ends of lines as CR LF (RFC 6068, 5).
func mailText(text string) string {
	return strings.ReplaceAll(url.QueryEscape(strings.ReplaceAll(text, "\n", "\r\n")), "+", "%20")
}

// messageText is a message as its person reads it.
func (p *Program) messageText(d desk, m duties.Message) string {
	lines := []string{p.words.say("command.crew.hello", "name", strings.Fields(m.Name)[0]), ""}
	for _, line := range m.Lines {
		was := ""
		if line.Was != nil {
			was = p.visitText(d, *line.Was)
		}
		lines = append(lines, p.words.say("command.crew."+string(line.About), "duty", p.dutyText(d, line.Duty), "was", was))
		if line.About == duties.Free {
			continue
		}
		if with := d.others(line.Duty); len(with) > 0 {
			lines = append(lines, p.words.say("command.crew.with", "names", strings.Join(with, ", ")))
		}
		if d.needed(line.Seat) {
			lines = append(lines, p.words.say("command.crew.waits", "seat", p.words.seatText(line.Seat)))
		}
		codes := "command.crew.codes.ask"
		if line.About == duties.Remind {
			codes = "command.crew.codes.remind"
		}
		code := func(answer duties.Answer) string { return d.log.Code(line.Duty, answer) }
		lines = append(lines, p.words.say(codes, "yes", code(duties.SayYes), "no", code(duties.SayNo), "spare", code(duties.SaySpare)), "")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n") + "\n"
}

func (p *Program) visitText(d desk, v duties.Visit) string {
	return strings.Join([]string{v.Day.String(), v.There.String(), rinkText(d.league, v.Rink)}, ", ")
}

func (p *Program) dutyText(d desk, one duties.Duty) string {
	home, visitors := "", ""
	for _, g := range d.plan.Games {
		if g.ID == one.Game {
			home, visitors = teamText(d.league, g.Teams[0]), teamText(d.league, g.Teams[1])
		}
	}
	return p.words.say("command.crew.duty", "day", one.Day.String(), "there", one.There.String(), "rink", rinkText(d.league, one.Rink),
		"seat", p.words.seatText(one.Seat), "home", home, "visitors", visitors)
}

// others are the rest of a game's crew: first name and initial, no more.
func (d desk) others(one duties.Duty) []string {
	var names []string
	for _, o := range d.list {
		if o.Game != one.Game || o.Seat == one.Seat || o.Name == "" {
			continue
		}
		parts := strings.Fields(o.Name)
		name := parts[0]
		if last := []rune(parts[len(parts)-1]); len(parts) > 1 {
			name += " " + string(last[:1])
		}
		names = append(names, name)
	}
	return names
}

func (d desk) needed(seat string) bool {
	return slices.ContainsFunc(d.plan.Rules.Seats, func(s seating.Seat) bool { return s.ID == seat && s.Need == "must" })
}
