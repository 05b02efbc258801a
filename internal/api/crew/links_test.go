package crew_test

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/api"
)

// linked is a desk with the link of somebody whose duty another could take.
type linked struct {
	*desk
	first, other duty   // theirs, and another person's
	next         string // who could take theirs
	token, own   string
}

func aLink(t *testing.T) *linked {
	t.Helper()
	d := made(t)
	l := &linked{desk: d}
	l.first, l.next = d.replaceable()
	for _, one := range d.rota() {
		if one.Name != l.first.Name && one.Name != "" {
			l.other = one
		}
	}
	l.token = d.link(l.first.Person)
	l.own = "/api/crew/mine/" + l.token
	return l
}

// act says something of a duty by a link.
func (l *linked) act(path, do string, one duty) (p page, err error) {
	l.t.Helper()
	err = l.by(stranger(), "POST", path, map[string]string{"do": do, "game": one.Game, "seat": one.Seat}, &p)
	return p, err
}

// will is act where it has to work.
func (l *linked) will(do string) page {
	l.t.Helper()
	p, err := l.act(l.own, do, l.first)
	if err != nil {
		l.t.Fatal(said(err))
	}
	return p
}

func (p page) status(one duty) string {
	for _, mine := range p.Duties {
		if mine.Game == one.Game && mine.Seat == one.Seat {
			return mine.Status
		}
	}
	return ""
}

// A link shows its person's own duties and nobody else's names, and what is kept of it
// opens nothing.
func TestALinkShowsOnlyItsPersonsDuties(t *testing.T) {
	l := aLink(t)
	var shown page
	if err := l.by(stranger(), "GET", l.own, nil, &shown); err != nil {
		t.Fatal(said(err))
	}
	raw, _ := json.Marshal(shown)
	if shown.First != strings.Fields(l.first.Name)[0] || !shown.Whole || len(shown.Duties) != len(of(l.rota(), l.first.Name)) || strings.Contains(string(raw), `"name":"`+l.other.Name) {
		t.Errorf("%s", raw)
	}
	for name, text := range l.papers.texts {
		if strings.Contains(string(text), l.token) {
			t.Errorf("%s has the token itself", name)
		}
	}
	var feed string
	if err := l.by(stranger(), "GET", l.own+"/calendar.ics", nil, &feed); err != nil || strings.Count(feed, "BEGIN:VEVENT") == 0 || strings.Contains(feed, l.other.Name) {
		t.Errorf("%v, %s", err, feed)
	}
}

// A mail program, or its scanner, that opens every link changes nothing (RFC 9110, safe
// methods), however often.
func TestOpeningALinkChangesNothing(t *testing.T) {
	l := aLink(t)
	writes := l.papers.writes
	for range 3 {
		for _, path := range []string{l.own, l.own + "/calendar.ics"} {
			var text string
			if err := l.by(stranger(), "GET", path, nil, &text); err != nil {
				t.Fatal(said(err))
			}
		}
	}
	if l.papers.writes != writes {
		t.Error("looking writes")
	}
}

// Guesses, and what is nearly right, open nothing.
func TestALinkIsNotGuessed(t *testing.T) {
	l := aLink(t)
	for _, guess := range []string{"x", strings.ToLower(l.token), l.token + "A", l.token[:21], strings.Repeat("A", 22)} {
		for _, method := range []string{"GET", "POST"} {
			if err := l.by(stranger(), method, "/api/crew/mine/"+guess, map[string]string{"do": "forget"}, nil); !errors.As(err, new(*api.No)) {
				t.Errorf("%s opens: %v", guess, err)
			}
		}
	}
	if err := l.by(stranger(), "GET", "/api/crew/team/"+l.token, nil, nil); err == nil {
		t.Error("a person's link opens a team's page")
	}
}

// An answer that is sent again changes nothing, and one of before cannot take a duty back
// that another has by now.
func TestAnAnswerByALinkIsNotReplayed(t *testing.T) {
	l := aLink(t)
	if p := l.will("yes"); p.status(l.first) != "yes" || p.Said != "Thank you: you come." {
		t.Errorf("%+v", p)
	}
	writes := l.papers.writes
	if p := l.will("yes"); p.status(l.first) != "yes" || l.papers.writes != writes {
		t.Errorf("the same yes again: %+v, %d writes", p, l.papers.writes-writes)
	}
	if p := l.will("spare"); p.status(l.first) != "spare" {
		t.Errorf("%+v", p)
	}
	// The seat that is offered is somebody else's to take, if the rules let them.
	l.now, _ = time.Parse(time.DateOnly, l.first.Day)
	l.now = l.now.Add(-48 * time.Hour)
	theirs := "/api/crew/mine/" + l.link(l.next)
	var theirPage page
	if err := l.by(stranger(), "GET", theirs, nil, &theirPage); err != nil {
		t.Fatal(said(err))
	}
	there := func(one duty) bool { return one.Game == l.first.Game && one.Seat == l.first.Seat }
	if !slices.ContainsFunc(theirPage.Others, there) {
		t.Errorf("an offered seat is not shown to whoever could take it: %+v", theirPage)
	}
	if p, err := l.act(theirs, "yes", l.first); err != nil || !slices.ContainsFunc(p.Duties, there) {
		t.Errorf("%v, %+v", err, p)
	}
	for _, again := range []string{"yes", "spare", "no"} {
		if _, err := l.act(l.own, again, l.first); err == nil {
			t.Errorf("%s to a duty that is another's now is taken", again)
		}
	}
}

