package crew

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
	"time"

	"whistlestop/crew/duties"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/mail"
	"whistlestop/internal/push"
	"whistlestop/internal/wording"
)

// Post is how letters go out by mail, where that is set up.
type Post interface {
	mail.Sender
	// Most is how many letters may go out in 24 hours; 0: no limit is known.
	Most() int
}

// The states of a message that this program sends by mail. What is written before a
// letter goes (sending) and not after it says that nobody knows.
const (
	mailWaiting = "waiting"
	mailSending = "sending"
	mailSent    = "sent"
	mailFailed  = "failed"
	mailPerhaps = "perhaps"
)

// When to look again (ours): idly; between two letters, because providers take one a
// second from an ordinary account; and how long after the server could not be used.
const (
	idle      = 30 * time.Second
	between   = time.Second
	closedFor = time.Minute
	closedMax = 30 * time.Minute
)

// posting is that one of several processes sends letters, so that the others do not.
type posting struct {
	By    string       `json:"by"`
	Until entry.Millis `json:"until"` // then it counts as gone
}

// postingLasts is longer than sending one letter takes (ours).
const postingLasts = 10 * time.Minute

// courier is what is known of sending while the program runs.
type courier struct {
	me      string       // this process among those over the same papers
	sending string       // id of the letter that is on its way now
	closed  int          // times in a row in which the server could not be used
	until   entry.Millis // it is left alone until then
	trouble string       // what it said
	full    bool         // the day's letters are sent
	nudge   chan struct{}
}

// mailSettings are what the coordinator chose about mail.
type mailSettings struct {
	ByItself bool   `json:"by_itself,omitempty"` // reminders go without a press
	Language string `json:"language,omitempty"`  // in which they are written
}

// mailTo is how a person stands to mail.
func (v view) mailTo(who duties.Who) (address, state string) {
	at := v.person(idOf(who))
	if at < 0 {
		return "", "none"
	}
	address, found := mail.Address(v.people[at].Reach)
	switch {
	case !found:
		return "", "none"
	case slices.Contains(v.more.NoMail, who):
		return "", "left"
	}
	return address, "yes"
}

// newest is the newest message to somebody, by its place in the outbox, or -1.
func (v view) newest(who duties.Who) int {
	for i := len(v.more.Outbox) - 1; i >= 0; i-- {
		if v.more.Outbox[i].Who == who {
			return i
		}
	}
	return -1
}

// underWay: a letter to somebody waits or goes now.
func (v view) underWay(who duties.Who) bool {
	at := v.newest(who)
	return at >= 0 && (v.more.Outbox[at].State == mailWaiting || v.more.Outbox[at].State == mailSending)
}

// reminding is what of a message may go without a press: people know of these duties, or
// asked for them, and of what somebody else asks of them on their page.
func reminding(m duties.Message) duties.Message {
	m.Lines = slices.DeleteFunc(slices.Clone(m.Lines), func(l duties.Line) bool {
		return !slices.Contains([]duties.About{duties.Remind, duties.Unsure, duties.Swap, duties.Swapped}, l.About)
	})
	return m
}

// byItself: a reminder to somebody may go now without a press. What failed at this address,
// or may have arrived, waits for a person.
func (v view) byItself(m duties.Message) bool {
	m = reminding(m)
	address, state := v.mailTo(m.Who)
	mails, pushes := v.mails && state == "yes", v.pushes(m)
	if !mails && !pushes || len(m.Lines) == 0 {
		return false
	}
	at := v.newest(m.Who)
	if at < 0 {
		return true
	}
	last := v.more.Outbox[at]
	switch {
	case last.onWay() || last.State == mailPerhaps:
		return false
	case last.Failed && last.Push:
		return mails
	case last.Failed:
		return pushes || last.To != "" && last.To != address
	}
	return true
}

func (m sent) onWay() bool { return m.State == mailWaiting || m.State == mailSending }

