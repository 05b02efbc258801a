package queue_test

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/mail"
	"whistlestop/internal/mail/queue"
)

// file is one in memory.
type file struct {
	text []byte
	full bool
}

func (f *file) Read() ([]byte, error) { return f.text, nil }

func (f *file) Write(text []byte) error {
	if f.full {
		return errors.New("no space left")
	}
	f.text = text
	return nil
}

// server answers as a test wants.
type server struct {
	letters []string
	answers []error
	during  func()
}

func (s *server) From() string { return "hub@harbour.example" }

func (s *server) Send(_ context.Context, l mail.Letter) error {
	if s.during != nil {
		s.during()
	}
	var err error
	if len(s.answers) > 0 {
		err, s.answers = s.answers[0], s.answers[1:]
	}
	if err == nil {
		s.letters = append(s.letters, l.ID)
	}
	return err
}

type tried struct {
	*queue.Queue
	t      *testing.T
	file   *file
	server *server
	now    int64
}

func open(t *testing.T) *tried {
	t.Helper()
	q := &tried{t: t, file: &file{}, server: &server{}, now: 1_700_000_000_000}
	q.again()
	return q
}

// again starts the program again on what is kept.
func (q *tried) again() {
	q.t.Helper()
	var err error
	if q.Queue, err = queue.Open(q.file, q.server, func() int64 { return q.now }, slog.New(slog.DiscardHandler)); err != nil {
		q.t.Fatal(err)
	}
}

func (q *tried) add(id string) {
	q.t.Helper()
	if err := q.Add(mail.Letter{ID: id, To: "robin@example.org"}, q.now+15*60_000); err != nil {
		q.t.Fatal(err)
	}
}

// deliver works until there is nothing to do at this moment.
func (q *tried) deliver() {
	for q.Deliver(q.t.Context()) == 0 {
	}
}

// What was added is sent once, also when the program ends before it goes.
func TestALetterIsSentOnce(t *testing.T) {
	q := open(t)
	q.add("a")
	q.again()
	q.add("b")
	q.deliver()
	q.deliver()
	q.again()
	q.deliver()
	if got := strings.Join(q.server.letters, " "); got != "a b" {
		t.Error(got)
	}
	if strings.Contains(string(q.file.text), "robin") {
		t.Errorf("what was sent stays: %s", q.file.text)
	}
}

// A letter whose server cannot be used is tried again, and not when it is good for nothing
// any more.
func TestALetterIsTriedAgain(t *testing.T) {
	q := open(t)
	q.server.answers = []error{errors.New("no route"), &mail.Fault{Outcome: mail.Later}}
	q.add("a")
	q.deliver()
	q.deliver()
	if len(q.server.answers) != 1 {
		t.Error("it does not wait")
	}
	q.now += 6_000
	q.deliver()
	q.now += 21_000
	q.deliver()
	if len(q.server.letters) != 1 {
		t.Errorf("%v", q.server.letters)
	}
	q.server.answers = []error{errors.New("no route")}
	q.add("late")
	q.deliver()
	q.now += 16 * 60_000
	q.deliver()
	if len(q.server.letters) != 1 || strings.Contains(string(q.file.text), "late") {
		t.Errorf("%v, %s", q.server.letters, q.file.text)
	}
}

// Refused, perhaps sent, or cut by a power cut: it does not go again.
func TestALetterThatDoesNotGoAgain(t *testing.T) {
	for name, outcome := range map[string]mail.Outcome{"refused": mail.Refused, "perhaps": mail.Perhaps} {
		q := open(t)
		q.server.answers = []error{&mail.Fault{Outcome: outcome}}
		q.add("a")
		q.deliver()
		q.now += 60_000
		q.deliver()
		if len(q.server.letters) != 0 {
			t.Errorf("%s: %v", name, q.server.letters)
		}
	}
	q := open(t)
	q.add("a")
	var kept []byte
	q.server.during = func() { kept = q.file.text }
	q.deliver()
	q.server.during = nil
	q.file.text = kept // the power went while it was on its way
	q.again()
	q.now += 60_000
	q.deliver()
	if len(q.server.letters) != 1 {
		t.Errorf("%v", q.server.letters)
	}
}

// What cannot be kept is said to whoever asked, and nothing is sent of it; and nobody
// fills the disk with it.
func TestWhatCannotBeKept(t *testing.T) {
	q := open(t)
	q.file.full = true
	if err := q.Add(mail.Letter{ID: "a"}, q.now+1000); err == nil {
		t.Error("it says that it is kept")
	}
	q.deliver()
	q.file.full = false
	q.deliver()
	if len(q.server.letters) != 0 {
		t.Errorf("%v", q.server.letters)
	}
	var err error
	for n := 0; err == nil && n < 10_000; n++ {
		err = q.Add(mail.Letter{ID: fmt.Sprint(n)}, q.now+1000)
	}
	if !errors.Is(err, queue.ErrFull) {
		t.Error(err)
	}
	q.file.text = []byte("[{")
	if _, err := queue.Open(q.file, q.server, func() int64 { return 0 }, slog.New(slog.DiscardHandler)); err == nil {
		t.Error("a damaged file is taken for an empty one")
	}
}

// It runs by itself, is woken by a letter, and ends.
func TestRun(t *testing.T) {
	q := open(t)
	came := make(chan struct{}, 1)
	q.server.during = func() { came <- struct{}{} }
	ctx, end := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		q.Run(ctx, t.Context())
	}()
	q.add("a")
	select {
	case <-came:
	case <-time.After(2 * time.Minute):
		t.Error("nothing was sent")
	}
	end()
	<-done
}
