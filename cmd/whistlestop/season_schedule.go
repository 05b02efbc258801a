package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	_ "time/tzdata"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/wording"
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
	Out   string   `required:""`
	From  string   `type:"existingfile"`
	Old   []string `type:"existingfile"`
	Seed  uint64   `default:"1"`
	Moves int      `default:"0"`
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
	Crew   string `type:"existingfile"`
	People string `type:"existingfile"`
	Rota   string `type:"existingfile"`
	Log    string
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
	taken, err := idsBefore(l, filepath.Dir(c.Out), c.Old)
	if err != nil {
		return err
	}
	plan, err := schedule.Make(l, schedule.Settings{Seed: c.Seed, Moves: c.Moves, Taken: taken})
	if err != nil {
		return err
	}
	if _, err := p.asideBefore(c.Out, l); err != nil {
		return err
	}
	if err := keepSchedule(c.Out, l, plan.Games); err != nil {
		return err
	}
	p.line("command.schedule.made", "file", filepath.Base(c.Out), "games", strconv.Itoa(len(plan.Games)), "slots", strconv.Itoa(len(l.Slots())))
	p.line("command.schedule.cost", "cost", strconv.Itoa(plan.Cost), "bound", strconv.Itoa(plan.Bound))
	say := wording.Season{Words: p.words, League: l}
	for _, g := range plan.Games {
		if g.Place == nil {
			p.line("command.schedule.no_ice", "game", say.Game(g))
		}
	}
	p.lines(say.Conflicts(plan.Games, schedule.Conflicts(l, plan.Games)))
	return nil
}

// conflicts says what is wrong with a schedule. It fails when something cannot be.
func (p *Program) conflicts(c conflictsCommand) error {
	l, games, err := c.read()
	if err != nil {
		return err
	}
	found := schedule.Conflicts(l, games)
	p.lines(wording.Season{Words: p.words, League: l}.Conflicts(games, found))
	if hard := schedule.Hard(found); hard > 0 {
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
	before := slices.Clone(games)
	games[at] = changed
	say := wording.Season{Words: p.words, League: l}
	p.lines(say.Conflicts(games, touched))
	if err := p.onDuty(c, l, before, games); err != nil {
		return err
	}
	if hard := schedule.Hard(touched); hard > 0 && !c.Anyway {
		return message.New("command.change.clashes", "count", strconv.Itoa(hard))
	}
	if err := keepSchedule(c.Schedule, l, games); err != nil {
		return err
	}
	p.line("command.change.done", "game", say.Game(changed), "state", say.State(changed.State), "place", say.Place(changed.Place))
	return nil
}

// onDuty says what a change does to the people on duty, where the crew's files are named.
func (p *Program) onDuty(c changeCommand, l league.League, before, after []schedule.Game) error {
	switch {
	case c.Crew+c.People+c.Rota == "":
		return nil
	case c.Crew == "" || c.People == "" || c.Rota == "":
		return message.New("command.change.crew")
	}
	given := desk.Given{League: l, Games: before, To: desk.Always}
	var err error
	if given.Rules, given.People, _, err = p.crewList(c.Crew, c.People); err != nil {
		return err
	}
	kept, err := readRota(c.Rota)
	if err != nil {
		return err
	}
	log, err := readLog(c.Log)
	if err != nil {
		return err
	}
	now, err := given.Any()
	if err != nil {
		return err
	}
	given.Games = after
	then, err := given.Any()
	if err != nil {
		return err
	}
	desk.LeaveOut(now, log)
	desk.LeaveOut(then, log)
	d := desk.Open(l, now, kept, log, duties.Moment{}) // whoever moves a game of the past wants to know too
	p.lines(wording.OfDesk(p.words, d).Moved(d.Moved(then), c.Game))
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
	if rink, known := l.Rink(c.Rink); !known || c.Sheet < 1 || c.Sheet > rink.Sheets {
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
	if d, known := l.Division(g.Division); known && place.Minutes == 0 {
		place.Minutes = d.Minutes
	}
	if place.Minutes < 1 || place.Minutes > 24*60 {
		return nil, message.New("command.change.minutes")
	}
	return &place, nil
}

func readLeague(file string) (league.League, error) {
	text, err := readFile(file)
	if err != nil {
		return league.League{}, err
	}
	return league.Read(text, filepath.Base(file))
}

func (c scheduleFiles) read() (league.League, []schedule.Game, error) {
	l, err := readLeague(c.League)
	if err != nil {
		return l, nil, err
	}
	text, err := readFile(c.Schedule)
	if err != nil {
		return l, nil, err
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

func (p *Program) line(key string, pairs ...string) { p.lines([]string{p.words.say(key, pairs...)}) }

// lines prints what was put into words already.
func (p *Program) lines(list []string) {
	for _, line := range list {
		fmt.Fprintln(p.Out, line)
	}
}
