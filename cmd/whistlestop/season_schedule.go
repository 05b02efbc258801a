package main

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata"

	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/api/season"
	"whistlestop/internal/folder/durable"
	"whistlestop/season/calendar"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

type leagueFile struct {
	League string `arg:"" type:"existingfile"`
}

type scheduleFiles struct {
	leagueFile
	Schedule string `arg:"" type:"existingfile"`
}

type scheduleCommand struct {
	leagueFile
	Out   string `required:""`
	From  string `type:"existingfile"`
	Seed  uint64 `default:"1"`
	Moves int    `default:"0"`
}

type conflictsCommand struct{ scheduleFiles }

type changeCommand struct {
	scheduleFiles
	Game   string `arg:""`
	State  string `default:"scheduled"`
	Rink   string
	Sheet  int `default:"1"`
	Day    string
	Start  string
	Length int    `default:"0"`
	Why    string `required:""`
	Anyway bool
}

type exportCommand struct {
	scheduleFiles
	As   string `enum:"ics,csv" default:"csv"`
	Team string
	Rink string
}

// searchMost bounds what one call may ask for.
const searchMost = 100_000_000

// schedule makes a season's schedule and keeps it.
func (p *Program) schedule(c scheduleCommand) error {
	l, err := readLeague(c.League)
	if err != nil {
		return err
	}
	if c.Moves < 0 || c.Moves > searchMost {
		return message.New("command.schedule.moves", "most", strconv.Itoa(searchMost))
	}
	if c.From != "" {
		return p.scheduleFrom(c, l)
	}
	plan, err := schedule.Make(l, schedule.Settings{Seed: c.Seed, Moves: c.Moves})
	if err != nil {
		return err
	}
	if err := keepSchedule(c.Out, l, plan.Games); err != nil {
		return err
	}
	p.line("command.schedule.made", "file", filepath.Base(c.Out), "games", strconv.Itoa(len(plan.Games)), "slots", strconv.Itoa(len(l.Slots())))
	p.line("command.schedule.cost", "cost", strconv.Itoa(plan.Cost), "bound", strconv.Itoa(plan.Bound))
	for _, g := range plan.Games {
		if g.Place == nil {
			p.line("command.schedule.no_ice", "game", p.words.gameText(l, g))
		}
	}
	p.conflictLines(l, plan.Games, schedule.Conflicts(l, plan.Games))
	return nil
}

// conflicts says what is wrong with a schedule. It fails when something cannot be.
func (p *Program) conflicts(c conflictsCommand) error {
	l, games, err := c.read()
	if err != nil {
		return err
	}
	found := schedule.Conflicts(l, games)
	p.conflictLines(l, games, found)
	if hard := hardOnes(found); hard > 0 {
		return message.New("command.conflicts.hard", "count", strconv.Itoa(hard))
	}
	if len(found) == 0 {
		p.line("command.conflicts.none", "games", strconv.Itoa(len(games)))
	}
	return nil
}

// change moves, postpones or cancels a game, after saying what that touches.
func (p *Program) change(c changeCommand) error {
	l, games, err := c.read()
	if err != nil {
		return err
	}
	at := slices.IndexFunc(games, func(g schedule.Game) bool { return g.ID == c.Game })
	if at < 0 {
		return message.New("command.change.game", "id", c.Game)
	}
	if !slices.Contains(schedule.States, schedule.State(c.State)) {
		return message.New("command.change.state", "state", c.State)
	}
	place, err := c.place(l, games[at])
	if err != nil {
		return err
	}
	changed, err := games[at].Change(schedule.State(c.State), place, c.Why)
	if err != nil {
		return err
	}
	touched := schedule.Touches(l, games, changed)
	games[at] = changed
	p.conflictLines(l, games, touched)
	if hard := hardOnes(touched); hard > 0 && !c.Anyway {
		return message.New("command.change.clashes", "count", strconv.Itoa(hard))
	}
	if err := keepSchedule(c.Schedule, l, games); err != nil {
		return err
	}
	p.line("command.change.done", "game", p.words.gameText(l, changed), "state", p.words.stateText(changed.State), "place", p.words.placeText(l, changed.Place))
	return nil
}

// place is the new place that the flags give, or the old one where they give none
// and the state has one.
func (c changeCommand) place(l league.League, g schedule.Game) (*schedule.Place, error) {
	if c.Rink == "" && c.Day == "" && c.Start == "" {
		if schedule.State(c.State) == schedule.Postponed {
			return nil, nil
		}
		return g.Place, nil
	}
	place := schedule.Place{Rink: c.Rink, Sheet: c.Sheet, Minutes: c.Length}
	rink := slices.IndexFunc(l.Rinks, func(r league.Rink) bool { return r.ID == c.Rink })
	if rink < 0 || c.Sheet < 1 || c.Sheet > l.Rinks[rink].Sheets {
		return nil, message.New("command.change.rink", "rink", c.Rink, "sheet", strconv.Itoa(c.Sheet))
	}
	day, err := dates.Parse(c.Day)
	if err != nil {
		return nil, err
	}
	place.Day = day
	if err := place.Start.UnmarshalText([]byte(c.Start)); err != nil {
		return nil, err
	}
	for _, d := range l.Divisions {
		if d.ID == g.Division && place.Minutes == 0 {
			place.Minutes = d.Minutes
		}
	}
	if place.Minutes < 1 || place.Minutes > 24*60 {
		return nil, message.New("command.change.minutes")
	}
	return &place, nil
}

