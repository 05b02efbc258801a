package harbour

import (
	"bytes"
	"embed"
	"fmt"
	"regexp"
	"strings"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/dice"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

//go:embed files
var files embed.FS

// Season is the invented Harbour League some weeks into its season, with its crew: the
// files that a desk keeps.
type Season struct {
	League, Schedule         []byte
	People, Rules, Rota, Log []byte
}

const (
	weeksOver = 4      // of the season that are over
	daysAhead = 55     // days that the rota looks ahead
	moves     = 20_000 // of the rota's search
	noon      = 12 * 60
	seed      = 18
)

// Desk is the invented season as it stands on a day. The key makes the codes of the
// answers: duties.KeyBytes of it.
func Desk(today dates.Day, key []byte) (Season, error) {
	var s Season
	given, err := s.season(today)
	if err != nil {
		return s, err
	}
	given.People = inventPeople(given.League, today)
	plan, err := given.Plan()
	if err != nil {
		return s, err
	}
	log := duties.Log{Key: key}
	desk.Welcome(plan, nil, today)
	made, err := desk.Make(plan, nil, rota.Options{Seed: seed, Moves: moves})
	if err != nil {
		return s, err
	}
	d := desk.Open(given.League, plan, plan.Duties(made.Who, nil), log, duties.Moment{Day: given.League.From - 7, Clock: noon})
	converse(d, today)
	// One who came later than the rota waits for a first duty.
	list := append(given.People, people.Person{Name: "Wilma Crayside", Family: "Crayside", Teams: []string{"millrace-u12"}, Since: &today,
		Levels: map[string]people.Level{"clock": people.Ready}})
	s.People = people.Write(list, given.Rules.Kinds())
	if s.Rota, err = seating.Keep(d.Kept(nil)); err == nil {
		s.Log, err = d.Log.Keep()
	}
	return s, err
}

var dateForm = regexp.MustCompile(`\d{4}-\d{2}-\d{2}`)

// season reads the league and makes its schedule, moved by whole weeks so that some of
// them are over.
func (s *Season) season(today dates.Day) (given desk.Given, err error) {
	text, err := files.ReadFile("files/harbour.toml")
	if err != nil {
		return given, err
	}
	before, err := league.Read(text, "harbour.toml")
	if err != nil {
		return given, err
	}
	shift := dates.Day((today.Week() - before.From.Week() - weeksOver) * 7)
	s.League = dateForm.ReplaceAllFunc(text, func(raw []byte) []byte {
		day, bad := dates.Parse(string(raw))
		if bad != nil {
			return raw
		}
		return []byte((day + shift).String())
	})
	if given.League, err = league.Read(s.League, "harbour.toml"); err != nil {
		return given, err
	}
	plan, err := schedule.Make(given.League, schedule.Settings{Seed: 1})
	if err != nil {
		return given, err
	}
	given.Games, given.From, given.To = plan.Games, given.League.From, today+daysAhead
	if s.Schedule, err = schedule.Keep(given.League, plan.Games); err != nil {
		return given, err
	}
	if s.Rules, err = files.ReadFile("files/harbour-crew.toml"); err != nil {
		return given, err
	}
	given.Rules, err = seating.Read(s.Rules, "harbour-crew.toml")
	return given, err
}

// All names are invented.
var (
	firstNames = []string{
		"Maren", "Jon", "Ida", "Rune", "Sunniva", "Aron", "Tuva", "Eskil", "Nora", "Odin",
		"Liv", "Birk", "Runa", "Joar", "Selma", "Kaj", "Vanja", "Tor", "Ebba", "Ymir",
		"Signe", "Loke", "Astri", "Njal", "Freyja", "Hale", "Inga", "Sten", "Moira", "Falk",
		"Greta", "Ravn", "Thea", "Ulf", "Una", "Vidar", "Asa", "Bo",
	}
	lastNames = []string{
		"Holt", "Vik", "Dahl", "Lie", "Berg", "Strand", "Moe", "Fjordby", "Sandholm", "Ropemark",
		"Quayle", "Netley", "Tidewell", "Marlsby", "Oarstad", "Keelham", "Mastby", "Buoyer", "Shoalund",
	}
)

// inventPeople are two of each family, with a child in one team or two. Some guide, many
// are ready, some learn; one is new.
func inventPeople(l league.League, today dates.Day) []people.Person {
	var teams []string
	for _, d := range l.Divisions {
		for _, t := range d.Teams {
			teams = append(teams, t.ID)
		}
	}
	random := dice.Dice(seed)
	var list []people.Person
	for i, first := range firstNames {
		family := lastNames[i/2]
		one := people.Person{Name: first + " " + family, Family: family, Teams: []string{teams[i/2%len(teams)]}, Levels: map[string]people.Level{}, DayMost: 1 + i%2}
		if i/2%5 == 0 {
			one.Teams = append(one.Teams, teams[(i/2+3)%len(teams)])
		}
		for _, kind := range []string{"clock", "book", "box", "shots"} {
			switch chance := random.Below(10); {
			case chance < 2:
				one.Levels[kind] = people.Guide
			case chance < 6:
				one.Levels[kind] = people.Ready
			case chance < 7:
				one.Levels[kind] = people.Learner
			}
		}
		if screened := l.To + 200; random.Below(4) > 0 {
			one.Screened = &screened
		}
		if random.Below(3) > 0 {
			one.Reach = fmt.Sprintf("%s@harbour.example", strings.ToLower(first))
		}
		if i == len(firstNames)-1 {
			since := today - 9
			one.Since, one.Levels = &since, map[string]people.Level{"clock": people.Ready, "book": people.Learner}
		}
		list = append(list, one)
	}
	return list
}

// converse is what people were asked and said, and who came, until a day.
func converse(d *desk.Desk, today dates.Day) {
	random := dice.Dice(seed + 1)
	d.Sent(d.Due())
	var codes bytes.Buffer
	for _, one := range d.Duties {
		if one.Name == "" {
			continue
		}
		answer := duties.SayYes
		switch chance := random.Below(20); {
		case chance == 0 && one.Day > today:
			answer = duties.SayNo
		case chance == 1:
			answer = duties.SaySpare
		case chance < 6 && one.Day > today:
			continue // has not answered
		}
		codes.WriteString(d.Log.Code(one, answer) + "\n")
	}
	d.Now = duties.Moment{Day: d.Now.Day + 1, Clock: noon}
	d.Take(codes.String())
	for slot := range d.Duties {
		one := d.Duties[slot]
		if one.Name == "" || one.Day >= today {
			continue
		}
		d.Now = duties.Moment{Day: one.Day, Clock: one.There}
		kind := duties.Came
		if random.Below(9) == 0 {
			kind = duties.Missed
		}
		// A seat of the plan is there, so this cannot fail.
		_, _ = d.Mark(one.Game, one.Seat, kind)
	}
	d.Now = duties.Moment{Day: today, Clock: noon}
}
