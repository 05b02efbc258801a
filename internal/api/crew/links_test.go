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

// A link shows one person's own duties and acts only by a post. Nobody gets in by
// guessing, by an old link, by another's, or by opening.
func TestLinks(t *testing.T) {
	d := made(t)
	all := d.rota()
	first, next := d.replaceable()
	mine := []duty{first}
	for _, one := range of(all, first.Name) {
		if one.Game != first.Game {
			mine = append(mine, one)
		}
	}
	token := d.link(first.Person)
	own := "/api/crew/mine/" + token
	var shown page
	writes := d.papers.writes
	for range 3 { // a mail program that opens every link
		if err := d.by(stranger(), "GET", own, nil, &shown); err != nil {
			t.Fatal(said(err))
		}
	}
	if d.papers.writes != writes {
		t.Error("looking writes")
	}
	raw, _ := json.Marshal(shown)
	if shown.First != strings.Fields(first.Name)[0] || !shown.Whole || len(shown.Duties) != len(mine) || strings.Contains(string(raw), `"name":"Tuva Berg"`) == (first.Name != "Tuva Berg") {
		t.Errorf("%s", raw)
	}
	for name, text := range d.papers.texts {
		if strings.Contains(string(text), token) {
			t.Errorf("%s has the token itself", name)
		}
	}
	// Guesses, and what is nearly right.
	for _, guess := range []string{"x", strings.ToLower(token), token + "A", strings.Repeat("A", 22)} {
		if err := d.by(stranger(), "GET", "/api/crew/mine/"+guess, nil, nil); !errors.As(err, new(*api.No)) {
			t.Errorf("%s opens: %v", guess, err)
		}
		if err := d.by(stranger(), "GET", "/api/crew/team/"+token, nil, nil); err == nil {
			t.Error("a person's link opens a team's page")
		}
	}
	// Another person's duty is not theirs to answer.
	var other duty
	for _, one := range all {
		if one.Name != first.Name && one.Name != "" {
			other = one
		}
	}
	if err := d.by(stranger(), "POST", own, map[string]string{"do": "no", "game": other.Game, "seat": other.Seat}, nil); err == nil {
		t.Error("somebody says no for another")
	}
	act := func(do string) page {
		t.Helper()
		var p page
		if err := d.by(stranger(), "POST", own, map[string]string{"do": do, "game": mine[0].Game, "seat": mine[0].Seat}, &p); err != nil {
			t.Fatal(said(err))
		}
		return p
	}
	status := func(p page) string {
		for _, one := range p.Duties {
			if one.Game == mine[0].Game && one.Seat == mine[0].Seat {
				return one.Status
			}
		}
		return ""
	}
	if p := act("yes"); status(p) != "yes" || p.Said != "Thank you: you come." {
		t.Errorf("%+v", p)
	}
	writes = d.papers.writes
	if p := act("yes"); status(p) != "yes" || d.papers.writes != writes { // replayed
		t.Errorf("the same yes again: %+v, %d writes", p, d.papers.writes-writes)
	}
	if p := act("spare"); status(p) != "spare" {
		t.Errorf("%+v", p)
	}
	// The seat that is offered is somebody else's to take, if the rules let them.
	d.now, _ = time.Parse(time.DateOnly, mine[0].Day)
	d.now = d.now.Add(-48 * time.Hour)
	theirs := "/api/crew/mine/" + d.link(next)
	var theirPage page
	if err := d.by(stranger(), "GET", theirs, nil, &theirPage); err != nil {
		t.Fatal(said(err))
	}
	there := func(one duty) bool { return one.Game == mine[0].Game && one.Seat == mine[0].Seat }
	if !slices.ContainsFunc(theirPage.Others, there) {
		t.Errorf("an offered seat is not shown to whoever could take it: %+v", theirPage)
	}
	if err := d.by(stranger(), "POST", theirs, map[string]string{"do": "yes", "game": mine[0].Game, "seat": mine[0].Seat}, &theirPage); err != nil || !slices.ContainsFunc(theirPage.Duties, there) {
		t.Errorf("%v, %+v", err, theirPage)
	}
	if err := d.by(stranger(), "POST", own, map[string]string{"do": "yes", "game": mine[0].Game, "seat": mine[0].Seat}, nil); err == nil {
		t.Error("a seat that was given away is taken back")
	}
	// When they can; what they ask; a link that went to somebody else.
	var p page
	if err := d.by(stranger(), "POST", own, map[string]any{"do": "can", "can": map[string]any{"days": []string{"saturday"}, "away": []any{}, "not_before": "", "day_most": 1, "most": 3, "far": []string{}, "rinks": []any{}}}, &p); err != nil || len(p.Can.Days) != 1 {
		t.Errorf("%v, %+v", err, p)
	}
	if err := d.by(stranger(), "POST", own, map[string]string{"do": "forget"}, &p); err != nil || !p.Asked {
		t.Errorf("%v, %+v", err, p)
	}
	var feed string
	if err := d.by(stranger(), "GET", own+"/calendar.ics", nil, &feed); err != nil || strings.Count(feed, "BEGIN:VEVENT") == 0 || strings.Contains(feed, other.Name) {
		t.Errorf("%v, %s", err, feed)
	}
	if err := d.by(stranger(), "POST", own, map[string]string{"do": "not_me"}, nil); err != nil {
		t.Error(err)
	}
	if err := d.by(stranger(), "GET", own, nil, nil); err == nil {
		t.Error("the link of somebody who is not meant still opens")
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
