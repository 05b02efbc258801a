package crew_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/practice/progress"
)

type stay struct {
	Season, By, Was           string
	Yes, No, Waiting, Contact int
}

type somebody struct{ ID, Name, Since, Stays, Reach string }

func (d *desk) everybody() []somebody {
	var out struct{ People []somebody }
	d.must("GET", "/api/crew/people", nil, &out)
	return out.People
}

func named(list []somebody, name string) somebody {
	return list[slices.IndexFunc(list, func(p somebody) bool { return p.Name == name })]
}

// A new season: every family begins at nought, what people can do stays, and everybody
// is asked whether they stay, by code and by link. Whoever does not is left out.
func TestANewSeason(t *testing.T) {
	d := made(t)
	var over struct{ Stay stay }
	begin := func(by string) error {
		return d.ask("POST", "/api/crew/season", map[string]string{"act": "begin", "by": by}, &over.Stay)
	}
	if err := begin("2027-09-01"); err == nil || !strings.Contains(said(err), "2026-27 already") {
		t.Errorf("a season begins twice: %v", err)
	}
	maren := of(d.rota(), "Maren Holt")[0]
	began := d.now
	d.now = time.Date(2026, 12, 1, 12, 0, 0, 0, time.UTC)
	d.must("POST", "/api/crew/seats/"+maren.Game+"/"+maren.Seat, map[string]string{"act": "came"}, nil)
	d.now = began
	d.must("POST", "/api/crew/seats/"+maren.Game+"/"+maren.Seat, map[string]string{"act": "lock"}, nil)
	token := d.link(maren.Person)
	levels := d.papers.texts["people"]

	// The league file of the next season, a year later.
	d.files.league = []byte(strings.NewReplacer("2026-27", "2027-28", "2027-0", "2028-0", "2026-1", "2027-1").Replace(string(d.files.league)))
	d.files.schedule = []byte(strings.NewReplacer("2026-27", "2027-28", "2027-0", "2028-0", "2026-1", "2027-1").Replace(string(d.files.schedule)))
	d.now = time.Date(2027, 8, 1, 12, 0, 0, 0, time.UTC)
	d.must("GET", "/api/crew", nil, &over)
	if over.Stay.Was != "2026-27" || over.Stay.Season != "" {
		t.Errorf("%+v", over)
	}
	for _, by := range []string{"", "soon", "2027-08-01"} {
		if err := begin(by); err == nil {
			t.Errorf("answers until %q", by)
		}
	}
	if err := begin("2027-08-22"); err != nil || over.Stay.Season != "2027-28" || over.Stay.Waiting != 10 || over.Stay.Was != "" {
		t.Fatalf("%v %+v", err, over.Stay)
	}
	var log string
	d.must("GET", "/api/crew/files/duties.json", nil, &log)
	if !strings.Contains(log, "2026-27/"+maren.Game) || strings.Contains(log, `"accepted"`) {
		t.Errorf("who had which seat is lost, or more than that stays: %s", log)
	}
	if !bytes.Contains(d.papers.texts["people"], []byte("Maren Holt,Holt,kelp-bay-u14,guide,ready,ready,ready")) || bytes.Equal(levels, d.papers.texts["people"]) {
		t.Errorf("levels are other ones, or days away of the old season stay: %s", d.papers.texts["people"])
	}
	if err := d.by(stranger(), "GET", "/api/crew/mine/"+token, nil, nil); err == nil {
		t.Error("a link of the old season opens")
	}
	var balance struct {
		Families []struct{ Share, Done, Missed, Unmarked, Promised, Open int }
	}
	d.must("GET", "/api/crew/balance", nil, &balance)
	for _, f := range balance.Families {
		if f.Share == 0 || f.Done+f.Missed+f.Unmarked+f.Promised+f.Open != 0 {
			t.Errorf("%+v", f)
		}
	}

	// One message each asks; answers come by code and by link.
	var due struct {
		Due []struct{ Person, Name, Text, Subject string }
	}
	d.must("GET", "/api/crew/messages", nil, &due)
	if len(due.Due) != 10 || !strings.Contains(due.Due[0].Text, "the season 2027-28 begins") || due.Due[0].Subject != "The bench, season 2027-28" {
		t.Fatalf("%+v", due)
	}
	var all []string
	text := map[string]string{}
	for _, m := range due.Due {
		all, text[m.Name] = append(all, m.Person), m.Text
	}
	var prepared struct{ Messages []struct{ Name, Text string } }
	d.must("POST", "/api/crew/messages", map[string]any{"people": all, "act": "prepare"}, &prepared)
	d.must("POST", "/api/crew/messages", map[string]any{"people": all, "act": "sent"}, nil)
	_, no, _ := strings.Cut(text["Maren Holt"], "fine too: ")
	_, yes, _ := strings.Cut(text["Ida Vik"], "I stay: ")
	var replies struct{ Replies []struct{ Text string } }
	d.must("POST", "/api/crew/answers", map[string]string{"text": no[:9] + "\n" + yes[:9]}, &replies)
	if len(replies.Replies) != 2 || !strings.Contains(replies.Replies[0].Text, "Maren Holt does not stay") || !strings.Contains(replies.Replies[1].Text, "Ida Vik stays") {
		t.Errorf("%+v", replies)
	}
	at := slices.IndexFunc(prepared.Messages, func(m struct{ Name, Text string }) bool { return m.Name == "Tuva Berg" })
	_, token, _ = strings.Cut(prepared.Messages[at].Text, "/mine#")
	own := "/api/crew/mine/" + strings.TrimSpace(token)
	var p struct {
		Said string
		Stay struct{ Season, By, Status string }
	}
	if err := d.by(stranger(), "GET", own, nil, &p); err != nil || p.Stay.Season != "2027-28" || p.Stay.By != "2027-08-22" || p.Stay.Status != "waiting" {
		t.Fatalf("%v %+v", err, p)
	}
	for _, answer := range []string{"no", "yes", "yes"} {
		if err := d.by(stranger(), "POST", own, map[string]string{"do": answer, "game": "2027-28", "seat": "-stay"}, &p); err != nil || p.Stay.Status != answer || p.Said == "" {
			t.Errorf("%s: %v %+v", answer, err, p)
		}
	}
	for _, wrong := range []map[string]string{{"do": "spare", "game": "2027-28", "seat": "-stay"}, {"do": "yes", "game": "2026-27", "seat": "-stay"}} {
		if err := d.by(stranger(), "POST", own, wrong, nil); err == nil {
			t.Errorf("%v is taken", wrong)
		}
	}
	d.start()
	d.must("GET", "/api/crew", nil, &over)
	if over.Stay.Yes != 2 || over.Stay.No != 1 || over.Stay.Waiting != 7 {
		t.Errorf("%+v", over.Stay)
	}
	if got := named(d.everybody(), "Maren Holt").Stays; got != "no" {
		t.Error(got)
	}
	// Whoever does not stay gets no duty; silence is not a no.
	d.must("POST", "/api/crew/rota", map[string]any{"from": "2027-10-01", "to": "2027-11-30", "moves": 20000}, nil)
	var rota struct{ Duties []duty }
	d.must("GET", "/api/crew/rota?from=2027-10-01&to=2027-11-30", nil, &rota)
	if len(of(rota.Duties, "Maren Holt")) != 0 || len(of(rota.Duties, "Ida Vik")) == 0 || len(of(rota.Duties, "Sunniva Dahl")) == 0 {
		t.Errorf("%+v", rota.Duties)
	}
	for _, one := range rota.Duties {
		if one.Locked || one.Mark != "" {
			t.Errorf("of the old season: %+v", one)
		}
	}
}

