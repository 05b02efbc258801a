package crew

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"whistlestop/crew/duties"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/mail"
	"whistlestop/internal/push"
	"whistlestop/internal/wording"
)

// Pusher sends short messages to people's own devices.
type Pusher interface {
	// Takes returns an error for a device that no message could or should go to.
	Takes(d push.Device) error
	Push(ctx context.Context, keys push.Keys, d push.Device, message []byte) push.Answer
}

// device is where somebody turned reminders on.
type device struct {
	duties.Who
	push.Device
	Since duties.Moment `json:"since"`
	// Address is that of the desk, whose page shows the notes; empty: that of now.
	Address string `json:"address,omitempty"`
}

// How many devices somebody may have, and a desk in all (ours): the oldest of the person
// makes room, and a full desk takes none.
const (
	devicesOf   = 6
	devicesMost = 3000
)

// deviceID is a name for a device by which its own page finds it: nobody makes the address
// out of it.
func deviceID(endpoint string) string {
	sum := sha256.Sum256([]byte(endpoint))
	return hex.EncodeToString(sum[:8])
}

// devicesFor are somebody's devices. One that was turned on while the desk had another
// address shows notes that open nothing: it is left out.
func (v view) devicesFor(who duties.Who) (list []push.Device) {
	for _, one := range v.more.Devices {
		if one.Who == who && (one.Address == "" || one.Address == v.address) {
			list = append(list, one.Device)
		}
	}
	return list
}

// pushes: a message to somebody goes to their devices and not by mail. That is for
// reminders alone: whoever is asked first reads it in full.
func (v view) pushes(m duties.Message) bool {
	return v.push != nil && len(reminding(m).Lines) == len(m.Lines) && len(m.Lines) > 0 && len(v.devicesFor(m.Who)) > 0
}

// withDevice is the state in which somebody has a device more, or one fewer.
func (st state) withDevice(who duties.Who, d push.Device, address string, now duties.Moment, on bool) (state, error) {
	st.more.Devices = slices.DeleteFunc(slices.Clone(st.more.Devices), func(one device) bool { return one.Who == who && one.Endpoint == d.Endpoint })
	if !on {
		return st, nil
	}
	theirs := 0
	for i := len(st.more.Devices) - 1; i >= 0; i-- {
		if st.more.Devices[i].Who != who {
			continue
		}
		if theirs++; theirs >= devicesOf {
			st.more.Devices = slices.Delete(st.more.Devices, i, i+1)
		}
	}
	if len(st.more.Devices) >= devicesMost {
		return st, api.Refuse("crew.push.full")
	}
	st.more.Devices = append(st.more.Devices, device{who, d, now, address})
	return st, nil
}

// turn turns reminders on a device on or off.
func (s *Service) turn(c *api.Call, v view, l link, in mineActJSON) error {
	on := in.Do == "push"
	if in.Device == nil || s.Push == nil || on && s.Push.Takes(*in.Device) != nil {
		return api.Refuse("crew.push.device")
	}
	st, err := v.state.withDevice(l.Who, *in.Device, v.address, v.now, on)
	if err != nil {
		return err
	}
	return s.keep(c, in.Do, st, morePaper)
}

// withoutDevicesOf is the state in which somebody has none.
func (st state) withoutDevicesOf(gone func(duties.Who) bool) state {
	st.more.Devices = slices.DeleteFunc(slices.Clone(st.more.Devices), func(one device) bool { return gone(one.Who) })
	return st
}

// noteJSON is what a device shows. It is encrypted on its way.
type noteJSON struct {
	Title string `json:"title"`
	Body  string `json:"body"`
	URL   string `json:"url"` // the person's own page; never another place than this hub
	Tag   string `json:"tag"` // a later one about the same takes its place
}

// noteMost is how long the text of a note is at most, in bytes: phones show some hundred
// letters, and the rest of a push message is kept for the link. Ours.
const noteMost = 1200

// noteText is what a reminder says on a device: each duty in a line.
func noteText(w wording.Duties, m duties.Message) (title, body string) {
	lines := []string{}
	for _, one := range m.Lines {
		if one.Get != nil {
			lines = append(lines, w.Change(one))
			continue
		}
		lines = append(lines, w.Duty(one.Duty))
	}
	title, body = w.Letter(m).Subject, strings.Join(lines, "\n")
	for len(body) > noteMost {
		_, size := utf8.DecodeLastRuneInString(body[:noteMost])
		body = body[:noteMost-size] + "…"
	}
	return title, body
}

