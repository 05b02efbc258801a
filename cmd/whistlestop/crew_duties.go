package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"time"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/intake"
	"whistlestop/internal/paper/tables"
	"whistlestop/internal/wording"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
)

type crewLogged struct {
	crewRota
	At string
}

type crewMessages struct {
	crewLogged
	Sent bool
}

type crewAnswers struct {
	crewLogged
	Text string `arg:""`
}

type crewCame struct {
	crewLogged
	Game     string `arg:""`
	Seat     string `arg:""`
	Missed   bool
	TakeBack bool
}

type crewBalance struct{ crewLogged }

type crewOnDuty struct{ crewLogged }

type crewCalendar struct {
	crewLogged
	Name string `required:""`
}

type crewForget struct {
	crewLogged
	Name string `required:""`
}

// logOfDuties is where the log lies if nothing else is said.
const logOfDuties = "duties.json"

// readLog reads a log of duties; where there is none, a new one begins.
func readLog(file string) (duties.Log, error) {
	text, err := readBounded(file)
	if errors.Is(err, fs.ErrNotExist) {
		key := make([]byte, duties.KeyBytes)
		_, _ = rand.Read(key) // never fails
		return duties.Log{Key: key}, nil
	}
	if err != nil {
		return duties.Log{}, cannotRead(file, err)
	}
	log, err := duties.Read(text)
	if err != nil {
		return duties.Log{}, cannotRead(file, err)
	}
	return log, nil
}

func keepLog(file string, log duties.Log) error {
	text, err := log.Keep()
	if err != nil {
		return err
	}
	return privatefile.At(file).Write(text) // its key makes the codes
}

// desk puts together what the commands of a rota that people know work with. File is
// where its log lies.
func (p *Program) desk(c crewLogged) (d *desk.Desk, file string, err error) {
	if file = c.Log; file == "" {
		file = logOfDuties
	}
	c.Log = "" // who said no holds their seat still, until the answers are read
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return nil, file, err
	}
	kept, err := readRota(c.Rota)
	if err != nil {
		return nil, file, err
	}
	log, err := readLog(file)
	if err != nil {
		return nil, file, err
	}
	now, err := moment(l, c.At)
	if err != nil {
		return nil, file, err
	}
	return desk.Open(l, plan, kept, log, now), file, nil
}

// moment is what a command says of the time, or now by the rinks' clock.
func moment(l league.League, text string) (duties.Moment, error) {
	zone, err := intake.Zone(l)
	if err != nil {
		return duties.Moment{}, err
	}
	at := time.Now().In(zone)
	if text != "" {
		if at, err = time.Parse("2006-01-02 15:04", text); err != nil {
			return duties.Moment{}, message.New("command.crew.at", "text", text)
		}
	}
	day, err := dates.Parse(at.Format(time.DateOnly))
	return duties.Moment{Day: day, Clock: dates.Clock(at.Hour()*60 + at.Minute())}, err
}

// crewMessages writes what people are to hear, one message a person.
func (p *Program) crewMessages(c crewMessages) error {
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	list := d.Due()
	if len(list) == 0 {
		p.line("command.crew.no_messages")
		return nil
	}
	if c.Sent {
		d.Sent(list)
	}
	// Also where nothing was sent yet: the key has to be the same when it is.
	if err := keepLog(file, d.Log); err != nil {
		return err
	}
	if c.Sent {
		p.line("command.crew.sent", "count", strconv.Itoa(len(list)))
		return nil
	}
	if err := p.writeMessages(d, list); err != nil {
		return err
	}
	p.line("command.crew.messages", "count", strconv.Itoa(len(list)))
	return nil
}

// writeMessages prints messages, each with a link that opens it in a mail program.
func (p *Program) writeMessages(d *desk.Desk, list []duties.Message) error {
	if d.Now.Quiet() {
		p.line("command.crew.quiet", "clock", d.Now.Clock.String())
	}
	for _, m := range list {
		letter := wording.OfDesk(p.words, d).Letter(m)
		p.line("command.crew.to", "name", letter.Name)
		if _, err := fmt.Fprintf(p.Out, "%s%s\n\n", letter.Text, letter.Link); err != nil {
			return err
		}
	}
	return nil
}

// crewAnswers reads answers, says what came of each, and keeps rota and log.
func (p *Program) crewAnswers(c crewAnswers) error {
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	var text []byte
	if c.Text == "-" {
		text, err = io.ReadAll(io.LimitReader(os.Stdin, seating.FileMost))
	} else {
		text, err = readBounded(c.Text)
	}
	if err != nil {
		return cannotRead(c.Text, err)
	}
	replies := d.Take(string(text))
	if len(replies) == 0 {
		p.line("command.crew.no_replies")
		return nil
	}
	// The log first: an answer that is noted twice does no harm, one that is lost does.
	if err := keepLog(file, d.Log); err != nil {
		return err
	}
	kept, err := readRota(c.Rota)
	if err != nil {
		return err
	}
	if err := keepRota(c.Rota, d.Kept(kept)); err != nil {
		return err
	}
	for _, r := range replies {
		p.lines([]string{wording.OfDesk(p.words, d).Reply(r)})
	}
	return nil
}

// crewCame notes whether somebody came.
func (p *Program) crewCame(c crewCame) error {
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	kind := duties.Came
	switch {
	case c.TakeBack:
		kind = duties.Unmarked
	case c.Missed:
		kind = duties.Missed
	}
	one, err := d.Mark(c.Game, c.Seat, kind)
	if err != nil {
		return err
	}
	if one.Name != "" {
		if err := keepLog(file, d.Log); err != nil {
			return err
		}
	}
	p.lines([]string{wording.OfDesk(p.words, d).Marked(one, kind)})
	return nil
}

// crewBalance prints what each family has done and promised, beside its share.
func (p *Program) crewBalance(c crewBalance) error {
	d, _, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	return tables.CSV.Write(p.Out, wording.OfDesk(p.words, d).Balances())
}

// crewOnDuty prints who is on duty, as a bench reads it. The log is kept, because its
// key makes the codes that the bench gives back.
func (p *Program) crewOnDuty(c crewOnDuty) error {
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	text, err := d.OnDuty(0, desk.Always).Keep()
	if err == nil {
		err = keepLog(file, d.Log)
	}
	if err != nil {
		return err
	}
	_, err = p.Out.Write(text)
	return err
}

// crewCalendar prints one person's duties as a calendar file.
func (p *Program) crewCalendar(c crewCalendar) error {
	d, _, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	person, err := d.Person(c.Name)
	if err != nil {
		return err
	}
	zone, err := intake.Zone(d.League)
	if err != nil {
		return err
	}
	_, err = p.Out.Write(calendar.Write(wording.OfDesk(p.words, d).Calendar(person, zone)))
	return err
}

// crewForget takes a name out of what this program keeps.
func (p *Program) crewForget(c crewForget) error {
	file := c.Log
	if file == "" {
		file = logOfDuties
	}
	log, err := readLog(file)
	if err != nil {
		return err
	}
	kept, err := readRota(c.Rota)
	if err != nil {
		return err
	}
	f, err := desk.Forget(c.Name, kept, log)
	if err != nil {
		return err
	}
	if err := keepLog(file, f.Log); err != nil {
		return err
	}
	if err := keepRota(c.Rota, f.Kept); err != nil {
		return err
	}
	p.line("command.crew.forgotten", "duties", strconv.Itoa(f.Duties), "events", strconv.Itoa(f.Events))
	return nil
}
