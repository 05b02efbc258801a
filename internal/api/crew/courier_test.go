package crew_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/internal/mail"
)

// One press sends one letter a person, whoever has several duties too, with their own link,
// its way out, and the words that were seen before.
func TestOneLetterAPerson(t *testing.T) {
	m := newMailing(t)
	before := m.box()
	if len(before.Due) < 5 || before.Mail.Mark == "" {
		t.Fatalf("%+v", before)
	}
	if err := m.ask("POST", "/api/crew/messages", map[string]any{"people": []string{before.Due[0].Person}, "act": "mail", "saw": "0"}, nil); err == nil {
		t.Error("letters that nobody saw are sent")
	}
	m.press()
	if b := m.box(); b.Mail.Waiting != len(before.Due) || len(b.Due) != 0 {
		t.Errorf("%+v", b.Mail)
	}
	m.deliver()
	seen := map[string]bool{}
	for _, l := range m.post.letters {
		_, rest, has := strings.Cut(l.Text, "https://hub.example/crew/harbour/mine#")
		token, _, _ := strings.Cut(rest, "\n")
		if seen[l.To] || !has || l.Leave != "https://hub.example/crew/harbour/api/crew/mine/"+token+"/no-mail" || !strings.HasSuffix(l.Text, before.Mail.Last) {
			t.Errorf("%+v", l)
		}
		if !slices.ContainsFunc(before.Due, func(one dueOne) bool {
			return strings.HasPrefix(l.Text, one.Text)
		}) {
			t.Errorf("nobody saw these words before: %s", l.Text)
		}
		var p page
		if err := m.by(stranger(), "GET", "/api/crew/mine/"+token, nil, &p); err != nil || len(p.Duties) == 0 {
			t.Error(err)
		}
		seen[l.To] = true
	}
	after := m.box()
	if len(seen) != len(before.Due) || len(after.Due) != 0 || after.Mail.Waiting != 0 || len(after.Sent) != len(seen) || after.Sent[0].State != "sent" || !after.Sent[0].Mail {
		t.Errorf("%d of %d letters, %+v", len(seen), len(before.Due), after.Mail)
	}
	writes := m.papers.writes
	m.deliver()
	if len(m.post.letters) != len(seen) || m.papers.writes != writes {
		t.Error("something more is sent, or kept")
	}
}

// At night nothing goes; in the morning it does, unless it is not needed any more.
func TestNoLettersAtNight(t *testing.T) {
	m := newMailing(t)
	first := m.box().Due[0]
	m.now = time.Date(2026, 9, 20, 19, 30, 0, 0, time.UTC) // 21:30 at the rinks or later
	m.press()
	m.deliver()
	if b := m.box(); len(m.post.letters) != 0 || b.Mail.Waiting == 0 {
		t.Fatalf("%d letters at night", len(m.post.letters))
	}
	// Whoever says no meanwhile hears nothing.
	for _, one := range of(m.rota(), first.Name) {
		m.must("POST", "/api/crew/seats/"+one.Game+"/"+one.Seat, map[string]string{"act": "clear"}, nil)
	}
	m.now = time.Date(2026, 9, 21, 12, 0, 0, 0, time.UTC)
	m.deliver()
	b := m.box()
	if b.Mail.Waiting != 0 || len(m.post.letters) == 0 || slices.ContainsFunc(b.Sent, func(one sentOne) bool {
		return one.Name == first.Name
	}) {
		t.Errorf("%d letters, %+v", len(m.post.letters), b.Sent)
	}
}

