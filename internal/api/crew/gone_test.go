package crew_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// A desk that went elsewhere says so, sends nothing, and leads people to their page there,
// whose token is the same; it can work here again.
func TestADeskThatWentElsewhere(t *testing.T) {
	r := newReminding(t)
	begins, ends := r.now, r.now.AddDate(0, 0, 40)
	type overview struct{ Gone, Since string }
	var seen overview
	for _, bad := range []string{"other.example", "javascript:alert(1)", "https://hub.example/crew/harbour/", "ftp://hub.example/", "https://name@hub.example/", "https://" + strings.Repeat("a", 300)} {
		if err := r.ask("POST", "/api/crew/gone", map[string]string{"address": bad}, nil); err == nil {
			t.Errorf("%q is taken for an address", bad)
		}
	}
	if err := r.by(stranger(), "POST", "/api/crew/gone", map[string]string{"address": "https://hub.example"}, nil); err == nil {
		t.Error("a stranger moves the desk")
	}
	r.must("POST", "/api/crew/gone", map[string]string{"address": " https://other.example/crew/harbour/desk#people "}, &seen)
	if seen.Gone != "https://other.example/crew/harbour" || seen.Since == "" {
		t.Fatalf("%+v", seen)
	}
	var p struct {
		page
		Elsewhere string
	}
	token := strings.TrimPrefix(r.own, "/api/crew/mine/")
	if err := r.by(stranger(), "GET", r.own, nil, &p); err != nil || p.Elsewhere != "https://other.example/crew/harbour/mine#"+token || p.First != "" || len(p.Duties) > 0 {
		t.Errorf("%v %+v", err, p)
	}
	if err := r.by(stranger(), "POST", r.own, map[string]string{"do": "no_mail"}, nil); err == nil || !strings.Contains(said(err), "https://other.example/crew/harbour") {
		t.Errorf("something is noted here: %v", err)
	}
	if err := r.by(stranger(), "GET", "/api/crew/mine/nobody", nil, nil); err == nil || strings.Contains(said(err), "other.example") {
		t.Errorf("whoever has no link hears where the desk is: %v", err)
	}
	if err := r.ask("POST", "/api/crew/messages", map[string]any{"people": []string{r.person}, "act": "prepare"}, nil); err == nil {
		t.Error("messages are made here")
	}
	sent := func() int { return len(r.post.letters) + len(r.pusher.notes) }
	for sent() == 0 && r.now.Before(ends) {
		r.later(1)
	}
	if sent() > 0 {
		t.Error("something is sent from here")
	}
	r.now = begins
	r.must("POST", "/api/crew/gone", map[string]string{"address": ""}, &seen)
	if seen != (overview{}) {
		t.Errorf("%+v", seen)
	}
	for sent() == 0 && r.now.Before(ends) {
		r.later(1)
	}
	if sent() == 0 {
		t.Error("nothing is sent from here, where it works again")
	}
}

// A copy of a desk that went elsewhere is a desk that works where it is taken over.
func TestACopyOfADeskThatWentElsewhere(t *testing.T) {
	old, _, whole, part := before(t)
	old.must("POST", "/api/crew/gone", map[string]string{"address": "https://hub.example/crew/harbour"}, nil)
	var file string
	old.must("GET", "/api/crew/whole.json", nil, &file)
	m := movedHere(t, old, file)
	var seen struct{ Gone, Moved string }
	m.must("GET", "/api/crew", nil, &seen)
	people, want := m.told(), []string{whole, part}
	slices.Sort(people)
	slices.Sort(want)
	if seen.Gone != "" || seen.Moved == "" || !slices.Equal(people, want) {
		t.Errorf("%+v, %v", seen, people)
	}
}

// A file in which somebody wrote another address than a desk can have leads nobody there.
func TestAForgedAddressLeadsNowhere(t *testing.T) {
	r := newReminding(t)
	r.must("POST", "/api/crew/gone", map[string]string{"address": "https://other.example/crew/harbour"}, nil)
	kept := string(r.papers.texts["more"])
	for address, want := range map[string]string{
		"https://other.example/crew/harbour": "https://other.example/crew/harbour", "javascript:alert(1)//": "",
		`https://other.example\" onclick=`: "", "https://other.example/desk": "", "": "",
	} {
		quoted, err := json.Marshal(address)
		if err != nil {
			t.Fatal(err)
		}
		r.papers.texts["more"] = []byte(strings.Replace(kept, `"https://other.example/crew/harbour"`, string(quoted), 1))
		r.restart()
		var seen struct{ Gone string }
		r.must("GET", "/api/crew", nil, &seen)
		if seen.Gone != want {
			t.Errorf("%q leads to %q", address, seen.Gone)
		}
	}
}