// dueMark names what is to be sent, as the coordinator saw it: another one where anything
// of it differs.
func dueMark(list []crewMessageJSON) string {
	sum := sha256.New()
	for _, one := range list {
		for _, text := range []string{one.Person, one.Mail, one.Reach, one.Text, one.Push} {
			_, _ = sum.Write([]byte(text)) // a hash takes everything
			_, _ = sum.Write([]byte{0})
		}
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

// onItsWay is a letter that is to be sent now.
type onItsWay struct {
	id      string
	letter  mail.Letter
	message duties.Message
	// Of what goes to devices, in place of the letter; none: it goes by mail.
	devices []push.Device
	keys    push.Keys
	note    []byte
}

// Deliver sends at most one letter and says when to look again. It is called by one
// goroutine at a time. What was done before a power cut is known from what is kept: the
// letter that was on its way counts as perhaps sent, and is not sent again by itself.
func (s *Service) Deliver(ctx context.Context, now entry.Millis) time.Duration {
	if s.Post == nil && s.Push == nil || s.Papers == nil {
		return idle
	}
	c := &api.Call{Context: ctx, Now: now, Words: s.Languages()}
	next, err := with(s, c, func(v view) (*onItsWay, error) { return s.next(c, v) })
	switch {
	case err != nil:
		s.Logger.Error("look for letters to send", "error", err)
		return closedFor
	case next == nil:
		return idle
	}
	var failed error
	var answers []push.Answer
	if len(next.devices) > 0 {
		answers = s.pushAll(ctx, next)
	} else {
		failed = s.Post.Send(ctx, next.letter)
	}
	// What came of it is kept also where the program ends now. The call of before may still
	// be read by whoever was asked with it.
	c = &api.Call{Context: context.WithoutCancel(ctx), Now: now, Words: c.Words}
	if _, err := with(s, c, func(v view) (struct{}, error) {
		if answers != nil {
			return struct{}{}, s.pushed(c, v, next, answers)
		}
		return struct{}{}, s.came(c, v, next, failed)
	}); err != nil {
		s.Logger.Error("keep what came of a letter; it counts as perhaps sent", "error", err)
	}
	return between
}

// next takes the letter that is to go now, and keeps that it goes before it does.
func (s *Service) next(c *api.Call, v view) (*onItsWay, error) {
	if s.elsewhere(v, c.Now) {
		return nil, nil
	}
	if made, err := s.keyed(c, v); made || err != nil {
		return s.nextAgain(c, err)
	}
	st, lost := v.state, false
	for i, m := range st.more.Outbox {
		if m.State == mailSending && m.ID != s.courier.sending {
			st.more.Outbox = slices.Clone(st.more.Outbox)
			st.more.Outbox[i].State, lost = mailPerhaps, true
		}
	}
	if lost {
		return s.nextAfter(c, "perhaps sent", st)
	}
	if v.league == nil || v.more.Gone != nil || v.now.Quiet() || c.Now < s.courier.until {
		return nil, nil
	}
	s.courier.full = s.dayIsFull(v)
	list, _ := v.list(everyDay)
	due := v.due(v.words(c, list).Desk)
	for i, m := range st.more.Outbox {
		if m.State == mailWaiting && m.Next <= c.Now && (!s.courier.full || s.Post == nil || s.goesByPush(v, m, due)) {
			return s.prepare(c, v, i, due)
		}
	}
	if !v.more.Mail.ByItself {
		return nil, nil
	}
	for _, m := range due {
		if !v.byItself(m) || s.courier.full && !v.pushes(reminding(m)) {
			continue
		}
		v.more.Outbox = append(slices.Clone(v.more.Outbox), s.queued(v, m.Who, v.more.Mail.Language, true))
		return s.prepare(c, v, len(v.more.Outbox)-1, due)
	}
	return nil, nil
}

// elsewhere: another process sends the letters of these papers.
func (s *Service) elsewhere(v view, now entry.Millis) bool {
	_, shared := s.Papers.(SharedPapers)
	return shared && v.more.Posting != nil && v.more.Posting.By != s.process() && now < v.more.Posting.Until
}

// process is a name for this process, the same until it ends.
func (s *Service) process() string {
	if s.courier.me == "" {
		s.courier.me = hex.EncodeToString(s.Key(letterBytes))
	}
	return s.courier.me
}

// nextAfter keeps a state of the outbox and is next with that.
func (s *Service) nextAfter(c *api.Call, why string, st state) (*onItsWay, error) {
	return s.nextAgain(c, s.keep(c, why, st, morePaper))
}

// goesByPush: a message that waits would go to devices, which no provider of mail counts.
func (s *Service) goesByPush(v view, one sent, due []duties.Message) bool {
	return !one.NoPush && slices.ContainsFunc(due, func(m duties.Message) bool {
		if one.Alone {
			m = reminding(m)
		}
		return m.Who == one.Who && v.pushes(m)
	})
}

// nextAgain is next after something was kept.
func (s *Service) nextAgain(c *api.Call, err error) (*onItsWay, error) {
	if err != nil {
		return nil, err
	}
	v, err := s.look(c)
	if err != nil {
		return nil, err
	}
	return s.next(c, v)
}

// queued is a letter that is to go to somebody.
func (s *Service) queued(v view, who duties.Who, language string, alone bool) sent {
	address, _ := v.mailTo(who)
	return sent{Who: who, At: v.now, ID: hex.EncodeToString(s.Key(letterBytes)), State: mailWaiting, To: address, Language: language, Alone: alone}
}

// letterBytes make a letter's id: nobody else's letter has the same one.
const letterBytes = 12

// dayIsFull: as many letters went out in the last 24 hours as the provider lets.
func (s *Service) dayIsFull(v view) bool {
	if s.Post == nil {
		return true
	}
	most, count := s.Post.Most(), 0
	for _, m := range v.more.Outbox {
		if !m.Push && (m.State == mailSent || m.State == mailPerhaps) && v.now.After(m.At) < 24*60 {
			count++
		}
	}
	return most > 0 && count >= most
}

// prepare writes the letter of a place in the outbox, as things stand now, and keeps that
// it goes. Where there is nothing to say any more, or nobody to say it to, nothing goes.
func (s *Service) prepare(c *api.Call, v view, at int, due []duties.Message) (*onItsWay, error) {
	st := v.state
	st.more.Outbox = slices.Clone(st.more.Outbox)
	one := &st.more.Outbox[at]
	found := slices.IndexFunc(due, func(m duties.Message) bool { return m.Who == one.Who })
	var message duties.Message
	if found >= 0 {
		if message = due[found]; one.Alone {
			message = reminding(message)
		}
	}
	address, state := v.mailTo(one.Who)
	switch {
	case len(message.Lines) == 0: // answered, moved or given to somebody else meanwhile
		st.more.Outbox = slices.Delete(st.more.Outbox, at, at+1)
		return s.nextAfter(c, "nothing to send", st)
	case s.pushing(v, one, message):
		return s.prepareNote(c, v, st, at, message)
	case s.Post == nil: // the devices that it was for are gone
		one.State, one.Failed, one.Said = mailFailed, true, say(c, "crew.push.gone")
		return s.nextAfter(c, "not sent", st)
	case state != "yes":
		one.State, one.Failed, one.Said = mailFailed, true, say(c, "crew.mail."+state)
		return s.nextAfter(c, "not sent", st)
	}
	words := s.Languages(one.Language)
	asked := *c
	asked.Words = words
	link, leave := "", ""
	if lan := s.lan(); lan != "" {
		st, link = s.linkOf(st, v, message, lan)
		if _, token, is := strings.Cut(link, "/mine#"); is && s.Everywhere {
			leave = lan + "/api/crew/mine/" + token + "/no-mail"
		}
	}
	list, _ := v.list(everyDay)
	text := v.message(v.words(&asked, list), message, link)
	one = &st.more.Outbox[at]
	one.To = address
	if err := s.goes(c, v, st, one); err != nil {
		return nil, err
	}
	return &onItsWay{id: one.ID, letter: mail.Letter{
		ID: one.ID, To: address, Subject: text.Subject, Text: text.Text + "\n" + s.last(words, v, link != ""), Leave: leave,
	}, message: message}, nil
}

// goes keeps that a letter or note of the outbox goes now.
func (s *Service) goes(c *api.Call, v view, st state, one *sent) error {
	one.State, one.At = mailSending, v.now
	one.Tries++
	if _, shared := s.Papers.(SharedPapers); shared {
		st.more.Posting = &posting{s.process(), c.Now + entry.Millis(postingLasts.Milliseconds())}
	}
	if err := s.keep(c, "sending", st, morePaper); err != nil {
		return err
	}
	s.courier.sending = one.ID
	return nil
}

// pushing: what is to be said goes to devices.
func (s *Service) pushing(v view, one *sent, m duties.Message) bool {
	return !one.NoPush && v.more.PushKeys != nil && v.pushes(m)
}

// prepareNote is prepare for what goes to devices.
func (s *Service) prepareNote(c *api.Call, v view, st state, at int, m duties.Message) (*onItsWay, error) {
	words, asked, link := s.Languages(st.more.Outbox[at].Language), *c, ""
	asked.Words = words
	if lan := s.lan(); lan != "" {
		st, link = s.linkOf(st, v, m, lan)
	}
	list, _ := v.list(everyDay)
	note := noteOf(v.words(&asked, list), m, link)
	one := &st.more.Outbox[at]
	if note == nil {
		one.NoPush = true
		return s.nextAfter(c, "by mail", st)
	}
	one.Push = true
	if err := s.goes(c, v, st, one); err != nil {
		return nil, err
	}
	return &onItsWay{id: one.ID, message: m, devices: v.devicesFor(m.Who), keys: *v.more.PushKeys, note: note}, nil
}

// last is the last line of every letter: why it comes, and how to get no more.
func (s *Service) last(words api.Words, v view, link bool) string {
	key := "crew.mail.last"
	if link {
		key = "crew.mail.last_link"
	}
	return wording.Say(words, key, "league", v.league.Name) + "\n"
}

// came keeps what came of a letter.
func (s *Service) came(c *api.Call, v view, of *onItsWay, failed error) error {
	s.courier.sending = ""
	at := slices.IndexFunc(v.more.Outbox, func(m sent) bool { return m.ID == of.id })
	if at < 0 {
		return nil // whom it was for was forgotten meanwhile
	}
	st, papers := v.state, []string{morePaper}
	st.more.Outbox = slices.Clone(st.more.Outbox)
	one := &st.more.Outbox[at]
	outcome := mail.Came(failed)
	if outcome != mail.Closed {
		s.courier.closed, s.courier.until, s.courier.trouble = 0, 0, ""
	}
	if one.Said = ""; failed != nil {
		one.Said = api.Clip(failed.Error())
	}
	switch outcome {
	case mail.Sent:
		one.State = mailSent
		st.log = st.logged(duties.Sent([]duties.Message{of.message}, one.At)...)
		st = v.told(st, []duties.Message{of.message})
		papers = append(papers, logPaper)
	case mail.Perhaps:
		one.State = mailPerhaps
	case mail.Refused:
		one.State, one.Failed = mailFailed, true
	case mail.Later:
		wait, again := mail.Again(one.Tries)
		if one.State = mailWaiting; !again {
			one.State, one.Failed = mailFailed, true
		}
		one.Next = c.Now + entry.Millis(wait.Milliseconds())
	case mail.Closed:
		one.State = mailWaiting
		one.Tries--
		wait := min(closedFor<<min(s.courier.closed, 10), closedMax)
		s.courier.closed++
		s.courier.until, s.courier.trouble = c.Now+entry.Millis(wait.Milliseconds()), one.Said
		s.Logger.Warn("letters cannot be sent at the moment; they wait", "error", failed)
	}
	return s.noted(c, st, one.State, papers)
}

// trimmed is an outbox without the oldest of what is over, where there is much of it.
func trimmed(list []sent) []sent {
	surplus := len(list) - outboxMost
	return slices.DeleteFunc(list, func(m sent) bool {
		if surplus <= 0 || m.onWay() {
			return false
		}
		surplus--
		return true
	})
}

// Courier sends letters until the context ends; a letter that is on its way then may take
// until the other one does. Now is the time in milliseconds of Unix time.
func (s *Service) Courier(ctx, cut context.Context, now func() entry.Millis) {
	for {
		wait := time.NewTimer(s.Deliver(cut, now()))
		select {
		case <-ctx.Done():
			wait.Stop()
			return
		case <-wait.C:
		case <-s.nudged():
			wait.Stop()
		}
	}
}

// nudged is heard when there is a letter more.
func (s *Service) nudged() chan struct{} {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.courier.nudge == nil {
		s.courier.nudge = make(chan struct{}, 1)
	}
	return s.courier.nudge
}
