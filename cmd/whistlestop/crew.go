package main

import (
	"encoding/csv"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

type crewCommand struct {
	Missing crewMissing `cmd:""`
	Make    crewMake    `cmd:""`
	Why     crewWhy     `cmd:""`
	Next    crewNext    `cmd:""`
	Export  crewExport  `cmd:""`

	Messages crewMessages `cmd:""`
	Answers  crewAnswers  `cmd:""`
	Came     crewCame     `cmd:""`
	Balance  crewBalance  `cmd:""`
	Calendar crewCalendar `cmd:""`
	Forget   crewForget   `cmd:""`
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

// changing is what it costs to change a duty that people know, in points: ours, of
// the weight that a change within two weeks has.
const changing = 50

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
	}
	return p.crewExport(c.Export)
}

// plan reads the files and holds everybody against every seat.
func (p *Program) plan(c crewFiles) (*seating.Plan, league.League, error) {
	l, games, err := c.read()
	if err != nil {
		return nil, l, err
	}
	text, err := readBounded(c.Crew)
	if err != nil {
		return nil, l, cannotRead(c.Crew, err)
	}
	rules, err := seating.Read(text, filepath.Base(c.Crew))
	if err != nil {
		return nil, l, err
	}
	if text, err = readBounded(c.People); err != nil {
		return nil, l, cannotRead(c.People, err)
	}
	list, found := people.Read(text, rules.Kinds())
	for _, f := range found {
		p.line("people."+string(f.Kind), "line", strconv.Itoa(f.Line), "column", f.Column, "text", f.Text)
	}
	if len(list) == 0 {
		return nil, l, message.New("command.crew.nobody", "file", filepath.Base(c.People))
	}
	from, to, err := c.days()
	if err != nil {
		return nil, l, err
	}
	plan, err := seating.Build(rules, list, crewGames(l, games, from, to))
	if err != nil {
		return nil, l, err
	}
	if len(plan.Slots) == 0 {
		return nil, l, message.New("command.crew.no_seats")
	}
	if c.Log != "" {
		log, err := readLog(c.Log)
		if err != nil {
			return nil, l, err
		}
		said := log.Work()
		plan.Without(func(game, seat, name, family string) bool {
			return said.Of(game, seat, duties.Who{Name: name, Family: family}).Status == duties.No
		})
	}
	return plan, l, nil
}

func (c crewFiles) days() (from, to dates.Day, err error) {
	to = math.MaxInt32
	if c.From != "" {
		if from, err = dates.Parse(c.From); err != nil {
			return from, to, err
		}
	}
	if c.To != "" {
		to, err = dates.Parse(c.To)
	}
	return from, to, err
}

// crewGames are the games that will be played, as the crew sees them.
func crewGames(l league.League, games []schedule.Game, from, to dates.Day) []seating.Game {
	var list []seating.Game
	for _, g := range games {
		if g.Place == nil || g.State != schedule.Scheduled || g.Place.Day < from || g.Place.Day > to {
			continue
		}
		drive := map[string]int{}
		for _, r := range l.Rinks {
			if r.ID == g.Place.Rink {
				drive = r.Drive
			}
		}
		list = append(list, seating.Game{
			ID: g.ID, Division: g.Division, Teams: []string{g.Home, g.Visitors}, Rink: g.Place.Rink,
			Day: g.Place.Day, Start: g.Place.Start, Minutes: g.Place.Minutes, Drive: drive,
		})
	}
	return list
}

// standing reads a rota and finds its people and seats in the plan.
func standing(plan *seating.Plan, file string) ([]int, map[int]bool, error) {
	text, err := readBounded(file)
	if err != nil {
		return nil, nil, cannotRead(file, err)
	}
	duties, err := seating.ReadDuties(text)
	if err != nil {
		return nil, nil, cannotRead(file, err)
	}
	who, accepted := plan.Stand(duties)
	return who, accepted, nil
}

// crewMissing says by week which seats few people can take at all.
func (p *Program) crewMissing(c crewMissing) error {
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return err
	}
	told := 0
	for i, slot := range plan.Slots {
		can := len(plan.Problem.Slots[i].Candidates)
		if can >= c.Few {
			continue
		}
		told++
		p.line("command.crew.few", "count", strconv.Itoa(can), "seat", p.words.seatText(slot.Seat.ID), "game", p.words.crewGameText(l, plan, slot.Game), "reasons", p.words.reasonsText(plan, i, false))
	}
	p.line("command.crew.missing", "seats", strconv.Itoa(len(plan.Slots)), "few", strconv.Itoa(told), "people", strconv.Itoa(len(plan.People)), "families", strconv.Itoa(len(plan.Families)))
	return nil
}

