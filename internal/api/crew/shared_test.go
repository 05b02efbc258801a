package crew_test

import (
	"context"
	"maps"
	"strings"
	"sync"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/mail"
)

// sharedPapers are papers in memory that several processes change.
type sharedPapers struct {
	papers
	mutex   sync.Mutex
	version int64
}

func (p *sharedPapers) Version(context.Context) (int64, error) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.version, nil
}

func (p *sharedPapers) Newest(context.Context) (map[string][]byte, int64, error) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return maps.Clone(p.texts), p.version, nil
}

func (p *sharedPapers) KeepAfter(ctx context.Context, after int64, _ bool, at entry.Millis, why string, texts map[string][]byte) (int64, bool, error) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if after != p.version {
		return p.version, false, nil
	}
	p.version++
	return p.version, true, p.Keep(ctx, at, why, texts)
}

// counted is a way to send letters, for many at once.
type counted struct {
	mutex sync.Mutex
	ids   map[string]int
	to    map[string]int
	slow  time.Duration
}

func (*counted) From() string { return "crew@harbour.example" }
func (*counted) Most() int    { return 0 }

func (p *counted) Send(_ context.Context, l mail.Letter) error {
	p.mutex.Lock()
	p.ids[l.ID]++
	p.to[l.To]++
	p.mutex.Unlock()
	time.Sleep(p.slow)
	return nil
}

// others are further processes over the papers of a mailing.
func (m *mailing) others(count int) (post *counted, all []*mailing) {
	m.t.Helper()
	shared := &sharedPapers{papers: *m.papers}
	post = &counted{ids: map[string]int{}, to: map[string]int{}, slow: time.Millisecond}
	for n := range count {
		one := &mailing{desk: &desk{t: m.t, papers: m.papers, files: m.files, now: m.now, key: byte(50 * n)}, post: m.post}
		one.restart()
		one.s.Papers, one.s.Post = shared, post
		all = append(all, one)
	}
	return post, all
}

// What one process keeps another one knows at once: an answer by a link at any hub, and no
// change overwrites another.
func TestSeveralProcessesOverOneDesk(t *testing.T) {
	m := newMailing(t)
	_, all := m.others(3)
	a, b := all[0], all[1]
	first, _ := a.replaceable()
	own := "/api/crew/mine/" + a.link(first.Person)
	var p page
	if err := b.by(stranger(), "POST", own, map[string]string{"do": "yes", "game": first.Game, "seat": first.Seat}, &p); err != nil || p.status(first) != "yes" {
		t.Fatalf("%v, %+v", err, p)
	}
	for _, one := range of(a.rota(), first.Name) {
		if one.Game == first.Game && one.Seat == first.Seat && one.Status != "yes" {
			t.Errorf("at the other hub it is %s", one.Status)
		}
	}
	// All of them change somebody at once; every change is there.
	var list struct{ People []map[string]any }
	a.must("GET", "/api/crew/people", nil, &list)
	var group sync.WaitGroup
	for n, one := range all {
		group.Go(func() {
			for at := n; at < len(list.People); at += len(all) {
				person := maps.Clone(list.People[at])
				delete(person, "stays")
				person["reach"] = person["name"].(string) + "@changed.example"
				if err := one.ask("PUT", "/api/crew/people/"+person["id"].(string), person, nil); err != nil {
					t.Error(said(err))
				}
			}
		})
	}
	group.Wait()
	a.must("GET", "/api/crew/people", nil, &list)
	for _, person := range list.People {
		if !strings.HasSuffix(person["reach"].(string), "@changed.example") {
			t.Errorf("a change of %v was overwritten: %v", person["name"], person["reach"])
		}
	}
}

// However many processes send, each letter goes once.
func TestSeveralProcessesSendEachLetterOnce(t *testing.T) {
	m := newMailing(t)
	post, all := m.others(4)
	due := all[0].box().Due
	all[0].press()
	all[1].byItself()
	var group sync.WaitGroup
	for _, one := range all {
		group.Go(func() {
			for range 400 {
				one.s.Deliver(t.Context(), entry.Millis(one.now.UnixMilli()))
			}
		})
	}
	group.Wait()
	if len(post.ids) != len(due) {
		t.Errorf("%d letters for %d people", len(post.ids), len(due))
	}
	for id, count := range post.ids {
		if count != 1 {
			t.Errorf("letter %s went %d times", id, count)
		}
	}
	for to, count := range post.to {
		if count != 1 {
			t.Errorf("%s got %d letters", to, count)
		}
	}
	for _, one := range all[3].box().Sent {
		if one.State != "sent" {
			t.Errorf("%+v", one)
		}
	}
}

// A process that ends with a letter on its way holds up the others for a while, and then
// that letter is perhaps sent: it does not go again, the others do.
func TestAProcessThatEndsWhileItSends(t *testing.T) {
	m := newMailing(t)
	post, all := m.others(2)
	people := len(all[0].box().Due)
	all[0].press()
	ended := false
	all[0].s.Post = &ending{counted: post, end: func() { ended = true }}
	func() {
		defer func() { _ = recover() }() // the process ends here
		all[0].s.Deliver(t.Context(), entry.Millis(all[0].now.UnixMilli()))
	}()
	if !ended || len(post.ids) != 1 {
		t.Fatal("nothing was on its way")
	}
	all[1].deliver()
	if len(post.ids) != 1 {
		t.Error("another one sends while the first may be at it")
	}
	all[1].now = all[1].now.Add(11 * time.Minute)
	all[1].deliver()
	perhaps := 0
	for _, one := range all[1].box().Sent {
		if one.State == "perhaps" {
			perhaps++
		}
	}
	if perhaps != 1 || len(post.ids) != people {
		t.Errorf("%d perhaps, %d letters for %d people", perhaps, len(post.ids), people)
	}
	for to, count := range post.to {
		if count != 1 {
			t.Errorf("%s got %d letters", to, count)
		}
	}
}

// ending hands a letter over and ends the process before that is noted.
type ending struct {
	*counted
	end func()
}

func (p *ending) Send(ctx context.Context, l mail.Letter) error {
	if err := p.counted.Send(ctx, l); err != nil {
		return err
	}
	p.end()
	panic("the process ends")
}

// Pressing again makes no other link, and every link of a message opens until its duties
// are over, also those of before the program was started again.
func TestLinksOfBeforeGoOnOpening(t *testing.T) {
	m := newMailing(t)
	person := m.box().Due[0].Person
	links := map[string]bool{}
	prepare := func() {
		t.Helper()
		var out struct{ Messages []struct{ Text string } }
		m.must("POST", "/api/crew/messages", map[string]any{"people": []string{person}, "act": "prepare"}, &out)
		_, rest, _ := strings.Cut(out.Messages[0].Text, "/mine#")
		token, _, _ := strings.Cut(rest, "\n")
		links[token] = true
	}
	for range 12 {
		prepare()
	}
	if len(links) != 1 {
		t.Errorf("twelve presses made %d links", len(links))
	}
	for range 12 {
		m.restart()
		prepare()
	}
	if len(links) != 13 {
		t.Fatalf("%d links", len(links))
	}
	for token := range links {
		var p page
		if err := m.by(stranger(), "GET", "/api/crew/mine/"+token, nil, &p); err != nil || len(p.Duties) == 0 {
			t.Errorf("a link of before does not open: %v", err)
		}
	}
}