// By itself only reminders go: seven, three and one day before, never more than three of a
// duty, never at night, and nothing after a no. Whoever was never asked is not reminded.
func TestRemindersGoByThemselves(t *testing.T) {
	m := newMailing(t)
	if err := m.ask("PUT", "/api/crew/mail", map[string]any{"by_itself": true}, nil); err == nil {
		t.Error("it is switched on by whoever saw nothing")
	}
	m.byItself()
	m.deliver()
	if len(m.post.letters) != 0 {
		t.Fatal("first messages go without a press")
	}
	m.press()
	m.deliver()
	asked := len(m.post.letters)
	no := m.rota()[0]
	for _, one := range m.rota() {
		if one.Name != "" {
			no = one
		}
	}
	p, err := (&linked{desk: m.desk}).act("/api/crew/mine/"+m.link(no.Person), "no", no)
	if err != nil {
		t.Fatal(said(err), p)
	}
	refused := len(m.to(m.addressOf(no.Person)))
	only := len(of(m.rota(), no.Name)) == 0
	for range 90 * 8 {
		m.now = m.now.Add(3 * time.Hour)
		m.deliver()
	}
	if len(m.post.letters) == asked {
		t.Fatal("nobody is reminded")
	}
	if only && len(m.to(m.addressOf(no.Person))) != refused {
		t.Error("somebody is reminded after a no")
	}
	reminded := map[[3]string]int{}
	var log struct {
		Events []struct{ Kind, Game, Seat, Name string }
	}
	m.must("GET", "/api/crew/files/duties.json", nil, &log)
	for _, e := range log.Events {
		if e.Kind == "reminded" {
			reminded[[3]string{e.Game, e.Seat, e.Name}]++
		}
	}
	most := 0
	for _, count := range reminded {
		most = max(most, count)
	}
	if most == 0 || most > 3 {
		t.Errorf("somebody is reminded %d times", most)
	}
	for _, at := range m.post.at {
		// The league's clocks: nobody is written to between 21:00 and 08:00.
		if hour := at.In(m.zone()).Hour(); hour < 8 || hour >= 21 {
			t.Errorf("a letter at %s", at.In(m.zone()))
		}
	}
}

// What the server says of a letter decides what becomes of it.
func TestWhatTheServerSays(t *testing.T) {
	m := newMailing(t)
	who := m.box().Due[0]
	later := &mail.Fault{Outcome: mail.Later, Code: 451, Said: "come back in a while"}

	// Later: again by itself, with more and more time between, and not for ever.
	m.post.answers = []error{later, later, nil}
	m.press(who.Person)
	m.deliver()
	if b := m.box(); b.Mail.Waiting != 1 || b.Sent[0].State != "waiting" || b.Sent[0].Said != later.Said {
		t.Errorf("%+v", b.Sent)
	}
	m.deliver()
	if len(m.post.answers) != 2 {
		t.Error("it does not wait")
	}
	m.now = m.now.Add(time.Minute)
	m.deliver()
	m.now = m.now.Add(time.Minute)
	m.deliver()
	if len(m.post.answers) != 1 {
		t.Errorf("%d answers are left", len(m.post.answers))
	}
	m.now = m.now.Add(4 * time.Minute)
	m.deliver()
	if b := m.box(); len(m.post.letters) != 1 || b.Sent[0].State != "sent" || b.Sent[0].Said != "" {
		t.Errorf("%+v", b.Sent)
	}

	// Given up after the last try.
	other := newMailing(t)
	one := other.box().Due[0]
	for range 20 {
		other.post.answers = append(other.post.answers, later)
	}
	other.press(one.Person)
	for range 200 {
		other.deliver()
		other.now = other.now.Add(time.Hour)
	}
	b := other.box()
	if tries := 20 - len(other.post.answers); tries != 7 || b.Sent[0].State != "failed" || b.Sent[0].Said != later.Said || !b.Due[slices.IndexFunc(b.Due, func(d dueOne) bool {
		return d.Person == one.Person
	})].Failed {
		t.Errorf("%d tries, %+v", tries, b.Sent)
	}
}

// A refused address is left alone until somebody types another one, and said beside the
// person with the server's words.
func TestARefusedAddressIsLeftAlone(t *testing.T) {
	m := newMailing(t)
	who := m.box().Due[0]
	m.press()
	m.deliver()
	m.byItself()
	gone, next := m.addressOf(who.Person), ""
	m.post.refuse = gone
	tried := func(address string) (count int) {
		for _, one := range m.post.tried {
			if one == address {
				count++
			}
		}
		return count
	}
	for range 60 * 8 {
		m.now = m.now.Add(3 * time.Hour)
		m.deliver()
		b := m.box()
		at := slices.IndexFunc(b.Due, func(one dueOne) bool { return one.Person == who.Person })
		if at >= 0 && b.Due[at].Failed && next == "" {
			if b.Due[at].Said != "no such mailbox" {
				t.Errorf("%+v", b.Due[at])
			}
			m.now = m.now.Add(time.Hour)
			m.deliver()           // again, and nothing goes
			if tried(gone) != 2 { // the first message, and the reminder that was refused
				t.Errorf("%d tries", tried(gone))
			}
			next = "new@example.org"
			m.reach(who.Person, next)
			m.now = m.now.Add(-time.Hour)
		}
	}
	if next == "" || len(m.to(next)) == 0 || tried(gone) != 2 {
		t.Errorf("%q gets %d letters; the old address was tried %d times", next, len(m.to(next)), tried(gone))
	}
}

