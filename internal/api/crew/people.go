package crew

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/game/dates"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
	"whistlestop/practice/progress"
)

// crewPersonJSON is somebody of the list.
type crewPersonJSON struct {
	ID        string            `json:"id"`
	Name      string            `json:"name"`
	Family    string            `json:"family"`
	Teams     []string          `json:"teams"`
	Levels    map[string]string `json:"levels"` // by the kind of seat: learner, ready, guide
	Days      []string          `json:"days"`   // of the week; none: every day
	Away      []crewSpanJSON    `json:"away"`
	NotBefore string            `json:"not_before"`
	DayMost   int               `json:"day_most"`
	Most      int               `json:"most"`
	Age       int               `json:"age"` // nought: an adult
	Screened  string            `json:"screened"`
	Far       []string          `json:"far"`
	OneFree   bool              `json:"one_free"`
	Reach     string            `json:"reach"`
	Wish      string            `json:"wish"`  // what they asked on their page: forget, not_me
	Since     string            `json:"since"` // new since; empty: not new
	Stays     string            `json:"stays"` // for the season that began: waiting, yes, no; empty: not asked
}

// crewSpanJSON is days away, both ends included.
type crewSpanJSON struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// crewFindingJSON is what is wrong with a line of what was sent.
type crewFindingJSON struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

// crewPeopleJSON is the list.
type crewPeopleJSON struct {
	People   []crewPersonJSON  `json:"people"`
	Findings []crewFindingJSON `json:"findings"`
	Fresh    int               `json:"fresh"` // who were not in the list before
	Kept     bool              `json:"kept"`
}

// keepPeopleJSON is a list as it is pasted.
type keepPeopleJSON struct {
	Text    string `json:"text"`
	Replace bool   `json:"replace,omitempty"` // who is not in it goes
	Check   bool   `json:"check,omitempty"`   // nothing is kept
}

func idOf(who duties.Who) string {
	sum := sha256.Sum256([]byte(who.Name + "\x00" + who.Family))
	return hex.EncodeToString(sum[:8])
}

func whoOf(p people.Person) duties.Who { return duties.Who{Name: p.Name, Family: p.Family} }

func (st state) person(id string) int {
	return slices.IndexFunc(st.people, func(p people.Person) bool { return idOf(whoOf(p)) == id })
}

// known is the place of somebody in the list, or the no that says they are not there.
func (st state) known(id string) (int, error) {
	at := st.person(id)
	if at < 0 {
		return 0, api.NotThere("crew.no_person")
	}
	return at, nil
}

func (st state) personJSON(p people.Person) crewPersonJSON {
	out := crewPersonJSON{
		ID: idOf(whoOf(p)), Name: p.Name, Family: p.Family, Teams: texts(p.Teams), Levels: map[string]string{}, Days: []string{}, Away: []crewSpanJSON{},
		DayMost: p.DayMost, Most: p.Most, Age: p.Age, Far: texts(p.Far), OneFree: p.OneFree, Reach: p.Reach,
	}
	for kind, level := range p.Levels {
		out.Levels[kind] = string(level)
	}
	for _, day := range p.Days {
		out.Days = append(out.Days, day.String())
	}
	for _, span := range p.Away {
		out.Away = append(out.Away, crewSpanJSON{span.From.String(), span.To.String()})
	}
	if p.NotBefore != nil {
		out.NotBefore = p.NotBefore.String()
	}
	if p.Screened != nil {
		out.Screened = p.Screened.String()
	}
	for _, w := range st.more.Wishes {
		if w.Who == whoOf(p) {
			out.Wish = w.Kind
		}
	}
	out.Since = dayText(p.Since)
	return out
}

func texts(some []string) []string { return append([]string{}, some...) }

func (st state) everybody() []crewPersonJSON {
	all, said := []crewPersonJSON{}, st.log.Work()
	for _, p := range st.people {
		one := st.personJSON(p)
		if stays := said.Staying(whoOf(p)); stays != duties.NotAsked {
			one.Stays = string(stays)
		}
		all = append(all, one)
	}
	return all
}

// people is the list as it is.
func (s *Service) people(c *api.Call) (crewPeopleJSON, error) {
	return with(s, c, func(v view) (crewPeopleJSON, error) {
		return crewPeopleJSON{People: v.everybody(), Findings: []crewFindingJSON{}, Kept: true}, nil
	})
}

// keepPeople reads a list that is pasted and keeps whoever is not there yet.
func (s *Service) keepPeople(c *api.Call, in keepPeopleJSON) (crewPeopleJSON, error) {
	return with(s, c, func(v view) (crewPeopleJSON, error) {
		read, found := people.Read([]byte(in.Text), v.rules.Kinds())
		out := crewPeopleJSON{Findings: []crewFindingJSON{}}
		for _, f := range found {
			out.Findings = append(out.Findings, crewFindingJSON{f.Line, say(c, "people."+string(f.Kind), "line", strconv.Itoa(f.Line), "column", f.Column, "text", f.Text)})
		}
		st := v.state
		if in.Replace {
			st.people = nil
		}
		st.people = slices.Clone(st.people)
		for _, p := range read {
			if v.person(idOf(whoOf(p))) < 0 {
				out.Fresh++
			} else if !in.Replace {
				out.Findings = append(out.Findings, crewFindingJSON{0, say(c, "crew.there_already", "name", p.Name)})
				continue
			}
			st.people = append(st.people, p)
		}
		out.People = st.everybody()
		if in.Check || len(read) == 0 {
			return out, nil
		}
		if in.Replace {
			if err := s.did(c, didReplace, ""); err != nil {
				return crewPeopleJSON{}, err
			}
		}
		out.Kept = true
		return out, s.keep(c, "people", st, peoplePaper)
	})
}

