package crew

import (
	"slices"

	"whistlestop/crew/duties"
	"whistlestop/internal/api"
)

// crewMailJSON is how mail stands, where this program sends letters.
type crewMailJSON struct {
	From     string `json:"from"`      // who letters come from; empty: only devices are reminded
	Devices  int    `json:"devices"`   // people who have reminders on a device of theirs
	ByItself bool   `json:"by_itself"` // reminders go without a press
	Last     string `json:"last"`      // the last line of every letter, below the person's own link
	Trouble  string `json:"trouble"`   // why no letter goes at the moment; empty: nothing is known against it
	Full     bool   `json:"full"`      // the provider's letters of a day are sent
	Waiting  int    `json:"waiting"`   // letters that are on their way
	Mark     string `json:"mark"`      // of what is to be sent, for whoever says that they saw it
}

// mailOf is how mail stands; nil where no letter can be sent.
func (s *Service) mailOf(c *api.Call, v view, due []crewMessageJSON) *crewMailJSON {
	if s.Post == nil && s.Push == nil {
		return nil
	}
	out := &crewMailJSON{ByItself: v.more.Mail.ByItself, Trouble: s.courier.trouble, Full: s.courier.full, Mark: dueMark(due)}
	if s.Post == nil {
		out.Full = false
	} else {
		out.From = s.Post.From()
	}
	people := map[duties.Who]bool{}
	for _, one := range v.more.Devices {
		if len(v.devicesFor(one.Who)) > 0 {
			people[one.Who] = true
		}
	}
	out.Devices = len(people)
	if v.league != nil {
		out.Last = s.last(c.Words, v, s.lan() != "")
	}
	for _, m := range v.more.Outbox {
		if m.onWay() {
			out.Waiting++
		}
	}
	return out
}

// dueNow is who is to hear what now and has no letter under way, as the page shows it.
func (s *Service) dueNow(c *api.Call, v view) []crewMessageJSON {
	out := []crewMessageJSON{}
	if v.league == nil {
		return out
	}
	list, _ := v.list(everyDay)
	w := v.words(c, list)
	for _, m := range v.due(w.Desk) {
		if v.underWay(m.Who) {
			continue
		}
		one := v.message(w, m, "")
		if at := v.newest(m.Who); at >= 0 {
			one.Failed, one.Perhaps, one.Said = v.more.Outbox[at].Failed, v.more.Outbox[at].State == mailPerhaps, v.more.Outbox[at].Said
		}
		if _, one.Mail = v.mailTo(m.Who); s.Post == nil {
			one.Mail = ""
		}
		if v.pushes(m) {
			title, body := noteText(w, m)
			one.Mail, one.Push = "push", title+"\n"+body
		}
		out = append(out, one)
	}
	return out
}

// mailThem puts letters to people into the outbox, if what is to be sent is what whoever
// pressed had seen.
func (s *Service) mailThem(c *api.Call, v view, in sendJSON) error {
	due := s.dueNow(c, v)
	switch {
	case s.Post == nil && s.Push == nil:
		return api.Refuse("crew.mail.not_set_up")
	case in.Saw != dueMark(due):
		return api.NewNo(api.StatusConflict, api.Conflict, "crew.mail.changed")
	}
	st := v.state
	st.more.Outbox = slices.Clone(st.more.Outbox)
	for _, one := range due {
		if slices.Contains(in.People, one.Person) && (one.Mail == "yes" || one.Mail == "push") {
			at := v.person(one.Person)
			st.more.Outbox = append(st.more.Outbox, s.queued(v, whoOf(v.people[at]), c.Words.Language(), false))
		}
	}
	if err := s.keep(c, "to be mailed", st, morePaper); err != nil {
		return err
	}
	s.nudge()
	return nil
}

// nudge wakes whoever sends. The caller holds the mutex.
func (s *Service) nudge() {
	if s.courier.nudge == nil {
		s.courier.nudge = make(chan struct{}, 1)
	}
	select {
	case s.courier.nudge <- struct{}{}:
	default:
	}
}

// mailChoiceJSON says whether reminders go without a press.
type mailChoiceJSON struct {
	ByItself bool   `json:"by_itself"`
	Saw      string `json:"saw,omitempty"` // the mark of what is to be sent, to begin with
}

// chooseMail switches sending by itself on or off. It is switched on by whoever saw what
// would be sent.
func (s *Service) chooseMail(c *api.Call, in mailChoiceJSON) (messagesJSON, error) {
	return with(s, c, func(v view) (messagesJSON, error) {
		switch {
		case s.Post == nil && s.Push == nil:
			return messagesJSON{}, api.Refuse("crew.mail.not_set_up")
		case in.ByItself && in.Saw != dueMark(s.dueNow(c, v)):
			return messagesJSON{}, api.NewNo(api.StatusConflict, api.Conflict, "crew.mail.changed")
		}
		st := v.state
		st.more.Mail = mailSettings{ByItself: in.ByItself, Language: c.Words.Language()}
		if err := s.keep(c, "mail by itself", st, morePaper); err != nil {
			return messagesJSON{}, err
		}
		s.nudge()
		if v, err := s.look(c); err == nil {
			return s.outbox(c, v), nil
		}
		return messagesJSON{}, nil
	})
}

// letters is whether somebody gets letters, as their own page shows it.
func (v view) letters(who duties.Who) string {
	if _, state := v.mailTo(who); v.mails && state != "none" {
		return state
	}
	return ""
}

// leaveMail takes somebody out of the list of those who get letters, or in again.
func (st state) leaveMail(who duties.Who, leaves bool) state {
	st.more.NoMail = slices.DeleteFunc(slices.Clone(st.more.NoMail), func(one duties.Who) bool { return one == who })
	if leaves {
		st.more.NoMail = append(st.more.NoMail, who)
	}
	return st
}

// noMail is the way out of the list that mail programs press for people (RFC 8058). It is
// a POST, so whoever only opens addresses changes nothing, and the same again changes
// nothing more. It works for as long as the link is kept, also when its duties are over.
func (s *Service) noMail(c *api.Call) (struct{}, error) {
	return with(s, c, func(v view) (none struct{}, err error) {
		hash := hashOf(c.Part("token"))
		at := slices.IndexFunc(v.more.Links, func(l link) bool { return l.Hash == hash && l.Team == "" })
		if at < 0 {
			return none, api.NotThere("crew.no_link")
		}
		who := v.more.Links[at].Who
		if slices.Contains(v.more.NoMail, who) {
			return none, nil
		}
		return none, s.keep(c, "no mail", v.state.leaveMail(who, true), morePaper)
	})
}