// The server cannot be used: every letter waits, none counts as tried, the page says why,
// and it is asked more and more seldom.
func TestAServerThatCannotBeUsed(t *testing.T) {
	m := newMailing(t)
	closed := &mail.Fault{Outcome: mail.Closed, Code: 535, Said: "the login is wrong"}
	for range 100 {
		m.post.answers = append(m.post.answers, closed)
	}
	m.press()
	waiting := m.box().Mail.Waiting
	for range 6 * 60 {
		m.deliver()
		m.now = m.now.Add(time.Minute)
	}
	if b := m.box(); b.Mail.Trouble != closed.Said || b.Mail.Waiting != waiting || len(m.post.answers) < 80 {
		t.Errorf("%+v, %d answers are left", b.Mail, len(m.post.answers))
	}
	m.post.answers = nil
	m.now = m.now.Add(31 * time.Minute)
	m.deliver()
	if b := m.box(); b.Mail.Trouble != "" || b.Mail.Waiting != 0 || len(m.post.letters) != waiting {
		t.Errorf("%+v, %d letters", b.Mail, len(m.post.letters))
	}
}

// The power goes while a letter is on its way, or the disk does: it counts as perhaps sent,
// the page says so, and it goes again only by a press.
func TestALetterThatMayHaveGone(t *testing.T) {
	for name, cut := range map[string]func(m *mailing){
		"power before the answer": func(m *mailing) {
			kept := map[string][]byte{}
			m.post.before = func() {
				for name, text := range m.papers.texts {
					kept[name] = text
				}
			}
			m.s.Deliver(m.t.Context(), entry.Millis(m.now.UnixMilli()))
			m.papers.texts = kept
			m.restart()
		},
		"no answer": func(m *mailing) {
			m.post.answers = []error{&mail.Fault{Outcome: mail.Perhaps, Said: "the connection ended"}}
			m.s.Deliver(m.t.Context(), entry.Millis(m.now.UnixMilli()))
		},
		"a disk that is full": func(m *mailing) {
			m.post.before = func() { m.papers.full = true }
			m.s.Deliver(m.t.Context(), entry.Millis(m.now.UnixMilli()))
			m.papers.full = false
		},
	} {
		t.Run(name, func(t *testing.T) {
			m := newMailing(t)
			who := m.box().Due[0]
			m.press(who.Person)
			cut(m)
			m.post.before = nil
			m.byItself()
			for range 4 {
				m.now = m.now.Add(time.Hour)
				m.deliver()
			}
			b := m.box()
			at := slices.IndexFunc(b.Due, func(d dueOne) bool {
				return d.Person == who.Person
			})
			if len(m.post.letters) != 1 || b.Sent[0].State != "perhaps" || at < 0 || !b.Due[at].Perhaps {
				t.Fatalf("%d letters, %+v", len(m.post.letters), b.Sent)
			}
			m.press(who.Person)
			m.deliver()
			if len(m.post.letters) != 2 || m.box().Sent[0].State != "sent" {
				t.Errorf("%d letters", len(m.post.letters))
			}
		})
	}
}

