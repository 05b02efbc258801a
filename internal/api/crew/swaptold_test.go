package crew_test

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// asking is a desk that sends letters and notes by itself, with two people who could change
// places and know of their duties.
type asking struct {
	*reminding
	swapping
}

func newAsking(t *testing.T) asking {
	t.Helper()
	r := newReminding(t)
	all := r.rota()
	for _, one := range all {
		if one.Name == "" {
			continue
		}
		for _, with := range r.seat(one.Game, one.Seat).Swaps {
			at := slices.IndexFunc(all, func(d duty) bool { return d.Game == with.Game && d.Seat == with.Seat })
			r.person, r.own = all[at].Person, "/api/crew/mine/"+r.link(all[at].Person)
			return asking{r, swapping{r.desk, one, all[at], "/api/crew/mine/" + r.link(one.Person), r.own}}
		}
	}
	t.Fatal("nobody can change places")
	return asking{}
}

// wishes are the messages about it that the person asked is to get.
func (a asking) wishes() (texts []string) {
	for _, one := range a.box().Due {
		if one.Person == a.other.Person && strings.Contains(one.Text, "would change places with you") {
			texts = append(texts, one.Text)
		}
	}
	return texts
}

func (a asking) ask() {
	a.reminding.t.Helper()
	if _, err := a.say(a.mine, "swap", a.one, a.other); err != nil {
		a.reminding.t.Fatal(said(err))
	}
}

// clockAt goes on to the next time that the rinks' clock shows this hour.
func (a asking) clockAt(hour int) {
	for a.now = a.now.Add(time.Hour); a.now.In(a.zone()).Hour() != hour; {
		a.now = a.now.Add(time.Hour)
	}
}

// Whoever is asked to change places reads it on their page at once, and in a letter whose
// link opens that question: seen by the coordinator first, sent once, never at night.
func TestWhoeverIsAskedToChangePlacesHearsOfIt(t *testing.T) {
	a := newAsking(t)
	a.must("PUT", "/api/crew/mail", map[string]any{"by_itself": false}, nil)
	a.ask()
	var p swapPage
	if err := a.by(stranger(), "GET", a.theirs, nil, &p); err != nil || len(p.Swaps) != 1 {
		t.Fatalf("%v %+v", err, p.Swaps)
	}
	seen := a.wishes()
	if len(seen) != 1 || strings.Contains(seen[0], a.one.Name) {
		t.Fatalf("%q is to be sent about a question of %s", seen, a.one.Name)
	}
	a.deliver()
	if len(a.post.letters) != 0 {
		t.Fatal("it went without a press")
	}
	a.must("PUT", "/api/crew/mail", map[string]any{"by_itself": true, "saw": a.box().Mail.Mark}, nil)
	a.clockAt(23)
	a.deliver()
	if len(a.to(a.addressOf(a.other.Person))) != 0 {
		t.Fatal("somebody is written to at night")
	}
	a.clockAt(9)
	a.deliver()
	letters := a.to(a.addressOf(a.other.Person))
	if len(letters) != 1 || !strings.Contains(letters[0].Subject, "would change places with you") || len(a.wishes()) != 0 {
		t.Fatalf("%+v, %q", letters, a.wishes())
	}
	page := "/api/crew/mine/" + tokenIn(t, letters[0].Text)
	if err := a.by(stranger(), "GET", page, nil, &p); err != nil || len(p.Swaps) != 1 || p.Swaps[0].Asked {
		t.Fatalf("%v %+v", err, p.Swaps)
	}
	a.reminding.restart()
	a.ask() // the same again is no other question
	if len(a.wishes()) != 0 {
		t.Error("they are told twice")
	}
	if p, err := a.say(page, "swap_yes", a.other, a.one); err != nil || p.status(a.one) != "yes" {
		t.Errorf("%v %+v", err, p)
	}
}

