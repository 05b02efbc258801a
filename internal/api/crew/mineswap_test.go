package crew_test

import (
	"strings"
	"testing"
)

// swapping is two people who could change places, with a link each.
type swapping struct {
	*desk
	one, other duty
	mine       string // the way to the page of whoever asks
	theirs     string
}

func newSwapping(t *testing.T) swapping {
	t.Helper()
	d := made(t)
	all := d.rota()
	for _, one := range all {
		if one.Name == "" {
			continue
		}
		for _, with := range d.seat(one.Game, one.Seat).Swaps {
			for _, other := range all {
				if other.Game == with.Game && other.Seat == with.Seat {
					return swapping{d, one, other, "/api/crew/mine/" + d.link(one.Person), "/api/crew/mine/" + d.link(other.Person)}
				}
			}
		}
	}
	t.Fatal("nobody can change places")
	return swapping{}
}

type swapPage struct {
	page
	Swaps []struct {
		Mine, Other duty
		Asked       bool
	}
}

// say does something of a change of places on somebody's page.
func (s swapping) say(path, do string, mine, other duty) (p swapPage, err error) {
	s.t.Helper()
	err = s.by(stranger(), "POST", path, map[string]string{"do": do, "game": mine.Game, "seat": mine.Seat, "with_game": other.Game, "with_seat": other.Seat}, &p)
	return p, err
}

func (s swapping) names() (one, other string) {
	for _, d := range s.rota() {
		switch {
		case d.Game == s.one.Game && d.Seat == s.one.Seat:
			one = d.Name + " " + d.Status
		case d.Game == s.other.Game && d.Seat == s.other.Seat:
			other = d.Name + " " + d.Status
		}
	}
	return one, other
}

// Two people change places on their own pages, without the coordinator: the one asks, the
// other says yes, and both have accepted. Neither sees the other's whole name.
func TestTwoPeopleChangePlacesByThemselves(t *testing.T) {
	s := newSwapping(t)
	var could struct{ Swaps []duty }
	if err := s.by(stranger(), "GET", s.mine+"/swaps/"+s.one.Game+"/"+s.one.Seat, nil, &could); err != nil {
		t.Fatal(said(err))
	}
	found := false
	for _, one := range could.Swaps {
		found = found || one.Game == s.other.Game && one.Seat == s.other.Seat
		if one.Person != "" || !strings.Contains(one.Name, " ") || one.Name == s.other.Name {
			t.Errorf("%+v", one)
		}
	}
	if !found {
		t.Fatalf("%+v", could.Swaps)
	}
	// Whoever was not asked can say yes to nothing.
	if _, err := s.say(s.theirs, "swap_yes", s.other, s.one); err == nil {
		t.Error("a yes to what nobody asked")
	}
	p, err := s.say(s.mine, "swap", s.one, s.other)
	if err != nil || len(p.Swaps) != 1 || !p.Swaps[0].Asked {
		t.Fatalf("%v %+v", err, p.Swaps)
	}
	if p, err = s.say(s.mine, "swap", s.one, s.other); err != nil || len(p.Swaps) != 1 {
		t.Errorf("asked twice: %v %+v", err, p.Swaps)
	}
	// Whoever asked cannot say yes in the other's place, and asking changes nothing.
	if _, err := s.say(s.mine, "swap_yes", s.one, s.other); err == nil {
		t.Error("whoever asked says yes themselves")
	}
	one, other := s.names()
	if !strings.HasPrefix(one, s.one.Name+" ") || !strings.HasPrefix(other, s.other.Name+" ") {
		t.Fatal(one, other)
	}
	var wish swapPage
	if err := s.by(stranger(), "GET", s.theirs, nil, &wish); err != nil || len(wish.Swaps) != 1 || wish.Swaps[0].Asked || wish.Swaps[0].Other.Name == s.one.Name {
		t.Fatalf("%v %+v", err, wish.Swaps)
	}
	p, err = s.say(s.theirs, "swap_yes", s.other, s.one)
	if err != nil || len(p.Swaps) != 0 || p.status(s.one) != "yes" {
		t.Fatalf("%v %+v", err, p)
	}
	if one, other = s.names(); one != s.other.Name+" yes" || other != s.one.Name+" yes" {
		t.Error(one, other)
	}
	if _, err := s.say(s.theirs, "swap_yes", s.other, s.one); err == nil {
		t.Error("once more")
	}
}

// A no, a question that was taken back, and one whose duty went to somebody else end it.
func TestAChangeOfPlacesThatIsNotToBe(t *testing.T) {
	s := newSwapping(t)
	ask := func() {
		t.Helper()
		if _, err := s.say(s.mine, "swap", s.one, s.other); err != nil {
			t.Fatal(said(err))
		}
	}
	ask()
	if p, err := s.say(s.theirs, "swap_no", s.other, s.one); err != nil || len(p.Swaps) != 0 {
		t.Errorf("%v %+v", err, p.Swaps)
	}
	ask()
	if p, err := s.say(s.mine, "swap_no", s.one, s.other); err != nil || len(p.Swaps) != 0 {
		t.Errorf("%v %+v", err, p.Swaps)
	}
	if _, err := s.say(s.theirs, "swap_yes", s.other, s.one); err == nil {
		t.Error("a yes to what was taken back")
	}
	ask()
	s.must("POST", "/api/crew/seats/"+s.one.Game+"/"+s.one.Seat, map[string]string{"act": "clear"}, nil)
	var p swapPage
	if err := s.by(stranger(), "GET", s.theirs, nil, &p); err != nil || len(p.Swaps) != 0 {
		t.Errorf("%v %+v", err, p.Swaps)
	}
	if _, err := s.say(s.theirs, "swap_yes", s.other, s.one); err == nil {
		t.Error("a duty of nobody is changed")
	}
	// Somebody else's duty is nobody's to give.
	if _, err := s.say(s.theirs, "swap", s.one, s.other); err == nil {
		t.Error("another's duty is given")
	}
	// Whoever is forgotten is asked nothing any more.
	if !strings.Contains(string(s.papers.texts["more"]), s.other.Name) {
		t.Fatal("nothing is kept of the question")
	}
	s.must("DELETE", "/api/crew/people/"+s.other.Person, nil, nil)
	if strings.Contains(string(s.papers.texts["more"]), s.other.Name) {
		t.Error("who was forgotten is asked still")
	}
}