// Whoever wants no letters gets none: by one POST of a mail program (RFC 8058, 3.2), also
// when the link's duties are over; by looking at the address nothing happens.
func TestWhoWantsNoLettersGetsNone(t *testing.T) {
	m := newMailing(t)
	who := m.box().Due[0]
	m.press(who.Person)
	m.deliver()
	leave := strings.TrimPrefix(m.post.letters[0].Leave, "https://hub.example/crew/harbour")
	writes := m.papers.writes
	if err := m.by(stranger(), "POST", strings.Replace(leave, "/no-mail", "x/no-mail", 1), []byte("List-Unsubscribe=One-Click"), nil); err == nil || m.papers.writes != writes {
		t.Error("a guess takes somebody out")
	}
	for range 2 {
		if err := m.by(stranger(), "POST", leave, []byte("List-Unsubscribe=One-Click"), nil); err != nil {
			t.Fatal(said(err))
		}
	}
	if m.papers.writes != writes+1 {
		t.Errorf("%d writes", m.papers.writes-writes)
	}
	mine := strings.TrimSuffix(leave, "/no-mail")
	var p struct{ Mail string }
	if err := m.by(stranger(), "GET", mine, nil, &p); err != nil || p.Mail != "left" {
		t.Errorf("%+v %v", p, err)
	}
	m.byItself()
	for range 120 {
		m.now = m.now.Add(12 * time.Hour)
		m.deliver()
	}
	if got := len(m.to(m.addressOf(who.Person))); got != 1 {
		t.Errorf("%d letters", got)
	}
	if err := m.by(stranger(), "POST", leave, []byte("List-Unsubscribe=One-Click"), nil); err != nil {
		t.Error(said(err))
	}
}

// As many letters go in a day as the provider lets; the rest goes the day after.
func TestADaysLetters(t *testing.T) {
	m := newMailing(t)
	m.post.most = 3
	m.press()
	all := m.box().Mail.Waiting
	m.deliver()
	if b := m.box(); len(m.post.letters) != 3 || !b.Mail.Full || b.Mail.Waiting != all-3 {
		t.Errorf("%d letters, %+v", len(m.post.letters), b.Mail)
	}
	m.now = m.now.Add(25 * time.Hour)
	m.deliver()
	if len(m.post.letters) != min(6, all) {
		t.Errorf("%d letters", len(m.post.letters))
	}
}

// Somebody is forgotten while their letter is on its way: nothing of them comes back.
func TestForgottenWhileALetterGoes(t *testing.T) {
	m := newMailing(t)
	who := m.box().Due[0]
	m.press(who.Person)
	m.post.before = func() { m.must("DELETE", "/api/crew/people/"+who.Person, nil, nil) }
	m.deliver()
	for name, text := range m.papers.texts {
		if strings.Contains(string(text), who.Name) {
			t.Errorf("%s has the name", name)
		}
	}
}

// Whatever the server says and whenever the program is started again: nobody gets two
// letters by themselves about the same, unless the first certainly did not arrive.
func TestNobodyIsWrittenToTwice(t *testing.T) {
	base := newMailing(t)
	texts := base.papers.texts
	rapid.Check(t, func(r *rapid.T) {
		m := &mailing{desk: base.desk, post: &post{}}
		m.papers.texts = map[string][]byte{}
		for name, text := range texts {
			m.papers.texts[name] = text
		}
		m.now = time.Date(2026, 9, 20, 12, 0, 0, 0, time.UTC)
		m.post.now = func() time.Time { return m.now }
		m.restart()
		m.press()
		for range rapid.IntRange(5, 40).Draw(r, "steps") {
			switch rapid.SampledFrom([]string{"send", "later", "refuse", "perhaps", "closed", "crash", "wait"}).Draw(r, "step") {
			case "later":
				m.post.answers = []error{&mail.Fault{Outcome: mail.Later}}
			case "refuse":
				m.post.answers = []error{&mail.Fault{Outcome: mail.Refused}}
			case "perhaps":
				m.post.answers = []error{&mail.Fault{Outcome: mail.Perhaps}}
			case "closed":
				m.post.answers = []error{errors.New("no route")}
			case "crash":
				kept := map[string][]byte{}
				m.post.before = func() {
					for name, text := range m.papers.texts {
						kept[name] = text
					}
				}
				m.s.Deliver(m.t.Context(), entry.Millis(m.now.UnixMilli()))
				if m.post.before = nil; len(kept) > 0 {
					m.papers.texts = kept
				}
				m.restart()
			case "wait":
				m.now = m.now.Add(time.Hour)
			}
			m.s.Deliver(m.t.Context(), entry.Millis(m.now.UnixMilli()))
		}
		seen := map[string]bool{}
		for _, l := range m.post.letters {
			if seen[l.To] {
				r.Fatalf("%s gets two", l.To)
			}
			seen[l.To] = true
		}
	})
}