// crewMake makes the rota and keeps it.
func (p *Program) crewMake(c crewMake) error {
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return err
	}
	if c.Moves < 0 || c.Moves > searchMost {
		return message.New("command.schedule.moves", "most", strconv.Itoa(searchMost))
	}
	problem, accepted := plan.Problem, map[int]bool{}
	var before []int
	if c.Keep != "" {
		if before, accepted, err = standing(plan, c.Keep); err != nil {
			return err
		}
		var broken []int
		problem, broken = plan.KeepDuties(before, accepted, changing)
		for _, i := range broken {
			delete(accepted, i)
			p.line("command.crew.broken", "name", plan.People[before[i]].Name, "seat", p.words.seatText(plan.Slots[i].Seat.ID), "game", p.words.crewGameText(l, plan, plan.Slots[i].Game), "reason", p.words.say("crew.reason."+string(plan.Why(i, before[i]))))
		}
	}
	made, err := rota.Make(problem, rota.Options{Seed: c.Seed, Moves: c.Moves})
	if err != nil {
		return err
	}
	for i := range before {
		if accepted[i] && made.Who[i] != before[i] {
			delete(accepted, i)
			p.line("command.crew.broken", "name", plan.People[before[i]].Name, "seat", p.words.seatText(plan.Slots[i].Seat.ID), "game", p.words.crewGameText(l, plan, plan.Slots[i].Game), "reason", p.words.say("crew.rule.learner"))
		}
	}
	text, err := seating.Keep(plan.Duties(made.Who, accepted))
	if err != nil {
		return err
	}
	if err := durable.Write(durable.System(), c.Out, text); err != nil {
		return err
	}
	empty, changed := 0, 0
	for i, v := range made.Who {
		if before != nil && before[i] != rota.Nobody && before[i] != v {
			changed++
		}
		if v != rota.Nobody {
			continue
		}
		empty++
		p.line("command.crew.empty", "seat", p.words.seatText(plan.Slots[i].Seat.ID), "game", p.words.crewGameText(l, plan, plan.Slots[i].Game), "reasons", p.words.reasonsText(plan, i, true))
	}
	p.line("command.crew.made", "file", filepath.Base(c.Out), "seats", strconv.Itoa(len(plan.Slots)), "empty", strconv.Itoa(empty), "cost", strconv.Itoa(made.Cost), "bound", strconv.Itoa(made.Bound))
	if before != nil {
		p.line("command.crew.changed", "count", strconv.Itoa(changed))
	}
	return p.balance(plan, made.Who)
}

// balance prints what each family has, and what its share is.
func (p *Program) balance(plan *seating.Plan, who []int) error {
	duties := make([]int, len(plan.Families))
	for _, v := range who {
		if v != rota.Nobody {
			duties[plan.Problem.People[v].Family]++
		}
	}
	for f, name := range plan.Families {
		p.line("command.crew.family", "family", name, "share", strconv.Itoa(plan.Problem.Families[f].Target), "duties", strconv.Itoa(duties[f]))
	}
	return nil
}

// asked finds the seat that somebody asks about, with the rota, and what a sentence
// needs to name the seat.
func (p *Program) asked(c crewSeat) (plan *seating.Plan, who []int, slot int, where []string, err error) {
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return nil, nil, 0, nil, err
	}
	if who, _, err = standing(plan, c.Rota); err != nil {
		return nil, nil, 0, nil, err
	}
	for i, s := range plan.Slots {
		if plan.Games[s.Game].ID == c.Game && s.Seat.ID == c.Seat {
			return plan, who, i, []string{"seat", p.words.seatText(c.Seat), "game", p.words.crewGameText(l, plan, s.Game)}, nil
		}
	}
	return nil, nil, 0, nil, message.New("command.crew.no_seat", "game", c.Game, "seat", c.Seat)
}

func (p *Program) crewWhy(c crewWhy) error {
	plan, who, slot, where, err := p.asked(c.crewSeat)
	if err != nil {
		return err
	}
	if c.Name == "" {
		if v := who[slot]; v != rota.Nobody {
			p.line("command.crew.taken", append(where, "name", plan.People[v].Name)...)
			return nil
		}
		p.line("command.crew.empty", append(where, "reasons", p.words.reasonsText(plan, slot, true))...)
		return nil
	}
	asked := slices.IndexFunc(plan.People, func(one people.Person) bool { return one.Name == c.Name })
	if asked < 0 {
		return message.New("command.crew.unknown", "name", c.Name)
	}
	where = append(where, "name", c.Name)
	switch reason := plan.Why(slot, asked); {
	case reason != "":
		p.line("command.crew.why", append(where, "reason", p.words.say("crew.reason."+string(reason)))...)
	case who[slot] == asked:
		p.line("command.crew.taken", where...)
	default:
		p.whyBusy(plan, who, slot, asked, where)
	}
	return nil
}

