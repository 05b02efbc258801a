package crew_test

import (
	"slices"
	"strings"
	"testing"

	"whistlestop/internal/push"
)

// before is a desk on a coordinator's own computer, with links that people have.
func before(t *testing.T) (d *desk, file, whole, part string) {
	t.Helper()
	d = made(t)
	var list struct{ People []map[string]any }
	d.must("GET", "/api/crew/people", nil, &list)
	for i, person := range list.People {
		person["reach"] = string(rune('a'+i)) + "@example.org"
		delete(person, "stays")
		d.must("PUT", "/api/crew/people/"+person["id"].(string), person, nil)
	}
	var due box
	d.must("GET", "/api/crew/messages", nil, &due)
	part, whole = due.Due[0].Person, due.Due[1].Person
	var out struct{ Messages []struct{ Text string } }
	d.must("POST", "/api/crew/messages", map[string]any{"people": []string{part}, "act": "prepare"}, &out)
	d.link(whole)
	d.must("POST", "/api/crew/links", map[string]string{"team": "kelp-bay-u14"}, nil)
	everybody := []string{}
	for _, one := range due.Due {
		everybody = append(everybody, one.Person)
	}
	d.must("POST", "/api/crew/messages", map[string]any{"people": everybody, "act": "sent"}, nil)
	d.must("GET", "/api/crew/whole.json", nil, &file)
	return d, file, whole, part
}

func tokenIn(t *testing.T, text string) string {
	t.Helper()
	_, rest, found := strings.Cut(text, "/mine#")
	if !found {
		t.Fatalf("no link in %q", text)
	}
	token, _, _ := strings.Cut(rest, "\n")
	return strings.TrimSpace(token)
}

// movedHere is a hub that took that desk over.
func movedHere(t *testing.T, of *desk, file string) *mailing {
	t.Helper()
	m := &mailing{desk: &desk{t: t, papers: &papers{texts: map[string][]byte{}}, files: &files{}, now: of.now, key: 100}, post: &post{}}
	m.post.now = m.clock
	m.restart()
	m.must("PUT", "/api/crew/whole.json", []byte(file), nil)
	return m
}

// told are those who are to hear that their link leads elsewhere.
func (m *mailing) told() (people []string) {
	for _, one := range m.box().Due {
		if strings.Contains(one.Text, "another address") {
			people = append(people, one.Person)
		}
	}
	return people
}

// A desk came to a hub: whoever has a link that opens still is offered a letter with the new
// one, which opens the same and no more. It goes by a press, once.
func TestWhoeverHasALinkHearsThatTheDeskMoved(t *testing.T) {
	old, file, whole, part := before(t)
	m := movedHere(t, old, file)
	people := m.told()
	slices.Sort(people)
	want := []string{whole, part}
	slices.Sort(want)
	if !slices.Equal(people, want) {
		t.Fatalf("%v are told, and %v have links", people, want)
	}
	m.byItself()
	m.deliver()
	for _, l := range m.post.letters {
		if strings.Contains(l.Text, "another address") {
			t.Error("it went without a press")
		}
	}
	m.post.letters = nil
	m.press(want...)
	m.deliver()
	if len(m.post.letters) != 2 || len(m.told()) != 0 {
		t.Fatalf("%d letters, and then %v", len(m.post.letters), m.told())
	}
	for _, id := range want {
		letter := m.to(m.addressOf(id))[0]
		if !strings.Contains(letter.Text, "https://hub.example/crew/harbour/mine#") || !strings.Contains(letter.Subject, "new link") || letter.Leave == "" {
			t.Errorf("%+v", letter)
		}
		var p page
		if err := m.by(stranger(), "GET", "/api/crew/mine/"+tokenIn(t, letter.Text), nil, &p); err != nil || p.Whole != (id == whole) || len(p.Duties) == 0 {
			t.Errorf("%v, %+v", err, p)
		}
	}
	m.restart()
	if len(m.told()) != 0 {
		t.Error("they are told twice")
	}
	// The hub gets another name: all of them once more.
	m.s.Reach = func() (string, bool) { return "https://crew.example/crew/harbour", true }
	if again := m.told(); len(again) != 2 {
		t.Errorf("%v", again)
	}
}

