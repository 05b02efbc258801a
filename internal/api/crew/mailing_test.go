package crew_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/locale"
	"whistlestop/internal/mail"
)

// post is a server of mail that does what a test wants.
type post struct {
	letters []mail.Letter
	at      []time.Time
	most    int
	answers []error // to the next letters
	before  func()  // what happens while a letter is on its way
	now     func() time.Time
	refuse  string   // an address that is not taken
	tried   []string // addresses
}

func (p *post) From() string { return "crew@harbour.example" }
func (p *post) Most() int    { return p.most }

func (p *post) Send(_ context.Context, l mail.Letter) error {
	p.tried = append(p.tried, l.To)
	if l.To == p.refuse {
		return &mail.Fault{Outcome: mail.Refused, Code: 550, Said: "no such mailbox"}
	}
	var err error
	if len(p.answers) > 0 {
		err, p.answers = p.answers[0], p.answers[1:]
	}
	if err == nil || mail.Came(err) == mail.Perhaps {
		p.letters, p.at = append(p.letters, l), append(p.at, p.now())
	}
	if p.before != nil {
		p.before()
	}
	return err
}

// mailing is a desk with a rota that nobody was told of yet, and a way to send letters.
// Everybody has an address of their own.
type mailing struct {
	*desk
	post *post
}

func newMailing(t *testing.T) *mailing {
	t.Helper()
	m := &mailing{desk: made(t), post: &post{}}
	m.post.now = m.clock
	var list struct{ People []map[string]any }
	m.must("GET", "/api/crew/people", nil, &list)
	for i, person := range list.People {
		person["reach"] = fmt.Sprintf("%03d@example.org", i)
		delete(person, "stays")
		m.must("PUT", "/api/crew/people/"+person["id"].(string), person, nil)
	}
	m.mails()
	return m
}

func (m *mailing) clock() time.Time { return m.now }

// mails gives the program that was started a way to send letters.
func (m *mailing) mails() {
	m.s.Post, m.s.Everywhere = m.post, true
	m.s.Reach = func() (string, bool) { return "https://hub.example/crew/harbour", true }
	m.s.Languages = func(...string) api.Words { return locale.English() }
}

// restart starts the program again on what is kept.
func (m *mailing) restart() {
	m.start()
	m.mails()
}

// dueOne is somebody who is to hear something, sentOne a message that went out.
type (
	dueOne struct {
		Person, Name, Mail, Said, Text string
		Failed, Perhaps                bool
	}
	sentOne struct {
		Name, State, Said string
		Mail              bool
	}
)

// box is the outbox as the page shows it.
type box struct {
	Due  []dueOne
	Sent []sentOne
	Mail struct {
		Mark, Trouble, Last string
		ByItself            bool `json:"by_itself"`
		Full                bool
		Waiting             int
	}
}

func (m *mailing) box() (b box) {
	m.t.Helper()
	m.must("GET", "/api/crew/messages", nil, &b)
	return b
}

// press puts letters to everybody, or to some, into the outbox.
func (m *mailing) press(people ...string) {
	m.t.Helper()
	b := m.box()
	if len(people) == 0 {
		for _, one := range b.Due {
			people = append(people, one.Person)
		}
	}
	m.must("POST", "/api/crew/messages", map[string]any{"people": people, "act": "mail", "saw": b.Mail.Mark}, nil)
}

// deliver lets the courier work until it has nothing to do at this moment.
func (m *mailing) deliver() {
	m.t.Helper()
	for range 2000 {
		if m.s.Deliver(m.t.Context(), entry.Millis(m.now.UnixMilli())) > time.Second {
			return
		}
	}
	m.t.Fatal("the courier never rests")
}

// byItself switches sending by itself on.
func (m *mailing) byItself() {
	m.t.Helper()
	m.must("PUT", "/api/crew/mail", map[string]any{"by_itself": true, "saw": m.box().Mail.Mark}, nil)
}

func (m *mailing) to(address string) (list []mail.Letter) {
	for _, l := range m.post.letters {
		if l.To == address {
			list = append(list, l)
		}
	}
	return list
}

func (m *mailing) zone() *time.Location {
	m.t.Helper()
	for line := range strings.SplitSeq(string(m.files.league), "\n") {
		if name, is := strings.CutPrefix(line, "zone = "); is {
			zone, err := time.LoadLocation(strings.Trim(name, `"`))
			if err != nil {
				m.t.Fatal(err)
			}
			return zone
		}
	}
	m.t.Fatal("the league has no zone")
	return nil
}

func (m *mailing) addressOf(person string) string {
	m.t.Helper()
	var list struct{ People []struct{ ID, Reach string } }
	m.must("GET", "/api/crew/people", nil, &list)
	for _, one := range list.People {
		if one.ID == person {
			return one.Reach
		}
	}
	m.t.Fatal("nobody")
	return ""
}

// reach changes somebody's address.
func (m *mailing) reach(person, address string) {
	m.t.Helper()
	var list struct{ People []map[string]any }
	m.must("GET", "/api/crew/people", nil, &list)
	for _, one := range list.People {
		if one["id"] == person {
			one["reach"] = address
			delete(one, "stays")
			m.must("PUT", "/api/crew/people/"+person, one, nil)
		}
	}
}