// Whoever takes a question back and asks again is not heard without end: of a duty somebody
// gets three such messages, and their page shows the rest.
func TestAtMostThreeMessagesAboutChangingPlaces(t *testing.T) {
	a := newAsking(t)
	a.clockAt(9)
	for range 5 {
		a.ask()
		a.deliver()
		if _, err := a.say(a.mine, "swap_no", a.one, a.other); err != nil {
			t.Fatal(said(err))
		}
	}
	count := 0
	for _, l := range a.to(a.addressOf(a.other.Person)) {
		count += strings.Count(l.Text, "would change places with you")
	}
	if count != 3 {
		t.Errorf("%d messages", count)
	}
	a.ask()
	var p swapPage
	if err := a.by(stranger(), "GET", a.theirs, nil, &p); err != nil || len(p.Swaps) != 1 {
		t.Errorf("%v %+v", err, p.Swaps)
	}
	if !strings.Contains(string(a.papers.texts["more"]), `"heard"`) {
		t.Fatal("nothing is kept of the messages")
	}
	a.must("DELETE", "/api/crew/people/"+a.other.Person, nil, nil)
	if strings.Contains(string(a.papers.texts["more"]), a.other.Name) {
		t.Error("who was forgotten is kept in what they heard")
	}
}

// On a device it is a note, which names nobody by the whole name.
func TestAChangeOfPlacesOnADevice(t *testing.T) {
	a := newAsking(t)
	a.on("push", phoneOf(t, "phone"))
	a.clockAt(9)
	a.ask()
	a.deliver()
	if len(a.pusher.notes) != 1 || len(a.to(a.addressOf(a.other.Person))) != 0 || len(a.wishes()) != 0 {
		t.Fatalf("%+v, %q", a.pusher.notes, a.wishes())
	}
	if note := a.pusher.notes[0]; !strings.Contains(note.Body, "would change places with you") || strings.Contains(note.Body+note.Title, a.one.Name) {
		t.Errorf("%+v", note)
	}
}

// Whoever asked hears of the yes: once, without a press, and of nobody's whole name.
func TestWhoeverAskedToChangePlacesHearsOfTheYes(t *testing.T) {
	a := newAsking(t)
	a.clockAt(9)
	a.ask()
	a.deliver()
	if _, err := a.say(a.theirs, "swap_yes", a.other, a.one); err != nil {
		t.Fatal(said(err))
	}
	about := func() (count int) {
		for _, l := range a.to(a.addressOf(a.one.Person)) {
			if strings.Contains(l.Text, "said yes: you changed places") {
				count++
				if strings.Contains(l.Text, a.other.Name) || !strings.Contains(l.Subject, "changed places with you") {
					t.Errorf("%q: %q", l.Subject, l.Text)
				}
			}
		}
		return count
	}
	a.deliver()
	a.reminding.restart()
	a.deliver()
	if about() != 1 {
		t.Errorf("%d letters", about())
	}
}

// A yes is no news any more once one of the two has given the seat away.
func TestAYesThatHoldsNoMoreIsNotTold(t *testing.T) {
	a := newAsking(t)
	a.ask()
	if _, err := a.say(a.theirs, "swap_yes", a.other, a.one); err != nil {
		t.Fatal(said(err))
	}
	due := func() bool {
		return slices.ContainsFunc(a.box().Due, func(m dueOne) bool {
			return m.Person == a.one.Person && strings.Contains(m.Text, "said yes: you changed places")
		})
	}
	if !due() {
		t.Fatal("whoever asked is not to hear of it")
	}
	a.must("POST", "/api/crew/seats/"+a.other.Game+"/"+a.other.Seat, map[string]string{"act": "clear"}, nil)
	if due() {
		t.Error("somebody is told of a seat that they gave away")
	}
	if !strings.Contains(string(a.papers.texts["more"]), `"swapped"`) {
		t.Fatal("nothing is kept of it")
	}
	a.must("DELETE", "/api/crew/people/"+a.one.Person, nil, nil)
	if strings.Contains(string(a.papers.texts["more"]), a.one.Name) {
		t.Error("who was forgotten is kept in it")
	}
}