// keepPerson changes somebody. A change of name or family goes through everything
// that names them.
func (s *Service) keepPerson(c *api.Call, in crewPersonJSON) (crewPersonJSON, error) {
	return with(s, c, func(v view) (crewPersonJSON, error) {
		at, err := v.known(c.Part("person"))
		if err != nil {
			return crewPersonJSON{}, err
		}
		p, err := v.personOf(in)
		if err != nil {
			return crewPersonJSON{}, err
		}
		st := v.state
		if other := st.person(idOf(whoOf(p))); other >= 0 && other != at {
			return crewPersonJSON{}, api.Refuse("crew.there_already", "name", p.Name)
		}
		before := whoOf(st.people[at])
		st.people = slices.Clone(st.people)
		st.people[at] = p
		st = st.renamed(before, whoOf(p))
		return st.personJSON(p), s.keep(c, "person", st, peoplePaper, rotaPaper, logPaper, morePaper)
	})
}

// personOf reads somebody by way of the list, so that both take the same.
func (st state) personOf(in crewPersonJSON) (people.Person, error) {
	p := people.Person{
		Name: in.Name, Family: in.Family, Teams: in.Teams, Levels: map[string]people.Level{}, DayMost: in.DayMost, Most: in.Most, Age: in.Age,
		Far: in.Far, OneFree: in.OneFree, Reach: in.Reach,
	}
	if p.Family == "" {
		p.Family = p.Name
	}
	for kind, level := range in.Levels {
		p.Levels[kind] = people.Level(level)
	}
	for _, day := range in.Days {
		var one dates.Weekday
		if err := one.UnmarshalText([]byte(day)); err != nil {
			return p, api.Refuse("crew.refused", "why", api.Plain(err))
		}
		p.Days = append(p.Days, one)
	}
	for _, span := range in.Away {
		from, err := dates.Parse(span.From)
		to, wrong := dates.Parse(span.To)
		if err != nil || wrong != nil || to < from {
			return p, api.Refuse("crew.span")
		}
		p.Away = append(p.Away, people.Span{From: from, To: to})
	}
	if in.NotBefore != "" {
		p.NotBefore = new(dates.Clock)
		if err := p.NotBefore.UnmarshalText([]byte(in.NotBefore)); err != nil {
			return p, api.Refuse("crew.refused", "why", api.Plain(err))
		}
	}
	if in.Screened != "" {
		day, err := dates.Parse(in.Screened)
		if err != nil {
			return p, api.Refuse("crew.refused", "why", api.Plain(err))
		}
		p.Screened = &day
	}
	if in.Since != "" {
		day, err := dates.Parse(in.Since)
		if err != nil {
			return p, api.Refuse("crew.refused", "why", api.Plain(err))
		}
		p.Since = &day
	}
	read, found := people.Read(people.Write([]people.Person{p}, st.rules.Kinds()), st.rules.Kinds())
	if len(read) != 1 || len(found) > 0 {
		return p, api.Refuse("crew.person")
	}
	return read[0], nil
}

// renamed is the state in which somebody has another name or family.
func (st state) renamed(from, to duties.Who) state {
	if from == to {
		return st
	}
	st.rota = slices.Clone(st.rota)
	for i, d := range st.rota {
		if d.Name == from.Name && d.Family == from.Family {
			st.rota[i].Name, st.rota[i].Family = to.Name, to.Family
		}
	}
	events := slices.Clone(st.log.Events)
	for i := range events {
		if events[i].Who == from {
			events[i].Who = to
		}
	}
	st.log.Events = events
	st.more.Links = slices.Clone(st.more.Links)
	for i := range st.more.Links {
		if st.more.Links[i].Who == from {
			st.more.Links[i].Who = to
		}
	}
	if slices.Contains(st.more.NoMail, from) {
		st = st.leaveMail(from, false).leaveMail(to, true)
	}
	st.more.Devices = slices.Clone(st.more.Devices)
	for i := range st.more.Devices {
		if st.more.Devices[i].Who == from {
			st.more.Devices[i].Who = to
		}
	}
	st.more.Outbox = slices.Clone(st.more.Outbox)
	for i := range st.more.Outbox {
		if st.more.Outbox[i].Who == from {
			st.more.Outbox[i].Who = to
		}
	}
	st.more.Swaps, st.more.Heard, st.more.Swapped = slices.Clone(st.more.Swaps), slices.Clone(st.more.Heard), slices.Clone(st.more.Swapped)
	var seats []*held
	for _, list := range [][]swapAsk{st.more.Swaps, st.more.Swapped} {
		for i := range list {
			seats = append(seats, &list[i].Of, &list[i].With)
		}
	}
	for i := range st.more.Heard {
		seats = append(seats, &st.more.Heard[i].held)
	}
	for _, one := range seats {
		if one.Who == from {
			one.Who = to
		}
	}
	return st
}

