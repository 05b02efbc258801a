package crew_test

import (
	"context"
	"crypto/ecdh"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/push"
	"whistlestop/internal/push/sender"
)

// pushed is a note that a device got.
type pushed struct {
	Title, Body, URL string
	to               string
	keys             push.Keys
	at               time.Time
}

// pusher is the push services of the world; what they say is by address.
type pusher struct {
	notes []pushed
	says  map[string]push.Answer
	asked []string
	now   func() time.Time
	cut   func() // what happens while a note is on its way
}

// Takes says no to what is no address of the internet, as whoever sends does.
func (p *pusher) Takes(d push.Device) error { return (&sender.Post{}).Takes(d) }

func (p *pusher) Push(_ context.Context, keys push.Keys, d push.Device, message []byte) push.Answer {
	p.asked = append(p.asked, d.Endpoint)
	answer := p.says[d.Endpoint]
	if answer.Outcome == push.Sent || answer.Outcome == push.Perhaps {
		note := pushed{to: d.Endpoint, keys: keys, at: p.now()}
		if err := json.Unmarshal(message, &note); err != nil {
			panic(err)
		}
		p.notes = append(p.notes, note)
	}
	if p.cut != nil {
		p.cut()
	}
	return answer
}

// reminding is a mailing whose rota was told to everybody, with reminders that go by
// themselves, on the day before the first of them.
type reminding struct {
	*mailing
	pusher *pusher
	person string // with a duty
	name   string
	own    string // the way to their page
}

func newReminding(t *testing.T) *reminding {
	t.Helper()
	r := &reminding{mailing: newMailing(t), pusher: &pusher{says: map[string]push.Answer{}}}
	r.pusher.now = func() time.Time { return r.now }
	r.restart()
	r.byItself()
	r.press()
	r.deliver()
	if len(r.pusher.asked) != 0 {
		t.Fatal("first messages go to devices")
	}
	first := slices.MinFunc(r.rota(), func(a, b duty) int { return strings.Compare(a.Day+a.Name, b.Day+b.Name) })
	for _, one := range r.rota() {
		if one.Name != "" && one.Day == first.Day {
			r.person, r.name = one.Person, one.Name
		}
	}
	r.own = "/api/crew/mine/" + r.link(r.person)
	r.post.letters = nil
	return r
}

// restart starts the program again on what is kept.
func (r *reminding) restart() {
	r.mailing.restart()
	r.s.Push = r.pusher
}

func phoneOf(t *testing.T, name string) push.Device {
	t.Helper()
	own, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	b64 := base64.RawURLEncoding
	return push.Device{Endpoint: "https://push.example/" + name, Key: b64.EncodeToString(own.PublicKey().Bytes()), Secret: b64.EncodeToString(make([]byte, 16))}
}

// on turns reminders on for a device, or off.
func (r *reminding) on(do string, d push.Device) (out struct {
	Push    string
	Devices []string
}) {
	r.t.Helper()
	if err := r.by(stranger(), "POST", r.own, map[string]any{"do": do, "device": d}, &out); err != nil {
		r.t.Fatal(said(err))
	}
	return out
}

// later lets days go by, with the courier at work.
func (r *reminding) later(days int) {
	r.t.Helper()
	for range days * 8 {
		r.now = r.now.Add(3 * time.Hour)
		r.deliver()
	}
}

// letters are those that went to the person.
func (r *reminding) letters() int { return len(r.to(r.addressOf(r.person))) }