// A link says nothing of another person's duty.
func TestALinkIsNotForAnothersDuty(t *testing.T) {
	l := aLink(t)
	for _, do := range []string{"yes", "no", "spare"} {
		if _, err := l.act(l.own, do, l.other); err == nil {
			t.Errorf("somebody says %s for another", do)
		}
	}
	if now := of(l.rota(), l.other.Name); now[len(now)-1].Status != l.other.Status {
		t.Errorf("%+v", now)
	}
}

// A link that is forwarded is no swap: whoever opens it sees whose it is, and what they do
// is the owner's doing. One tap says that it came to the wrong person, and ends it.
func TestAForwardedLinkIsNotASwap(t *testing.T) {
	l := aLink(t)
	l.will("yes")
	for _, one := range l.rota() {
		if one.Game == l.first.Game && one.Seat == l.first.Seat && (one.Name != l.first.Name || one.Status != "yes") {
			t.Errorf("%+v", one)
		}
	}
	var p page
	if err := l.by(stranger(), "GET", "/api/crew/mine/"+l.link(l.next), nil, &p); err != nil || p.status(l.first) != "" {
		t.Errorf("the other person's own page: %v %+v", err, p)
	}
	if err := l.by(stranger(), "POST", l.own, map[string]string{"do": "not_me"}, nil); err != nil {
		t.Error(err)
	}
	if err := l.by(stranger(), "GET", l.own, nil, nil); err == nil {
		t.Error("the link of somebody who is not meant still opens")
	}
	var list struct{ People []struct{ Name, Wish string } }
	l.must("GET", "/api/crew/people", nil, &list)
	for _, person := range list.People {
		if (person.Wish == "not_me") != (person.Name == l.first.Name) {
			t.Errorf("%+v", person)
		}
	}
}

// On their own page somebody says when they can, and asks to be forgotten.
func TestWhatAnOwnPageTakes(t *testing.T) {
	l := aLink(t)
	var p page
	if err := l.by(stranger(), "POST", l.own, map[string]any{"do": "can", "can": map[string]any{"days": []string{"saturday"}, "away": []any{}, "not_before": "", "day_most": 1, "most": 3, "far": []string{}, "rinks": []any{}}}, &p); err != nil || len(p.Can.Days) != 1 {
		t.Errorf("%v, %+v", err, p)
	}
	if err := l.by(stranger(), "POST", l.own, map[string]string{"do": "forget"}, &p); err != nil || !p.Asked {
		t.Errorf("%v, %+v", err, p)
	}
}

// A link of a message shows only its duties, and ends with the last of them.
func TestLinkOfAMessageEnds(t *testing.T) {
	d := made(t)
	maren := of(d.rota(), "Maren Holt")
	var out struct{ Messages []struct{ Text string } }
	d.must("POST", "/api/crew/messages", map[string]any{"people": []string{maren[0].Person}, "act": "prepare"}, &out)
	_, token, has := strings.Cut(out.Messages[0].Text, "/mine#")
	if !has {
		t.Fatal(out)
	}
	path := "/api/crew/mine/" + strings.TrimSpace(token)
	var p page
	if err := d.by(stranger(), "GET", path, nil, &p); err != nil || p.Whole || len(p.Duties) != len(maren) {
		t.Errorf("%v, %+v", err, p)
	}
	if err := d.by(stranger(), "POST", path, map[string]any{"do": "can", "can": map[string]any{}}, nil); err == nil {
		t.Error("a link of a message says when somebody can")
	}
	d.now = time.Date(2026, 12, 2, 12, 0, 0, 0, time.UTC)
	err := d.by(stranger(), "GET", path, nil, nil)
	var no *api.No
	if !errors.As(err, &no) || no.Status != api.StatusGone {
		t.Errorf("an old link: %v", err)
	}
}

// A team's manager sees the team's games, with first names and initials only.
func TestTeamLink(t *testing.T) {
	d := made(t)
	var out struct{ Link string }
	d.must("POST", "/api/crew/links", map[string]string{"team": "kelp-bay-u14"}, &out)
	_, token, _ := strings.Cut(out.Link, "/team#")
	var text string
	if err := d.by(stranger(), "GET", "/api/crew/team/"+token, nil, &text); err != nil {
		t.Fatal(said(err))
	}
	var shown struct {
		Duties []struct{ Teams, Name string }
	}
	if err := json.Unmarshal([]byte(text), &shown); err != nil || len(shown.Duties) == 0 || strings.Contains(text, "Holt\"") {
		t.Errorf("%v, %s", err, text)
	}
	for _, one := range shown.Duties {
		if !strings.Contains(one.Teams, "Kelp Bay") {
			t.Errorf("%+v", one)
		}
	}
	if err := d.by(stranger(), "GET", "/api/crew/mine/"+token, nil, nil); err == nil {
		t.Error("a team's link opens a person's page")
	}
}

// The page leads to the practice of the seat that comes next.
func TestAnOwnPageLeadsToThePracticeOfTheNextSeat(t *testing.T) {
	l := aLink(t)
	for range 2 {
		var p struct {
			Practise string
			Duties   []duty
		}
		if err := l.by(stranger(), "GET", l.own, nil, &p); err != nil || len(p.Duties) == 0 {
			t.Fatal(err)
		}
		want := ""
		for _, one := range p.Duties {
			for _, kind := range []string{"clock", "box", "book"} {
				if want == "" && strings.HasPrefix(one.Seat, kind) {
					want = kind
				}
			}
		}
		if want == "" || p.Practise != want {
			t.Errorf("%q, want %q: %+v", p.Practise, want, p.Duties)
		}
		l.now = l.now.AddDate(0, 0, 1)
	}
}