// crewForgottenJSON is what a name stood in.
type crewForgottenJSON struct {
	Duties int `json:"duties"`
	Events int `json:"events"`
}

// forget takes somebody out of everything that is kept, and out of every earlier
// version of it. What they did still counts, for nobody.
func (s *Service) forget(c *api.Call) (crewForgottenJSON, error) {
	return with(s, c, func(v view) (crewForgottenJSON, error) {
		at, err := v.known(c.Part("person"))
		if err != nil {
			return crewForgottenJSON{}, err
		}
		if err := s.did(c, didForget, c.Part("person")); err != nil {
			return crewForgottenJSON{}, err
		}
		who, out, st := whoOf(v.people[at]), crewForgottenJSON{}, v.state
		st.people = slices.Delete(slices.Clone(st.people), at, at+1)
		st.rota = slices.Clone(st.rota)
		for i, d := range st.rota {
			if d.Name == who.Name && d.Family == who.Family {
				st.rota[i].Name, st.rota[i].Family, st.rota[i].Accepted = "", "", false
				out.Duties++
			}
		}
		st.log, out.Events = st.log.Forget(who)
		st.more.Links = slices.DeleteFunc(slices.Clone(st.more.Links), func(l link) bool { return l.Who == who })
		st.more.Outbox = slices.DeleteFunc(slices.Clone(st.more.Outbox), func(m sent) bool { return m.Who == who })
		st.more.Wishes = slices.DeleteFunc(slices.Clone(st.more.Wishes), func(w wish) bool { return w.Who == who })
		st = st.leaveMail(who, false).withoutDevicesOf(func(one duties.Who) bool { return one == who }).withoutSwapsOf(who)
		st.more.Results = slices.DeleteFunc(slices.Clone(st.more.Results), func(code string) bool {
			result, err := progress.DecodeResult(code)
			return err == nil && strings.EqualFold(strings.TrimSpace(result.Name), who.Name)
		})
		s.Logger.Info("somebody was forgotten", "duties", out.Duties, "events", out.Events)
		return out, s.keepForgetting(c, "forgotten", st)
	})
}

// copyJSON is everything that is kept of somebody.
type copyJSON struct {
	Person  crewPersonJSON `json:"person"`
	Duties  []crewDutyJSON `json:"duties"`
	Events  []duties.Event `json:"events"`
	Sent    []sent         `json:"sent"`
	Links   int            `json:"links"`   // that open their page
	Devices []device       `json:"devices"` // that have reminders on
}

// copyOf is a file of everything that is kept of somebody.
func (s *Service) copyOf(c *api.Call) (api.File, error) {
	return with(s, c, func(v view) (api.File, error) {
		at, err := v.known(c.Part("person"))
		if err != nil {
			return api.File{}, err
		}
		if err := s.did(c, didCopy, c.Part("person")); err != nil {
			return api.File{}, err
		}
		who := whoOf(v.people[at])
		out := copyJSON{Person: v.personJSON(v.people[at]), Duties: v.dutiesJSON(c, who, nil), Events: []duties.Event{}, Sent: []sent{}, Devices: []device{}}
		for _, e := range v.log.Events {
			if e.Who == who {
				out.Events = append(out.Events, e)
			}
		}
		for _, m := range v.more.Outbox {
			if m.Who == who {
				out.Sent = append(out.Sent, m)
			}
		}
		for _, d := range v.more.Devices {
			if d.Who == who {
				out.Devices = append(out.Devices, d)
			}
		}
		for _, l := range v.more.Links {
			if l.Who == who {
				out.Links++
			}
		}
		raw, err := json.MarshalIndent(out, "", " ")
		return api.File{Raw: raw, Media: "application/json", Name: "person.json"}, err
	})
}

// file is one of the files that the commands read and write.
func (s *Service) file(c *api.Call) (api.File, error) {
	return with(s, c, func(v view) (api.File, error) {
		for _, f := range []struct{ name, paper, media string }{
			{"people" + ".csv", peoplePaper, "text/csv"}, {"crew" + ".toml", rulesPaper, "text/plain"}, // no keys of messages
			{"rota" + ".json", rotaPaper, "application/json"}, {"duties.json", logPaper, "application/json"},
		} {
			if c.Part("file") == f.name {
				if err := s.did(c, didExport, f.name); err != nil {
					return api.File{}, err
				}
				text, err := v.withAccepted().paper(f.paper)
				return api.File{Raw: text, Media: f.media, Name: f.name}, err
			}
		}
		return api.File{}, api.NotThere("web.no_api")
	})
}

// say is a text of the caller's language; pairs fill its gaps.
func say(c *api.Call, key string, pairs ...string) string {
	return wording.Say(c.Words, key, pairs...)
}
