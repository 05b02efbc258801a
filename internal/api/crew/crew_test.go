package crew_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/locale"
	"whistlestop/record/tables"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// papers are in memory, with how often they were written.
type papers struct {
	texts  map[string][]byte
	writes int
	full   bool // nothing can be written
}

func (p *papers) All(context.Context) (map[string][]byte, error) {
	all := map[string][]byte{}
	for name, text := range p.texts {
		all[name] = text
	}
	return all, nil
}

func (p *papers) Keep(_ context.Context, _ entry.Millis, _ string, texts map[string][]byte) error {
	if p.full {
		return errors.New("no space left")
	}
	p.writes++
	for name, text := range texts {
		p.texts[name] = text
	}
	return nil
}

func (p *papers) Forget(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error {
	return p.Keep(ctx, at, why, texts)
}

// files are the season.
type files struct{ league, schedule []byte }

func (f *files) League() ([]byte, error)   { return f.league, nil }
func (f *files) Schedule() ([]byte, error) { return f.schedule, nil }

func (f *files) KeepLeague(text []byte) error { f.league = text; return nil }

func (f *files) KeepSchedule(text []byte) error { f.schedule = text; return nil }

// desk is a service with a clock that the test sets.
type desk struct {
	t      *testing.T
	s      *crew.Service
	papers *papers
	files  *files
	now    time.Time
	key    byte
}

const leagueOfTests, peopleOfTests, crewOfTests = "../../../testdata/league/harbour.toml", "../../../testdata/league/harbour-people.csv", "../../../testdata/league/harbour-crew.toml"

func newDesk(t *testing.T) *desk {
	t.Helper()
	text := read(t, leagueOfTests)
	l, err := league.Read(text, "harbour.toml")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := schedule.Make(l, schedule.Settings{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	games, err := schedule.Keep(l, plan.Games)
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, papers: &papers{texts: map[string][]byte{}}, files: &files{text, games}, now: time.Date(2026, 9, 20, 12, 0, 0, 0, time.UTC)}
	d.start()
	return d
}

// start starts the program again on what is kept.
func (d *desk) start() {
	d.s = &crew.Service{
		Papers: d.papers, Season: d.files, Logger: slog.New(slog.DiscardHandler),
		Reach: func() (string, bool) { return "http://192.168.7.20:8480", true },
		PDF:   plain,
		Key: func(bytes int) []byte {
			d.key++
			raw := make([]byte, bytes)
			for i := range raw {
				raw[i] = d.key
			}
			return raw
		},
	}
}

// plain writes a document of tables as text, for tests of what stands in it.
func plain(out io.Writer, d tables.Document, words api.Words) error {
	for _, about := range d.About {
		fmt.Fprintln(out, about.In(words))
	}
	for _, table := range d.Parts[0].Tables {
		fmt.Fprintln(out, words.Text(table.Title.Key, table.Title.Args))
		for _, row := range table.Rows {
			var cells []string
			for _, cell := range row {
				cells = append(cells, cell.In(words))
			}
			fmt.Fprintln(out, strings.Join(cells, "|"))
		}
	}
	return nil
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// ask asks an operation as the coordinator, or as a stranger, and reads the answer.
func (d *desk) ask(method, path string, body, into any) error {
	d.t.Helper()
	return d.by(api.Caller{Here: true, Base: "http://127.0.0.1:8480"}, method, path, body, into)
}

func (d *desk) by(who api.Caller, method, path string, body, into any) error {
	d.t.Helper()
	return d.of(d.s.Operations(), who, method, path, body, into)
}

func (d *desk) of(table []api.Operation, who api.Caller, method, path string, body, into any) error {
	d.t.Helper()
	bare, query, _ := strings.Cut(path, "?")
	for _, o := range table {
		part, fits := o.Fits(bare)
		if o.Method != method || !fits {
			continue
		}
		c := &api.Call{
			Context: d.t.Context(), Caller: who, Words: locale.English(), Now: entry.Millis(d.now.UnixMilli()), Part: part,
			Query: func(name string) string {
				for _, one := range strings.Split(query, "&") {
					if has, value, _ := strings.Cut(one, "="); has == name {
						return value
					}
				}
				return ""
			},
			Body: func() ([]byte, error) {
				if raw, is := body.([]byte); is {
					return raw, nil
				}
				return json.Marshal(body)
			},
		}
		if err := o.Admit(c); err != nil {
			return err
		}
		_, file, err := o.Run(c)
		if err != nil {
			return err
		}
		if text, is := into.(*string); is {
			*text = string(file.Raw)
			return nil
		}
		if into == nil {
			return nil
		}
		return json.Unmarshal(file.Raw, into)
	}
	d.t.Fatalf("no operation %s %s", method, path)
	return nil
}

func (d *desk) must(method, path string, body, into any) {
	d.t.Helper()
	if err := d.ask(method, path, body, into); err != nil {
		d.t.Fatalf("%s %s: %v", method, path, said(err))
	}
}

func said(err error) string {
	var no *api.No
	if errors.As(err, &no) {
		return locale.English().Text(no.Say.Key, no.Say.Args)
	}
	return err.Error()
}

type duty struct {
	Game, Seat, Day, Name, Person, Status, Mark string
	Locked, Over                                bool
}

type page struct {
	First, Said          string
	Duties, Others, Past []duty
	Whole, Asked         bool
	Can                  struct{ Days []string }
}

// made is a desk with people, rules and a rota.
func made(t *testing.T) *desk {
	d := newDesk(t)
	d.must("PUT", "/api/crew/rules/file", map[string]string{"text": string(read(t, crewOfTests))}, nil)
	d.must("PUT", "/api/crew/people", map[string]string{"text": string(read(t, peopleOfTests))}, nil)
	d.must("POST", "/api/crew/rota", map[string]any{"from": "2026-10-01", "to": "2026-11-30", "moves": 20000}, nil)
	return d
}

func (d *desk) rota() []duty {
	var out struct{ Duties []duty }
	d.must("GET", "/api/crew/rota?from=2026-10-01&to=2026-11-30", nil, &out)
	return out.Duties
}

func of(list []duty, name string) (some []duty) {
	for _, one := range list {
		if one.Name == name {
			some = append(some, one)
		}
	}
	return some
}

func (d *desk) link(person string) string {
	var out struct{ Link string }
	d.must("POST", "/api/crew/links", map[string]string{"person": person}, &out)
	_, token, _ := strings.Cut(out.Link, "#")
	return token
}

// replaceable is a duty that somebody else could take, and who.
func (d *desk) replaceable() (one duty, next string) {
	d.t.Helper()
	for _, one := range d.rota() {
		var why struct{ Next []struct{ Person string } }
		d.must("GET", "/api/crew/seats/"+one.Game+"/"+one.Seat, nil, &why)
		if one.Name != "" && len(why.Next) > 0 {
			return one, why.Next[0].Person
		}
	}
	d.t.Fatal("nobody can be replaced")
	return one, ""
}

func stranger() api.Caller { return api.Caller{Address: "192.168.7.33"} }

// From people to who came, and again after the program was started anew.
func TestDesk(t *testing.T) {
	d := made(t)
	var missing struct {
		Weeks []struct{ Seats, Must, Few int }
		Few   []struct{ Text string }
	}
	d.must("GET", "/api/crew/missing", nil, &missing)
	if len(missing.Weeks) != 26 || missing.Weeks[0].Seats == 0 || len(missing.Few) == 0 || !strings.Contains(missing.Few[0].Text, "can take it") {
		t.Errorf("%+v", missing)
	}
	all := d.rota()
	maren := of(all, "Maren Holt")
	if len(all) != 31 || len(maren) == 0 {
		t.Fatal(len(all), len(maren))
	}
	var due struct {
		Due  []struct{ Person, Name, Text string }
		Sent []struct{ Name, State string }
	}
	d.must("GET", "/api/crew/messages", nil, &due)
	if len(due.Due) < 5 || !strings.Contains(due.Due[0].Text, "do you come? ") {
		t.Fatalf("%+v", due)
	}
	d.start() // codes are the same after the program was started again
	before := due.Due[0].Text
	d.must("GET", "/api/crew/messages", nil, &due)
	if due.Due[0].Text != before {
		t.Errorf("%s\nis now\n%s", before, due.Due[0].Text)
	}
	var everybody []string
	for _, one := range due.Due {
		everybody = append(everybody, one.Person)
	}
	d.must("POST", "/api/crew/messages", map[string]any{"people": everybody, "act": "sent"}, nil)
	_, code, _ := strings.Cut(before, "Yes: ")
	var replies struct {
		Replies []struct{ Result, Text string }
	}
	d.must("POST", "/api/crew/answers", map[string]string{"text": "Hello,\n" + strings.ToLower(code[:9]) + " is fine\n> quoted"}, &replies)
	if len(replies.Replies) != 1 || replies.Replies[0].Result != "done" || !strings.Contains(replies.Replies[0].Text, "says yes") {
		t.Errorf("%+v", replies)
	}
	due.Due = nil
	d.must("GET", "/api/crew/messages", nil, &due)
	if len(due.Due) != 0 || len(due.Sent) != len(everybody) {
		t.Errorf("%+v", due)
	}
	// Accepted and locked stay when the rota is made anew from nothing.
	yes := ""
	for _, one := range d.rota() {
		if one.Status == "yes" {
			yes = one.Game + one.Seat + one.Name
		}
	}
	locked := maren[len(maren)-1]
	d.must("POST", "/api/crew/seats/"+locked.Game+"/"+locked.Seat, map[string]string{"act": "lock"}, nil)
	d.must("POST", "/api/crew/rota", map[string]any{"from": "2026-10-01", "to": "2026-11-30", "moves": 20000, "seed": 9, "fresh": true}, nil)
	stays := 0
	for _, one := range d.rota() {
		if key := one.Game + one.Seat + one.Name; key == yes || key == locked.Game+locked.Seat+"Maren Holt" && one.Locked {
			stays++
		}
	}
	if stays != 2 {
		t.Errorf("%d of an accepted and a locked duty stay", stays)
	}
	var file string
	d.must("GET", "/api/crew/files/rota.json", nil, &file)
	if strings.Count(file, `"accepted": true`) != 1 {
		t.Error(file)
	}
	// Whether somebody came is known once the duty has begun, and can be taken back.
	for _, act := range []string{"came", "missed"} {
		if err := d.ask("POST", "/api/crew/seats/"+locked.Game+"/"+locked.Seat, map[string]string{"act": act}, nil); err == nil || !strings.Contains(said(err), "has begun") {
			t.Errorf("%s before the duty: %v", act, err)
		}
	}
	d.now = time.Date(2026, 12, 1, 12, 0, 0, 0, time.UTC)
	for _, step := range []struct{ act, mark string }{{"came", "came"}, {"missed", "missed"}, {"unmark", ""}} {
		var one duty
		d.must("POST", "/api/crew/seats/"+locked.Game+"/"+locked.Seat, map[string]string{"act": step.act}, &one)
		if one.Mark != step.mark {
			t.Errorf("%s: %+v", step.act, one)
		}
	}
	var balance string
	d.must("GET", "/api/crew/balance.csv", nil, &balance)
	if !strings.Contains(balance, "Family,Share,Came") || !strings.Contains(balance, "Holt,") {
		t.Error(balance)
	}
	d.must("DELETE", "/api/crew/people/"+locked.Person, nil, nil)
	for name, text := range d.papers.texts {
		if strings.Contains(string(text), "Maren Holt") {
			t.Errorf("%s names her still", name)
		}
	}
}

// Why and who else: in sentences, and the seat given by hand only with the rules.
func TestDeskSeats(t *testing.T) {
	d := made(t)
	one, _ := d.replaceable()
	path := "/api/crew/seats/" + one.Game + "/" + one.Seat
	var why struct {
		Why  string
		Next []struct{ Person, Name string }
	}
	d.must("GET", path, nil, &why)
	if !strings.Contains(why.Why, one.Name+" sits here") || len(why.Next) == 0 {
		t.Fatalf("%+v", why)
	}
	var list struct{ People []struct{ ID, Name string } }
	d.must("GET", "/api/crew/people", nil, &list)
	odin := ""
	for _, p := range list.People {
		if p.Name == "Odin Moe" {
			odin = p.ID
		}
	}
	d.must("GET", path+"?person="+odin, nil, &why)
	if !strings.Contains(why.Why, "Odin Moe ") {
		t.Errorf("%+v", why)
	}
	if err := d.ask("POST", path, map[string]string{"act": "put", "person": odin}, nil); err == nil || !strings.Contains(said(err), "A rule speaks against it") {
		t.Error(err)
	}
	d.must("POST", path, map[string]string{"act": "put", "person": why.Next[0].Person}, nil)
	d.must("POST", path, map[string]string{"act": "clear"}, nil)
	d.must("GET", path, nil, &why)
	if !strings.Contains(why.Why, "Nobody sits here") {
		t.Errorf("%+v", why)
	}
	var asked struct{ Messages []struct{ Text, Name string } }
	d.must("POST", path+"/ask", map[string]any{"people": []string{why.Next[0].Person}}, &asked)
	if len(asked.Messages) != 1 || !strings.Contains(asked.Messages[0].Text, "http://192.168.7.20:8480/mine#") {
		t.Errorf("%+v", asked)
	}
}

// A list is taken once, each mistake with its line; a family is joined through all.
func TestDeskPeople(t *testing.T) {
	d := made(t)
	var out struct {
		People   []map[string]any
		Findings []struct {
			Line int
			Text string
		}
		Fresh int
		Kept  bool
	}
	d.must("PUT", "/api/crew/people", map[string]string{"text": "name,clock\nMaren Holt,ready\nLiv Holt,maybe\nLiv Holt,ready\n"}, &out)
	if out.Fresh != 2 || len(out.People) != 12 || !out.Kept || len(out.Findings) != 2 || out.Findings[0].Line != 3 {
		t.Errorf("%+v", out)
	}
	out.Findings = nil
	d.must("PUT", "/api/crew/people", map[string]string{"text": string(read(t, peopleOfTests))}, &out)
	if out.Fresh != 0 || len(out.People) != 12 || len(out.Findings) != 10 {
		t.Errorf("the same list again: %d of %d, %v", out.Fresh, len(out.People), out.Findings)
	}
	var person map[string]any
	for _, p := range out.People {
		if p["name"] == "Tuva Berg" {
			person = p
		}
	}
	had := len(of(d.rota(), "Tuva Berg"))
	path := "/api/crew/people/" + person["id"].(string)
	person["family"], person["reach"], person["away"] = "Holt", "tuva@harbour.example", []map[string]string{{"from": "2027-01-01", "to": "2027-01-05"}}
	var changed map[string]any
	d.must("PUT", path, person, &changed)
	if changed["family"] != "Holt" || changed["reach"] != "tuva@harbour.example" || len(of(d.rota(), "Tuva Berg")) != had || had == 0 {
		t.Errorf("%v", changed)
	}
	person["not_before"] = "at nine"
	if err := d.ask("PUT", "/api/crew/people/"+changed["id"].(string), person, nil); err == nil {
		t.Error("a time that is none is kept")
	}
}