// Ninety days after the last day for an answer whoever did not say yes has no address or
// number here any more; before that nobody loses theirs.
func TestContactsOfWhoeverDoesNotStayGo(t *testing.T) {
	d := newDesk(t)
	d.must("PUT", "/api/crew/people", map[string]string{"text": "name,clock,reach\nMaren Holt,ready,maren@harbour.example\nIda Vik,ready,ida@harbour.example\n"}, nil)
	d.must("POST", "/api/crew/season", map[string]string{"act": "begin", "by": "2026-10-01"}, nil)
	var due struct{ Due []struct{ Name, Text string } }
	d.must("GET", "/api/crew/messages", nil, &due)
	_, yes, _ := strings.Cut(due.Due[0].Text, "I stay: ")
	d.must("POST", "/api/crew/answers", map[string]string{"text": yes[:9]}, nil)
	var now stay
	for _, step := range []struct {
		day     string
		contact int
		ida     string
	}{{"2026-12-29", 0, "ida@harbour.example"}, {"2026-12-30", 1, ""}} {
		d.now, _ = time.Parse(time.DateOnly, step.day)
		var over struct{ Stay stay }
		d.must("GET", "/api/crew", nil, &over)
		if over.Stay.Contact != step.contact && due.Due[0].Name == "Maren Holt" {
			t.Errorf("%s: %+v", step.day, over.Stay)
		}
		d.must("POST", "/api/crew/season", map[string]string{"act": "contact"}, &now)
		list := d.everybody()
		if kept, gone := named(list, due.Due[0].Name), named(list, due.Due[1].Name); kept.Reach == "" || (gone.Reach == "") != (step.contact == 1) || now.Contact != 0 {
			t.Errorf("%s: %+v %+v", step.day, list, now)
		}
	}
}