// whyBusy says which other duties keep a person from a seat, or what it would cost.
func (p *Program) whyBusy(plan *seating.Plan, who []int, slot, person int, where []string) {
	if faults := rota.Against(plan.Problem, who, slot, person); len(faults) > 0 {
		p.line("command.crew.why", append(where, "reason", p.words.say("crew.rule."+faults[0].Rule))...)
		return
	}
	for _, one := range rota.Next(plan.Problem, who, slot) {
		if one.Person == person {
			f := plan.Problem.People[person].Family
			p.line("command.crew.could", append(where, "share", strconv.Itoa(plan.Problem.Families[f].Target), "duties", strconv.Itoa(dutiesOf(plan, who, f)))...)
		}
	}
}

func dutiesOf(plan *seating.Plan, who []int, family int) (count int) {
	for _, v := range who {
		if v != rota.Nobody && plan.Problem.People[v].Family == family {
			count++
		}
	}
	return count
}

func (p *Program) crewNext(c crewNext) error {
	plan, who, slot, where, err := p.asked(c.crewSeat)
	if err != nil {
		return err
	}
	list := rota.Next(plan.Problem, who, slot)
	if len(list) == 0 {
		p.line("command.crew.none", append(where, "reasons", p.words.reasonsText(plan, slot, true))...)
		return nil
	}
	for i, one := range list[:min(len(list), max(1, c.Most))] {
		f := plan.Problem.People[one.Person].Family
		p.line("command.crew.next", "place", strconv.Itoa(i+1), "name", plan.People[one.Person].Name, "share", strconv.Itoa(plan.Problem.Families[f].Target), "duties", strconv.Itoa(dutiesOf(plan, who, f)))
	}
	if c.Ask {
		return p.askInstead(c, list[:min(len(list), max(1, c.Most))])
	}
	return nil
}

func (p *Program) crewExport(c crewExport) error {
	plan, l, err := p.plan(c.crewFiles)
	if err != nil {
		return err
	}
	who, accepted, err := standing(plan, c.Rota)
	if err != nil {
		return err
	}
	var title []string
	for _, key := range []string{"day", "there", "game", "rink", "seat", "name", "family", "accepted"} {
		title = append(title, p.words.say("command.crew.column."+key))
	}
	lines := [][]string{title}
	for i, slot := range plan.Slots {
		game := plan.Games[slot.Game]
		name, family := "", ""
		if v := who[i]; v != rota.Nobody {
			name, family = plan.People[v].Name, plan.People[v].Family
		}
		if c.Name != "" && name != c.Name {
			continue
		}
		answer := ""
		if accepted[i] {
			answer = p.words.say("command.crew.yes")
		}
		lines = append(lines, []string{
			game.Day.String(), dates.Clock(max(0, int(game.Start)-slot.Seat.Before)).String(), p.words.crewGameText(l, plan, slot.Game), rinkText(l, game.Rink), p.words.seatText(slot.Seat.ID), name, family, answer,
		})
	}
	return csv.NewWriter(p.Out).WriteAll(lines)
}

// seatText names a seat: the usual ones by the words of the bench.
func (w words) seatText(id string) string {
	switch id {
	case "clock", "book", "box", "box_home", "box_visitors", "shots", "voice":
		return w.say("crew.seat." + id)
	}
	return id
}

func (w words) crewGameText(l league.League, plan *seating.Plan, game int) string {
	g := plan.Games[game]
	return w.say("command.crew.game", "day", g.Day.String(), "start", g.Start.String(), "home", teamText(l, g.Teams[0]), "visitors", teamText(l, g.Teams[1]), "id", g.ID)
}

// reasonsText counts how many people each reason keeps from a seat; once people were
// asked, also how many other duties keep.
func (w words) reasonsText(plan *seating.Plan, slot int, asked bool) string {
	out, busy := plan.WhyEmpty(slot)
	var list []string
	for _, reason := range seating.Reasons {
		if n := out[reason]; n > 0 {
			list = append(list, w.say("command.crew.counted", "count", strconv.Itoa(n), "reason", w.say("crew.reason."+string(reason))))
		}
	}
	if busy > 0 && asked {
		list = append(list, w.say("command.crew.counted", "count", strconv.Itoa(busy), "reason", w.say("crew.reason.busy")))
	}
	return strings.Join(list, "; ")
}