// export prints the games of a schedule for calendars or spreadsheets.
func (p *Program) export(c exportCommand) error {
	l, games, err := c.read()
	if err != nil {
		return err
	}
	var chosen []schedule.Game
	for _, g := range games {
		at := g.LastPlace() // whoever follows a rink has to learn that a game there was called off
		inRink := at != nil && at.Rink == c.Rink
		if (c.Team == "" || g.Home == c.Team || g.Visitors == c.Team) && (c.Rink == "" || inRink) {
			chosen = append(chosen, g)
		}
	}
	if len(chosen) == 0 {
		return message.New("command.export.none")
	}
	slices.SortStableFunc(chosen, func(a, b schedule.Game) int { return cmp.Compare(beginOf(a), beginOf(b)) })
	if c.As == "csv" {
		return p.exportCSV(l, chosen)
	}
	zone, err := time.LoadLocation(l.Zone)
	if err != nil {
		return message.New("command.schedule.zone", "zone", l.Zone)
	}
	_, err = p.Out.Write(calendar.Write(calendar.Calendar{
		Name: p.words.say("command.export.name", "league", l.Name, "season", l.Season), Product: "-//Whistlestop//Season//EN",
		Zone: zone, Stamp: time.Now(), Refresh: time.Hour, Events: season.Events(p.words.in(), l, zone, chosen),
	}))
	return err
}

// beginOf orders games by time; those without one come last.
func beginOf(g schedule.Game) int {
	if g.Place == nil {
		return 1 << 40
	}
	return g.Place.Begin()
}

func (p *Program) exportCSV(l league.League, games []schedule.Game) error {
	var lines [][]string
	var title []string
	for _, key := range []string{"game", "division", "round", "home", "visitors", "day", "start", "minutes", "rink", "sheet", "state", "changes"} {
		title = append(title, p.words.say("command.export."+key))
	}
	lines = append(lines, title)
	for _, g := range games {
		line := []string{g.ID, g.Division, strconv.Itoa(g.Round), teamText(l, g.Home), teamText(l, g.Visitors), "", "", "", "", "", p.words.stateText(g.State), strconv.Itoa(g.Sequence())}
		if at := g.Place; at != nil {
			copy(line[5:], []string{at.Day.String(), at.Start.String(), strconv.Itoa(at.Minutes), rinkText(l, at.Rink), strconv.Itoa(at.Sheet)})
		}
		lines = append(lines, line)
	}
	return csv.NewWriter(p.Out).WriteAll(lines)
}

func readLeague(file string) (league.League, error) {
	text, err := readBounded(file)
	if err != nil {
		return league.League{}, cannotRead(file, err)
	}
	return league.Read(text, filepath.Base(file))
}

func (c scheduleFiles) read() (league.League, []schedule.Game, error) {
	l, err := readLeague(c.League)
	if err != nil {
		return l, nil, err
	}
	text, err := readBounded(c.Schedule)
	if err != nil {
		return l, nil, cannotRead(c.Schedule, err)
	}
	games, err := schedule.Read(text, l)
	if err != nil {
		return l, nil, cannotRead(c.Schedule, err)
	}
	return l, games, nil
}

func keepSchedule(file string, l league.League, games []schedule.Game) error {
	text, err := schedule.Keep(l, games)
	if err != nil {
		return err
	}
	return durable.Write(durable.System(), file, text)
}

func hardOnes(list []schedule.Conflict) (count int) {
	for _, c := range list {
		if c.Hard {
			count++
		}
	}
	return count
}

func (p *Program) line(key string, pairs ...string) { p.lines([]string{p.words.say(key, pairs...)}) }

// lines prints what was put into words already.
func (p *Program) lines(list []string) {
	for _, line := range list {
		fmt.Fprintln(p.Out, line)
	}
}

// conflictLines says each conflict in a sentence.
func (p *Program) conflictLines(l league.League, games []schedule.Game, list []schedule.Conflict) {
	of := map[string]schedule.Game{}
	for _, g := range games {
		of[g.ID] = g
	}
	for _, c := range list {
		var names []string
		for _, id := range c.Games {
			g := of[id]
			names = append(names, p.words.say("command.conflicts.game", "game", p.words.gameText(l, g), "place", p.words.placeText(l, g.Place)))
		}
		weight := "command.conflicts.wish"
		if c.Hard {
			weight = "command.conflicts.rule"
		}
		p.line("command.conflicts."+string(c.Kind), "weight", p.words.say(weight), "games", strings.Join(names, "; "), "team", teamText(l, c.Team), "who", cmp.Or(c.Who, teamText(l, c.Team)), "why", c.Why)
	}
}

func (w words) gameText(l league.League, g schedule.Game) string {
	division := g.Division
	for _, d := range l.Divisions {
		if d.ID == g.Division {
			division = d.Name
		}
	}
	return w.say("command.schedule.game", "id", g.ID, "home", teamText(l, g.Home), "visitors", teamText(l, g.Visitors), "division", division)
}

func (w words) placeText(l league.League, at *schedule.Place) string {
	if at == nil {
		return w.say("command.schedule.no_place")
	}
	return w.say("command.schedule.place", "day", at.Day.String(), "start", at.Start.String(), "rink", rinkText(l, at.Rink), "sheet", strconv.Itoa(at.Sheet))
}

func (w words) stateText(s schedule.State) string { return w.say("schedule.state." + string(s)) }

func teamText(l league.League, id string) string {
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			if t.ID == id {
				return t.Name
			}
		}
	}
	return id
}

func rinkText(l league.League, id string) string {
	for _, r := range l.Rinks {
		if r.ID == id {
			return r.Name
		}
	}
	return id
}