// Practice results go the one way of package readiness: levels with their reasons, five
// games make a guide, three idle months a learner; whoever is ready by practice is new.
func TestResultsAtTheDesk(t *testing.T) {
	d := made(t)
	var codes []string
	for _, day := range []time.Time{d.now.AddDate(0, 0, -3), d.now.AddDate(0, 0, -2)} {
		code, err := progress.EncodeResult(progress.Result{
			Script: "standard", Seat: entry.BookSeat, Level: 2, Score: 95, Name: "Odin Moe", Day: progress.Day(day.Unix()/86400 - 18262),
		})
		if err != nil {
			t.Fatal(err)
		}
		codes = append(codes, code)
	}
	var out struct {
		Read           int
		Levels, Nobody []string
		Bad            []struct{ Line int }
	}
	text := "Hello,\n" + codes[0] + " and\n> " + strings.ToLower(codes[1][:12]) + "\n" + codes[1][12:] + "\n" + codes[0][:len(codes[0])-2] + "\n"
	text = strings.Replace(text, "> ", "", 1)
	d.must("POST", "/api/crew/results", map[string]string{"text": text}, &out)
	odin := named(d.everybody(), "Odin Moe")
	if out.Read != 2 || len(out.Levels) != 1 || !strings.Contains(out.Levels[0], "Odin Moe, book") || len(out.Bad) != 1 || out.Bad[0].Line != 5 || odin.Since != "2026-09-18" {
		t.Fatalf("%+v %+v", out, odin)
	}
	out.Levels = nil
	d.must("POST", "/api/crew/results", map[string]string{"text": codes[0]}, &out)
	if out.Read != 0 || len(out.Levels) != 0 {
		t.Errorf("the same again: %+v", out)
	}
	// Nobody pastes anything: seats that were held, and time, change levels too.
	d.now = d.now.AddDate(0, 4, 0)
	d.must("POST", "/api/crew/results", map[string]string{"text": ""}, &out)
	if len(out.Levels) != 1 || !strings.Contains(out.Levels[0], "Odin Moe, book: ready before, learner now") {
		t.Errorf("%+v", out)
	}
}

// Somebody new stands on the desk until they had a first duty, and is given one.
func TestSomebodyNewAtTheDesk(t *testing.T) {
	d := newDesk(t)
	d.now = time.Date(2026, 10, 1, 12, 0, 0, 0, time.UTC)
	d.must("PUT", "/api/crew/rules/file", map[string]string{"text": string(read(t, crewOfTests))}, nil)
	d.must("PUT", "/api/crew/people", map[string]string{"text": string(read(t, peopleOfTests))}, nil)
	d.must("PUT", "/api/crew/people", map[string]string{"text": "name,clock,book,new since\nAstri Nyberg,ready,ready,2026-09-25\n"}, nil)
	type newcomer struct {
		Name, Text string
		Placed     bool
		Could      []struct{ Game, Seat, Text string }
	}
	look := func() []newcomer {
		t.Helper()
		var out struct{ New []newcomer }
		d.must("GET", "/api/crew/missing", nil, &out)
		return out.New
	}
	if list := look(); len(list) != 1 || list[0].Placed || !strings.Contains(list[0].Text, "No duty yet; the first should come by Friday 2026-10-23") {
		t.Fatalf("%+v", list)
	}
	d.must("POST", "/api/crew/rota", map[string]any{"from": "2026-10-01", "to": "2026-11-30", "moves": 20000}, nil)
	list := look()
	if len(list) != 1 || !list[0].Placed || !strings.Contains(list[0].Text, "First duty beside ") {
		t.Fatalf("%+v", list)
	}
	// It is taken away: the seats that nobody has are proposed, and one is given.
	for _, one := range of(d.rota(), "Astri Nyberg") {
		d.must("POST", "/api/crew/seats/"+one.Game+"/"+one.Seat, map[string]string{"act": "clear"}, nil)
	}
	if list = look(); len(list) != 1 || list[0].Placed || len(list[0].Could) == 0 {
		t.Fatalf("%+v", list)
	}
	var astri somebody
	for _, p := range d.everybody() {
		if p.Name == "Astri Nyberg" {
			astri = p
		}
	}
	first := list[0].Could[0]
	d.must("POST", "/api/crew/seats/"+first.Game+"/"+first.Seat, map[string]string{"act": "put", "person": astri.ID}, nil)
	if list = look(); !list[0].Placed {
		t.Errorf("%+v", list)
	}
	// The duty is over, and nobody says that they did not come: they are new no more.
	d.now = time.Date(2026, 11, 20, 12, 0, 0, 0, time.UTC)
	if list = look(); len(list) != 0 {
		t.Errorf("%+v", list)
	}
}
