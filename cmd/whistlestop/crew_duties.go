package main

import (
	"crypto/rand"
	"encoding/csv"
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"time"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/privatefile"
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

// desk is what the commands of a rota that people know work with.
type desk struct {
	file   string // of the log
	plan   *seating.Plan
	league league.League
	who    []int
	list   []duties.Duty // one for each slot of the plan
	log    duties.Log
	now    duties.Moment
}

func (p *Program) desk(c crewLogged) (desk, error) {
	d := desk{file: c.Log}
	if d.file == "" {
		d.file = logOfDuties
	}
	c.Log = "" // who said no holds their seat still, until the answers are read
	var err error
	if d.plan, d.league, err = p.plan(c.crewFiles); err != nil {
		return d, err
	}
	if d.who, _, err = standing(d.plan, c.Rota); err != nil {
		return d, err
	}
	for i, slot := range d.plan.Slots {
		g := d.plan.Games[slot.Game]
		one := duties.Duty{Game: g.ID, Seat: slot.Seat.ID, Visit: duties.Visit{Day: g.Day, There: dates.Clock(max(0, int(g.Start)-slot.Seat.Before)), Rink: g.Rink}}
		if v := d.who[i]; v != rota.Nobody {
			one.Who = whoOf(d.plan.People[v])
		}
		d.list = append(d.list, one)
	}
	if d.log, err = readLog(d.file); err != nil {
		return d, err
	}
	d.now, err = d.moment(c.At)
	return d, err
}

func whoOf(one people.Person) duties.Who { return duties.Who{Name: one.Name, Family: one.Family} }

// moment is what a command says of the time, or now by the rinks' clock.
func (d desk) moment(text string) (duties.Moment, error) {
	zone, err := time.LoadLocation(d.league.Zone)
	if err != nil {
		return duties.Moment{}, message.New("command.schedule.zone", "zone", d.league.Zone)
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

// names are what a sentence about a duty needs.
func (p *Program) names(d desk, one duties.Duty) []string {
	game := one.Game
	for i, g := range d.plan.Games {
		if g.ID == one.Game {
			game = p.words.crewGameText(d.league, d.plan, i)
		}
	}
	return []string{"name", one.Name, "seat", p.words.seatText(one.Seat), "game", game}
}

// crewAnswers reads answers, says what came of each, and keeps rota and log.
func (p *Program) crewAnswers(c crewAnswers) error {
	d, err := p.desk(c.crewLogged)
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
	replies, after, events := d.log.Take(string(text), d.list, d.now, func(slot int, who duties.Who) bool {
		at := slices.IndexFunc(d.plan.People, func(one people.Person) bool { return whoOf(one) == who })
		return at >= 0 && d.plan.Why(slot, at) == "" && len(rota.Against(d.plan.Problem, d.who, slot, at)) == 0
	})
	if len(replies) == 0 {
		p.line("command.crew.no_replies")
		return nil
	}
	d.log.Events = append(d.log.Events, events...)
	// The log first: an answer that is noted twice does no harm, one that is lost does.
	if err := keepLog(d.file, d.log); err != nil {
		return err
	}
	if err := keepAnswers(c.Rota, after, d.log.Work()); err != nil {
		return err
	}
	for _, r := range replies {
		key := "command.crew.reply." + string(r.Result)
		if r.Result == duties.Done {
			key += "." + string(r.Answer)
		}
		p.line(key, p.names(d, r.Duty)...)
	}
	return nil
}

// keepAnswers writes a rota as it is after the answers. What is not in the list, for
// example of other months, stays.
func keepAnswers(file string, list []duties.Duty, said duties.Book) error {
	text, err := readBounded(file)
	if err != nil {
		return cannotRead(file, err)
	}
	kept, err := seating.ReadDuties(text)
	if err != nil {
		return cannotRead(file, err)
	}
	for _, one := range list {
		status := said.Of(one.Game, one.Seat, one.Who).Status
		now := seating.Duty{Game: one.Game, Seat: one.Seat, Name: one.Name, Family: one.Family}
		at := slices.IndexFunc(kept, func(k seating.Duty) bool { return k.Game == one.Game && k.Seat == one.Seat })
		if at < 0 {
			if one.Name != "" {
				now.Accepted = status == duties.Yes
				kept = append(kept, now)
			}
			continue
		}
		same := kept[at].Name == one.Name && kept[at].Family == one.Family
		now.Accepted = one.Name != "" && (status == duties.Yes || status == duties.NotAsked && same && kept[at].Accepted)
		kept[at] = now
	}
	return keepRota(file, kept)
}

func keepRota(file string, list []seating.Duty) error {
	text, err := seating.Keep(list)
	if err != nil {
		return err
	}
	return durable.Write(durable.System(), file, text)
}

// crewCame notes whether somebody came.
func (p *Program) crewCame(c crewCame) error {
	d, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	at := slices.IndexFunc(d.list, func(one duties.Duty) bool { return one.Game == c.Game && one.Seat == c.Seat })
	if at < 0 {
		return message.New("command.crew.no_seat", "game", c.Game, "seat", c.Seat)
	}
	one := d.list[at]
	if one.Name == "" {
		p.line("command.crew.nobody_there", p.names(d, one)...)
		return nil
	}
	kind := duties.Came
	switch {
	case c.TakeBack:
		kind = duties.Unmarked
	case c.Missed:
		kind = duties.Missed
	}
	d.log.Events = append(d.log.Events, duties.Event{Kind: kind, At: d.now, Game: one.Game, Seat: one.Seat, Who: one.Who})
	if err := keepLog(d.file, d.log); err != nil {
		return err
	}
	p.line("command.crew."+string(kind), p.names(d, one)...)
	return nil
}

// crewBalance prints what each family has done and promised, beside its share.
func (p *Program) crewBalance(c crewBalance) error {
	d, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	var lines [][]string
	var title []string
	for _, key := range []string{"family", "share", "done", "missed", "unmarked", "promised", "open"} {
		title = append(title, p.words.say("command.crew.column."+key))
	}
	lines = append(lines, title)
	counts := duties.Counts(d.list, d.log.Work(), d.now)
	for f, name := range d.plan.Families {
		n := counts[name]
		line := []string{name}
		for _, count := range []int{d.plan.Problem.Families[f].Target, n.Done, n.Missed, n.Unmarked, n.Promised, n.Open} {
			line = append(line, strconv.Itoa(count))
		}
		lines = append(lines, line)
	}
	return csv.NewWriter(p.Out).WriteAll(lines)
}

// crewCalendar prints one person's duties as a calendar file. Its titles name no
// other person.
func (p *Program) crewCalendar(c crewCalendar) error {
	d, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	at := slices.IndexFunc(d.plan.People, func(one people.Person) bool { return one.Name == c.Name })
	if at < 0 {
		return message.New("command.crew.unknown", "name", c.Name)
	}
	who := whoOf(d.plan.People[at])
	zone, err := time.LoadLocation(d.league.Zone)
	if err != nil {
		return message.New("command.schedule.zone", "zone", d.league.Zone)
	}
	length := map[string]int{}
	for _, g := range d.plan.Games {
		length[g.ID] = int(g.Start) + g.Minutes
	}
	var events []calendar.Event
	for _, one := range duties.Calendar(d.list, d.log.Work(), who, d.now) {
		status := calendar.Tentative
		switch {
		case one.Cancelled:
			status = calendar.Cancelled
		case one.Confirmed:
			status = calendar.Confirmed
		}
		end := max(length[one.Game], int(one.There)+60) // a game that is no more has no length
		events = append(events, calendar.Event{
			UID: calendar.UID("duty", d.league.Name, d.league.Season, one.Game, one.Seat, who.Name, who.Family), Sequence: one.Sequence, Status: status,
			Start: one.Day.In(zone, int(one.There)), End: one.Day.In(zone, end),
			Summary: p.words.seatText(one.Seat) + ", " + p.dutyText(d, one.Duty), Location: rinkText(d.league, one.Rink),
		})
	}
	_, err = p.Out.Write(calendar.Write(calendar.Calendar{
		Name: p.words.say("command.crew.calendar", "name", who.Name), Product: "-//Whistlestop//Crew//EN",
		Zone: zone, Stamp: d.stamp(zone), Refresh: 4 * time.Hour, Events: events,
	}))
	return err
}

func (d desk) stamp(zone *time.Location) time.Time { return d.now.Day.In(zone, int(d.now.Clock)) }

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
	text, err := readBounded(c.Rota)
	if err != nil {
		return cannotRead(c.Rota, err)
	}
	kept, err := seating.ReadDuties(text)
	if err != nil {
		return cannotRead(c.Rota, err)
	}
	count, whom := 0, map[duties.Who]bool{}
	for i := range kept {
		if kept[i].Name == c.Name {
			whom[duties.Who{Name: kept[i].Name, Family: kept[i].Family}] = true
			kept[i].Name, kept[i].Family, kept[i].Accepted = "", "", false
			count++
		}
	}
	for _, e := range log.Events {
		if e.Name == c.Name {
			whom[e.Who] = true
		}
	}
	if len(whom) == 0 {
		return message.New("command.crew.unknown", "name", c.Name)
	}
	events := 0
	for who := range whom {
		n := 0
		log, n = log.Forget(who)
		events += n
	}
	if err := keepLog(file, log); err != nil {
		return err
	}
	if err := keepRota(c.Rota, kept); err != nil {
		return err
	}
	p.line("command.crew.forgotten", "duties", strconv.Itoa(count), "events", strconv.Itoa(events))
	return nil
}
