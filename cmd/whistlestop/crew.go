package main

import (
	"path/filepath"
	"strings"

	"whistlestop/crew/desk"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/paper/tables"
	"whistlestop/internal/wording"
	"whistlestop/season/league"
)

type crewCommand struct {
	Missing crewMissing `cmd:""`
	Make    crewMake    `cmd:""`
	Why     crewWhy     `cmd:""`
	Next    crewNext    `cmd:""`
	Export  crewExport  `cmd:""`

	Messages crewMessages `cmd:""`
	Answers  crewAnswers  `cmd:""`
	OnDuty   crewOnDuty   `cmd:""`
	Came     crewCame     `cmd:""`
	Balance  crewBalance  `cmd:""`
	Calendar crewCalendar `cmd:""`
	Forget   crewForget   `cmd:""`

	Fill  crewFill  `cmd:""`
	Swap  crewSwap  `cmd:""`
	Ready crewReady `cmd:""`

	First  crewFirst  `cmd:""`
	Season crewSeason `cmd:""`
}

type crewFiles struct {
	scheduleFiles
	Crew   string `arg:"" type:"existingfile"`
	People string `arg:"" type:"existingfile"`
	Log    string
	From   string
	To     string
}

type crewRota struct {
	crewFiles
	Rota string `arg:"" type:"existingfile"`
}

type crewMissing struct {
	crewFiles
	Few int `default:"3"`
}

type crewMake struct {
	crewFiles
	Out   string `required:""`
	Keep  string `type:"existingfile"`
	Seed  uint64 `default:"1"`
	Moves int    `default:"1000000"`
	At    string
}

type crewSeat struct {
	crewLogged
	Game string `arg:""`
	Seat string `arg:""`
}

type crewWhy struct {
	crewSeat
	Name string
}

type crewNext struct {
	crewSeat
	Most int `default:"8"`
	Ask  bool
}

type crewExport struct {
	crewRota
	Name string
}

// crew answers the command that was asked for.
func (p *Program) crew(command string, c crewCommand) error {
	switch {
	case strings.HasPrefix(command, "crew missing"):
		return p.crewMissing(c.Missing)
	case strings.HasPrefix(command, "crew make"):
		return p.crewMake(c.Make)
	case strings.HasPrefix(command, "crew why"):
		return p.crewWhy(c.Why)
	case strings.HasPrefix(command, "crew next"):
		return p.crewNext(c.Next)
	case strings.HasPrefix(command, "crew messages"):
		return p.crewMessages(c.Messages)
	case strings.HasPrefix(command, "crew on-duty"):
		return p.crewOnDuty(c.OnDuty)
	case strings.HasPrefix(command, "crew answers"):
		return p.crewAnswers(c.Answers)
	case strings.HasPrefix(command, "crew came"):
		return p.crewCame(c.Came)
	case strings.HasPrefix(command, "crew balance"):
		return p.crewBalance(c.Balance)
	case strings.HasPrefix(command, "crew calendar"):
		return p.crewCalendar(c.Calendar)
	case strings.HasPrefix(command, "crew forget"):
		return p.crewForget(c.Forget)
	case strings.HasPrefix(command, "crew ready"):
		return p.crewReady(c.Ready)
	case strings.HasPrefix(command, "crew fill"):
		return p.crewFill(c.Fill)
	case strings.HasPrefix(command, "crew first"):
		return p.crewFirst(c.First)
	case strings.HasPrefix(command, "crew season"):
		return p.crewSeason(c.Season)
	case strings.HasPrefix(command, "crew swap"):
		return p.crewSwap(c.Swap)
	}
	return p.crewExport(c.Export)
}

// plan reads the files and holds everybody against every seat.
func (p *Program) plan(c crewFiles) (*seating.Plan, league.League, error) {
	given := desk.Given{To: desk.Always}
	var err error
	if given.League, given.Games, err = c.read(); err != nil {
		return nil, given.League, err
	}
	if given.Rules, given.People, _, err = p.crewList(c.Crew, c.People); err != nil {
		return nil, given.League, err
	}
	if err = c.days(&given); err != nil {
		return nil, given.League, err
	}
	plan, err := given.Plan()
	if err != nil || c.Log == "" {
		return plan, given.League, err
	}
	log, err := readLog(c.Log)
	if err != nil {
		return nil, given.League, err
	}
	desk.LeaveOut(plan, log)
	return plan, given.League, nil
}