// Whoever turned reminders on for a device gets them there and not by mail: at most three a
// duty, none at night, with the link of their own page, and nobody else's name.
func TestRemindersGoToDevices(t *testing.T) {
	r := newReminding(t)
	var page struct{ Push string }
	if err := r.by(stranger(), "GET", r.own, nil, &page); err != nil || page.Push == "" {
		t.Fatal("the page offers no reminders", err)
	}
	phone, tablet := phoneOf(t, "phone"), phoneOf(t, "tablet")
	r.on("push", phone)
	r.on("push", phone) // the same again
	if out := r.on("push", tablet); len(out.Devices) != 2 || out.Push != page.Push {
		t.Fatalf("%+v", out)
	}
	r.restart() // the keys stay
	r.later(60)
	if len(r.pusher.notes) == 0 || r.letters() != 0 {
		t.Fatalf("%d notes, %d letters", len(r.pusher.notes), r.letters())
	}
	byDevice, zone := map[string]int{}, r.zone()
	for _, n := range r.pusher.notes {
		byDevice[n.to]++
		token, is := strings.CutPrefix(n.URL, "https://hub.example/crew/harbour/mine#")
		var p struct{ First string }
		if err := r.by(stranger(), "GET", "/api/crew/mine/"+token, nil, &p); !is || err != nil && !strings.Contains(said(err), "over") {
			t.Errorf("%s: %v", n.URL, err)
		}
		if n.keys.Public != page.Push || n.Title == "" || n.Body == "" {
			t.Errorf("%+v", n)
		}
		if hour := n.at.In(zone).Hour(); hour < 8 || hour >= 21 {
			t.Errorf("a note at %d o'clock", hour)
		}
	}
	if byDevice[phone.Endpoint] != byDevice[tablet.Endpoint] {
		t.Errorf("%v", byDevice)
	}
	if most := 3 * len(of(r.rota(), r.name)); byDevice[phone.Endpoint] > most {
		t.Errorf("%d notes for %d duties", byDevice[phone.Endpoint], most/3)
	}
	if sent := r.box().Sent; len(sent) == 0 {
		t.Error("nothing stands in the outbox")
	}
}

// A press shows first what goes to devices, and a no ends reminders there too.
func TestNotesAreSeenFirstAndEndWithANo(t *testing.T) {
	r := newReminding(t)
	r.on("push", phoneOf(t, "phone"))
	r.must("PUT", "/api/crew/mail", map[string]any{"by_itself": false}, nil)
	var due struct {
		Due []struct{ Person, Mail, Push string }
	}
	for range 60 * 8 {
		r.now = r.now.Add(3 * time.Hour)
		r.must("GET", "/api/crew/messages", nil, &due)
		if slices.ContainsFunc(due.Due, func(one struct{ Person, Mail, Push string }) bool { return one.Person == r.person }) {
			break
		}
	}
	shown := ""
	for _, one := range due.Due {
		if one.Person == r.person {
			shown = one.Push
			if one.Mail != "push" {
				t.Errorf("%+v", one)
			}
		}
	}
	r.now = time.Date(r.now.Year(), r.now.Month(), r.now.Day(), 12, 0, 0, 0, time.UTC)
	r.press(r.person)
	r.deliver()
	if len(r.pusher.notes) != 1 || r.pusher.notes[0].Title+"\n"+r.pusher.notes[0].Body != shown {
		t.Fatalf("shown %q, sent %+v", shown, r.pusher.notes)
	}
	r.byItself()
	for _, one := range of(r.rota(), r.name) {
		if !one.Over {
			if _, err := (&linked{desk: r.desk}).act(r.own, "no", one); err != nil {
				t.Fatal(said(err))
			}
		}
	}
	r.later(30)
	if len(r.pusher.notes) != 1 {
		t.Errorf("%d notes after a no", len(r.pusher.notes)-1)
	}
}