// keyed keeps keys for push messages where there are none yet. Every device that turns
// reminders on is bound to them.
func (s *Service) keyed(c *api.Call, v view) (bool, error) {
	if s.Push == nil || v.more.PushKeys != nil {
		return false, nil
	}
	keys, err := push.NewKeys()
	if err != nil {
		return false, err
	}
	st := v.state
	st.more.PushKeys = &keys
	return true, s.keep(c, "push keys", st, morePaper)
}

// pushAll sends a note to every device of a person: the answer by device.
func (s *Service) pushAll(ctx context.Context, one *onItsWay) []push.Answer {
	answers := make([]push.Answer, 0, len(one.devices))
	for _, d := range one.devices {
		answers = append(answers, s.Push.Push(ctx, one.keys, d, one.note))
	}
	return answers
}

// pushed keeps what came of a note: one device that took it is enough. Devices that want no
// more are taken out. Where none could be reached it goes by mail, if it can.
func (s *Service) pushed(c *api.Call, v view, of *onItsWay, answers []push.Answer) error {
	s.courier.sending = ""
	at := slices.IndexFunc(v.more.Outbox, func(m sent) bool { return m.ID == of.id })
	if at < 0 {
		return nil // whom it was for was forgotten meanwhile
	}
	st, papers := v.state, []string{morePaper}
	best, after := push.Gone, time.Duration(0)
	said := ""
	for i, a := range answers {
		if a.Outcome == push.Gone {
			st, _ = st.withDevice(of.message.Who, of.devices[i], v.address, v.now, false)
		}
		if better(a.Outcome, best) {
			best, said = a.Outcome, a.Said
		}
		after = max(after, a.After)
	}
	st.more.Outbox = slices.Clone(st.more.Outbox)
	one := &st.more.Outbox[at]
	one.Said = api.Clip(said)
	switch best {
	case push.Sent:
		one.State = mailSent
		st.log = st.logged(duties.Sent([]duties.Message{of.message}, one.At)...)
		st = v.told(st, []duties.Message{of.message})
		papers = append(papers, logPaper)
	case push.Perhaps:
		one.State = mailPerhaps
	case push.Later:
		wait, again := mail.Again(one.Tries)
		if one.State = mailWaiting; !again {
			one.State, one.Failed = s.otherwise(v, one)
		}
		one.Next = c.Now + entry.Millis(max(wait, after).Milliseconds())
	case push.Gone, push.Refused:
		one.State, one.Failed = s.otherwise(v, one)
	}
	return s.noted(c, st, one.State, papers)
}

// better: an outcome says more about a person than another one of another device.
func better(a, b push.Outcome) bool {
	rank := []push.Outcome{push.Gone, push.Refused, push.Later, push.Perhaps, push.Sent}
	return slices.Index(rank, a) > slices.Index(rank, b)
}

// otherwise is the state of a note that no device took: it goes by mail, or it failed.
func (s *Service) otherwise(v view, one *sent) (state string, failed bool) {
	if _, how := v.mailTo(one.Who); s.Post != nil && how == "yes" {
		one.Push, one.NoPush, one.Tries, one.Next = false, true, 0, 0
		return mailWaiting, false
	}
	return mailFailed, true
}

// noted keeps the outbox with what came of a letter.
func (s *Service) noted(c *api.Call, st state, what string, papers []string) error {
	if !slices.ContainsFunc(st.more.Outbox, sent.onWay) {
		st.more.Posting = nil // whoever has the next letter sends it
	}
	st.more.Outbox = trimmed(st.more.Outbox)
	return s.keep(c, "mail "+what, st, papers...)
}

// noteOf is a note as it travels; nil where it would be too long for a push message.
func noteOf(w wording.Duties, m duties.Message, link string) []byte {
	title, body := noteText(w, m)
	raw, err := json.Marshal(noteJSON{title, body, link, "duties"})
	if err != nil || len(raw) > push.MessageMost {
		return nil
	}
	return raw
}