// crewList reads the rules and the list of people, and says what is wrong with it.
// Text is the list as it stands in its file.
func (p *Program) crewList(rulesFile, peopleFile string) (rules seating.Rules, list []people.Person, text []byte, err error) {
	if text, err = readFile(rulesFile); err == nil {
		rules, err = seating.Read(text, filepath.Base(rulesFile))
	}
	if err != nil {
		return rules, nil, nil, err
	}
	if text, err = readFile(peopleFile); err != nil {
		return rules, nil, nil, err
	}
	list, found := people.Read(text, rules.Kinds())
	p.lines(wording.PeopleFindings(p.words, found))
	if len(list) == 0 {
		err = message.New("command.crew.nobody", "file", filepath.Base(peopleFile))
	}
	return rules, list, text, err
}

func (c crewFiles) days(given *desk.Given) (err error) {
	if c.From != "" {
		if given.From, err = dates.Parse(c.From); err != nil {
			return err
		}
	}
	if c.To != "" {
		given.To, err = dates.Parse(c.To)
	}
	return err
}

// readRota reads a rota.
func readRota(file string) ([]seating.Duty, error) {
	text, err := readFile(file)
	if err != nil {
		return nil, err
	}
	kept, err := seating.ReadDuties(text)
	if err != nil {
		return nil, cannotRead(file, err)
	}
	return kept, nil
}

func keepRota(file string, list []seating.Duty) error {
	text, err := seating.Keep(list)
	if err != nil {
		return err
	}
	return durable.Write(durable.System(), file, text)
}

// held reads the files with a rota.
func (p *Program) held(c crewRota) (wording.Crew, error) {
	say := wording.Crew{Words: p.words}
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return say, err
	}
	kept, err := readRota(c.Rota)
	say.Rota = desk.Hold(l, plan, kept)
	return say, err
}

// crewMissing says which seats few people can take at all.
func (p *Program) crewMissing(c crewMissing) error {
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return err
	}
	p.lines(wording.Crew{Words: p.words, Rota: desk.Rota{League: l, Plan: plan}}.Missing(desk.Missing(plan, c.Few)))
	return nil
}

// crewMake makes the rota and keeps it.
func (p *Program) crewMake(c crewMake) error {
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return err
	}
	var kept []seating.Duty
	if c.Keep != "" {
		if kept, err = readRota(c.Keep); err != nil {
			return err
		}
		kept = append([]seating.Duty{}, kept...) // none known is not no rota
	}
	if err := welcome(plan, l, kept, c); err != nil {
		return err
	}
	made, err := desk.Make(plan, kept, rota.Options{Seed: c.Seed, Moves: c.Moves})
	if err != nil {
		return err
	}
	if err := keepRota(c.Out, plan.Duties(made.Who, made.Accepted)); err != nil {
		return err
	}
	say := wording.Crew{Words: p.words, Rota: desk.Rota{League: l, Plan: plan, Who: made.Who}}
	p.lines(say.Made(made, filepath.Base(c.Out), c.Keep != ""))
	return nil
}

// crewWhy says who sits in a seat, or why somebody does not.
func (p *Program) crewWhy(c crewWhy) error {
	say, err := p.held(c.crewRota)
	if err != nil {
		return err
	}
	slot, err := say.Rota.Slot(c.Game, c.Seat)
	if err != nil {
		return err
	}
	why, err := say.Rota.Why(slot, c.Name)
	if err != nil {
		return err
	}
	p.lines([]string{say.Why(slot, why)})
	return nil
}

// crewNext says who could take a seat, and with --ask writes to them.
func (p *Program) crewNext(c crewNext) error {
	say, err := p.held(c.crewRota)
	if err != nil {
		return err
	}
	slot, err := say.Rota.Slot(c.Game, c.Seat)
	if err != nil {
		return err
	}
	list := say.Rota.Next(slot, c.Most)
	p.lines(say.Next(slot, list))
	if !c.Ask || len(list) == 0 {
		return nil
	}
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	messages := d.Instead(slot, list)
	d.Sent(messages) // their answers are known only by that
	if err := keepLog(file, d.Log); err != nil {
		return err
	}
	return p.writeMessages(d, messages)
}

// crewExport prints the rota as a table.
func (p *Program) crewExport(c crewExport) error {
	say, err := p.held(c.crewRota)
	if err != nil {
		return err
	}
	return tables.CSV.Write(p.Out, say.Table(c.Name))
}