// What a push service says decides: gone takes the device out and the reminder goes by
// mail, later waits, and where nobody knows nothing goes again.
func TestDevicesThatDoNotAnswer(t *testing.T) {
	for _, one := range []struct {
		name           string
		says           push.Answer
		notes, letters bool
		devices        int
		state          string
	}{
		{"gone", push.Answer{Outcome: push.Gone}, false, true, 0, "sent"},
		{"too large", push.Answer{Outcome: push.Refused, Said: "413"}, false, true, 1, "sent"},
		{"later for ever", push.Answer{Outcome: push.Later, After: 2 * time.Hour, Said: "429"}, false, true, 1, "sent"},
		{"cut", push.Answer{Outcome: push.Perhaps, Said: "cut"}, true, false, 1, "perhaps"},
	} {
		t.Run(one.name, func(t *testing.T) {
			r := newReminding(t)
			phone := phoneOf(t, "phone")
			r.on("push", phone)
			r.pusher.says[phone.Endpoint] = one.says
			r.later(60)
			if len(r.pusher.notes) > 0 != one.notes || r.letters() > 0 != one.letters {
				t.Errorf("%d notes, %d letters", len(r.pusher.notes), r.letters())
			}
			if one.state == "perhaps" && len(r.pusher.asked) != 1 {
				t.Errorf("asked %d times", len(r.pusher.asked))
			}
			var copied struct{ Devices []push.Device }
			r.must("GET", "/api/crew/people/"+r.person+"/copy", nil, &copied)
			if len(copied.Devices) != one.devices {
				t.Errorf("%d devices", len(copied.Devices))
			}
			found := false
			for _, m := range r.box().Sent {
				found = found || m.Name == r.name && m.State == one.state
			}
			if !found {
				t.Errorf("%+v", r.box().Sent)
			}
		})
	}
}

// "Later" is waited for as long as the push service says.
func TestRetryAfter(t *testing.T) {
	r := newReminding(t)
	phone := phoneOf(t, "phone")
	r.on("push", phone)
	r.pusher.says[phone.Endpoint] = push.Answer{Outcome: push.Later, After: 3 * time.Hour}
	for len(r.pusher.asked) == 0 {
		r.now = r.now.Add(time.Hour)
		r.deliver()
	}
	delete(r.pusher.says, phone.Endpoint)
	r.now = r.now.Add(2 * time.Hour)
	if r.deliver(); len(r.pusher.asked) != 1 {
		t.Fatal("it was asked before its time")
	}
	for range 24 {
		r.now = r.now.Add(time.Hour)
		r.deliver()
	}
	if len(r.pusher.notes) == 0 || r.letters() != 0 {
		t.Errorf("%d notes, %d letters", len(r.pusher.notes), r.letters())
	}
}

// The power goes between a note and what is kept of it: perhaps sent, and it does not go
// again by itself, nor by mail.
func TestAPowerCutAfterANote(t *testing.T) {
	r := newReminding(t)
	r.on("push", phoneOf(t, "phone"))
	r.pusher.cut = func() { r.papers.full = true }
	for len(r.pusher.notes) == 0 {
		r.now = r.now.Add(time.Hour)
		r.s.Deliver(t.Context(), entry.Millis(r.now.UnixMilli()))
	}
	r.papers.full, r.pusher.cut = false, nil
	r.restart()
	r.later(40)
	if len(r.pusher.notes) != 1 || r.letters() != 0 {
		t.Errorf("%d notes, %d letters", len(r.pusher.notes), r.letters())
	}
	if !slices.ContainsFunc(r.box().Due, func(one dueOne) bool { return one.Person == r.person && one.Perhaps }) &&
		!slices.ContainsFunc(r.box().Sent, func(one sentOne) bool { return one.Name == r.name && one.State == "perhaps" }) {
		t.Error("nobody is told that it may not have arrived")
	}
}

// A device goes with its person, is in their copy, is turned off by a tap, and what is none
// is refused.
func TestDevicesBelongToTheirPerson(t *testing.T) {
	r := newReminding(t)
	bad := phoneOf(t, "x")
	bad.Endpoint = "https://192.168.7.1/x"
	if err := r.by(stranger(), "POST", r.own, map[string]any{"do": "push", "device": bad}, nil); err == nil {
		t.Error("an address of this network is taken")
	}
	if err := r.by(stranger(), "POST", r.own, map[string]any{"do": "push"}, nil); err == nil {
		t.Error("no device is taken")
	}
	for n := range 10 {
		r.on("push", phoneOf(t, fmt.Sprint(n)))
	}
	if out := r.on("no_push", phoneOf(t, "9")); len(out.Devices) != 5 {
		t.Errorf("%d devices", len(out.Devices))
	}
	r.must("DELETE", "/api/crew/people/"+r.person, nil, nil)
	for name, text := range r.papers.texts {
		if strings.Contains(string(text), "push.example") {
			t.Errorf("%s has a device of somebody who was deleted", name)
		}
	}
}