// By hand it is the same: the link is put in, and whoever was told is not told again.
func TestTheNewLinkByHand(t *testing.T) {
	old, file, whole, _ := before(t)
	m := movedHere(t, old, file)
	m.s.Post = nil
	for _, one := range m.box().Due {
		if strings.Contains(one.Text, "/mine#") || !strings.Contains(one.Text, "(Here stands") {
			t.Errorf("%q", one.Text)
		}
	}
	var out struct{ Messages []struct{ Text string } }
	m.must("POST", "/api/crew/messages", map[string]any{"people": []string{whole}, "act": "prepare"}, &out)
	var p page
	if err := m.by(stranger(), "GET", "/api/crew/mine/"+tokenIn(t, out.Messages[0].Text), nil, &p); err != nil || !p.Whole {
		t.Fatal(err)
	}
	if !slices.Contains(m.told(), whole) {
		t.Error("putting the link in counts as sent")
	}
	m.must("POST", "/api/crew/messages", map[string]any{"people": []string{whole}, "act": "sent"}, nil)
	if slices.Contains(m.told(), whole) {
		t.Error("they are told twice")
	}
}

// Links that a manager had are named until there is a new one; at the coordinator's own
// computer, with another address in every network, nobody is told anything.
func TestTeamsAndTheOwnComputer(t *testing.T) {
	old, file, _, _ := before(t)
	m := movedHere(t, old, file)
	var out struct{ Teams []string }
	m.must("GET", "/api/crew/messages", nil, &out)
	if len(out.Teams) != 1 {
		t.Fatalf("%v", out.Teams)
	}
	m.must("POST", "/api/crew/links", map[string]string{"team": "kelp-bay-u14"}, nil)
	m.must("GET", "/api/crew/messages", nil, &out)
	if len(out.Teams) != 0 {
		t.Errorf("%v", out.Teams)
	}
	old.s.Reach = func() (string, bool) { return "http://10.0.0.9:8480", true }
	own := &mailing{desk: old}
	if people := own.told(); len(people) != 0 {
		t.Errorf("%v", people)
	}
}

// A desk that comes to a hub with reminders on phones offers them at once. Devices that were
// bound at another address show notes that open nothing: letters go in their place.
func TestRemindersAfterTheDeskMoved(t *testing.T) {
	r := newReminding(t)
	r.on("push", phoneOf(t, "phone"))
	var file string
	r.must("GET", "/api/crew/whole.json", nil, &file)
	m := &reminding{mailing: movedHere(t, r.desk, file), pusher: &pusher{says: map[string]push.Answer{}}, person: r.person, name: r.name}
	m.pusher.now = m.clock
	m.s.Push = m.pusher
	m.s.Reach = func() (string, bool) { return "https://other.example/crew/harbour", true }
	m.later(60)
	if len(m.pusher.asked) != 0 || m.letters() == 0 {
		t.Errorf("%d notes, %d letters", len(m.pusher.asked), m.letters())
	}

	old, file, whole, _ := before(t)
	fresh := &mailing{desk: &desk{t: t, papers: &papers{texts: map[string][]byte{}}, files: &files{}, now: old.now, key: 100}, post: &post{}}
	fresh.restart()
	fresh.s.Post, fresh.s.Push = nil, m.pusher
	fresh.must("PUT", "/api/crew/whole.json", []byte(file), nil)
	var page struct{ Push string }
	if err := fresh.by(stranger(), "GET", "/api/crew/mine/"+fresh.link(whole), nil, &page); err != nil || page.Push == "" {
		t.Error("the page offers no reminders yet", err)
	}
}
