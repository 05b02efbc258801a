package crew

import (
	"slices"
	"strings"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
)

// crewMessageJSON is what somebody is to hear, as they read it.
type crewMessageJSON struct {
	Person  string `json:"person"`
	Name    string `json:"name"`
	Reach   string `json:"reach"`
	Subject string `json:"subject"`
	Text    string `json:"text"`
	Again   bool   `json:"again"` // a game of theirs was moved after they were asked
	// Elsewhere: the desk has another address, and a link of theirs the one of before.
	Elsewhere bool   `json:"elsewhere"`
	Failed    bool   `json:"failed"`
	Perhaps   bool   `json:"perhaps"` // a letter may have arrived: nobody knows
	Said      string `json:"said"`    // what the mail server said of the last one
	Push      string `json:"push"`    // what their devices show, in place of a letter; empty: it goes to none
	Mail      string `json:"mail"`    // yes; push: it goes to their devices; none: no address; left: they want no letters; empty: this program sends none
}

// crewSentJSON is a message that went out.
type crewSentJSON struct {
	Person string `json:"person"`
	Name   string `json:"name"`
	Day    string `json:"day"`
	Clock  string `json:"clock"`
	State  string `json:"state"` // sent, answered, failed; of a letter also waiting, sending, perhaps
	Said   string `json:"said"`  // by the mail server
	Mail   bool   `json:"mail"`  // this program sent it
	Push   bool   `json:"push"`  // to their devices
}

// messagesJSON is the outbox.
type messagesJSON struct {
	Due   []crewMessageJSON `json:"due"`
	Sent  []crewSentJSON    `json:"sent"`           // the newest first
	Mail  *crewMailJSON     `json:"mail,omitempty"` // how mail stands; left out: this program sends none
	Quiet bool              `json:"quiet"`          // nobody is written to at this time of day
	Lan   string            `json:"lan"`            // the address that links in messages have; empty: they have none
	Hub   bool              `json:"hub"`            // they work from anywhere, at any time
	Moved string            `json:"moved"`          // the day on which the desk came here from another computer, while it matters
	// Teams are those whose managers have a link with another address of the desk only.
	Teams []string `json:"teams"`
}

const sentMost = 200

// outboxMost is how many messages that are over are kept. Ours.
const outboxMost = 5 * sentMost

// movedDays is how long the page says that links of before lead elsewhere: by then every
// duty that somebody had a link for is reminded of. Ours.
const movedDays = 60

// messages is who is to hear what now, and what went out.
func (s *Service) messages(c *api.Call) (messagesJSON, error) {
	return with(s, c, func(v view) (messagesJSON, error) { return s.outbox(c, v), nil })
}

// outbox is the outbox as it stands.
func (s *Service) outbox(c *api.Call, v view) messagesJSON {
	out := messagesJSON{Due: s.dueNow(c, v), Sent: []crewSentJSON{}, Quiet: v.now.Quiet(), Lan: s.lan(), Hub: s.Everywhere}
	if at := v.more.Moved; at != nil && v.now.Day-at.Day <= movedDays {
		out.Moved = at.Day.String()
	}
	out.Mail, out.Teams = s.mailOf(c, v, out.Due), v.teamsElsewhere()
	answered := map[duties.Who]duties.Moment{}
	for _, e := range v.log.Events {
		if e.Kind == duties.Accepted || e.Kind == duties.Declined || e.Kind == duties.Offered {
			answered[e.Who] = e.At
		}
	}
	for _, m := range slices.Backward(v.more.Outbox) {
		one := crewSentJSON{Person: idOf(m.Who), Name: m.Name, Day: m.At.Day.String(), Clock: m.At.Clock.String(), State: "sent", Said: m.Said, Mail: m.ID != "", Push: m.Push}
		at, ever := answered[m.Who]
		switch {
		case m.Failed:
			one.State = mailFailed
		case m.State != "" && m.State != mailSent:
			one.State = m.State
		case ever && at.Compare(m.At) >= 0:
			one.State = "answered"
		}
		if out.Sent = append(out.Sent, one); len(out.Sent) == sentMost {
			break
		}
	}
	return out
}

// lan is the address for other devices; empty where they do not reach this one.
func (s *Service) lan() string {
	if s.Reach == nil {
		return ""
	}
	address, shared := s.Reach()
	if !shared {
		return ""
	}
	return address
}

// message is a message in words.
func (v view) message(w wording.Duties, m duties.Message, link string) crewMessageJSON {
	letter := w.Letter(m)
	out := crewMessageJSON{Person: idOf(m.Who), Name: m.Name, Subject: letter.Subject, Text: letter.Text}
	out.Elsewhere = tellsElsewhere(m)
	key := "crew.message.link"
	switch {
	case out.Elsewhere && link == "":
		key = "crew.message.link_comes"
	case out.Elsewhere:
		key = "crew.message.link_new"
	case v.everywhere:
		key = "crew.message.link_anywhere"
	}
	if link != "" || out.Elsewhere {
		out.Text += "\n" + wording.Say(w.Words, key, "link", link) + "\n"
	}
	out.Again = slices.ContainsFunc(m.Lines, func(l duties.Line) bool { return l.About == duties.AskAgain || l.About == duties.Free })
	if p := v.person(out.Person); p >= 0 {
		out.Reach = v.people[p].Reach
	}
	return out
}

// desk is the season as package desk has it, without what each person could take:
// enough for whatever is said of duties.
func (v view) desk(list []duties.Duty) *desk.Desk {
	plan := seating.Outline(v.rules, v.people, v.crewGames(everyDay))
	return &desk.Desk{Rota: desk.Rota{League: *v.league, Plan: plan}, Duties: list, Log: v.log, Now: v.now}
}

// words say things of the duties of a list.
func (v view) words(c *api.Call, list []duties.Duty) wording.Duties {
	return wording.OfDesk(c.Words, v.desk(list))
}

// sendJSON says to whom messages go.
type sendJSON struct {
	People []string `json:"people"`
	Act    string   `json:"act"`           // prepare: with fresh links, nothing is noted; mail: as letters; sent; failed
	Saw    string   `json:"saw,omitempty"` // mail: the mark of what is to be sent, as it was seen
}

// preparedJSON are messages that are ready to go.
type preparedJSON struct {
	Messages []crewMessageJSON `json:"messages"`
}

// send prepares messages, or notes that they went or did not arrive.
func (s *Service) send(c *api.Call, in sendJSON) (preparedJSON, error) {
	return with(s, c, func(v view) (preparedJSON, error) {
		out, st := preparedJSON{Messages: []crewMessageJSON{}}, v.state
		if v.league == nil {
			return out, api.Refuse("crew.no_season")
		}
		if err := v.here(); err != nil {
			return out, err
		}
		list, _ := v.list(everyDay)
		w := v.words(c, list)
		due := slices.DeleteFunc(v.due(w.Desk), func(m duties.Message) bool { return !slices.Contains(in.People, idOf(m.Who)) })
		switch in.Act {
		case "prepare":
			for _, m := range due {
				link := ""
				if lan := s.lan(); lan != "" {
					st, link = s.linkOf(st, v, m, lan)
				}
				out.Messages = append(out.Messages, v.message(w, m, link))
			}
			return out, s.keep(c, "links", st, morePaper)
		case "mail":
			return out, s.mailThem(c, v, in)
		case "sent":
			st.log = st.logged(duties.Sent(due, v.now)...)
			st = v.told(st, due)
			st.more.Outbox = st.more.sentTo(v.now, due)
			return out, s.keep(c, "sent", st, logPaper, morePaper)
		case "failed":
			st.more.Outbox = slices.Clone(st.more.Outbox)
			for i := range st.more.Outbox {
				if slices.Contains(in.People, idOf(st.more.Outbox[i].Who)) {
					st.more.Outbox[i].Failed = true
				}
			}
			return out, s.keep(c, "failed", st, morePaper)
		}
		return out, api.Refuse("crew.act")
	})
}

func (m more) sentTo(now duties.Moment, list []duties.Message) []sent {
	out := slices.Clone(m.Outbox)
	for _, one := range list {
		out = append(out, sent{Who: one.Who, At: now})
	}
	return trimmed(out)
}

// askJSON is who is asked to take a seat instead.
type askJSON struct {
	People []string `json:"people"`
}

// ask notes people as asked for a seat, because their answers are known only by that,
// and gives the words for each.
func (s *Service) ask(c *api.Call, in askJSON) (preparedJSON, error) {
	return with(s, c, func(v view) (preparedJSON, error) {
		out, st := preparedJSON{Messages: []crewMessageJSON{}}, v.state
		one, _, err := v.at(c.Part("game"), c.Part("seat"))
		if err != nil {
			return out, err
		}
		var messages []duties.Message
		for _, id := range in.People {
			p, err := v.known(id)
			if err != nil {
				return out, err
			}
			asked := one
			asked.Who = whoOf(v.people[p])
			messages = append(messages, duties.Message{Who: asked.Who, Lines: []duties.Line{{About: duties.Ask, Duty: asked}}})
		}
		list, _ := v.list(everyDay)
		w := v.words(c, list)
		for _, m := range messages {
			link := ""
			if lan := s.lan(); lan != "" {
				st, link = s.linkOf(st, v, m, lan)
			}
			out.Messages = append(out.Messages, v.message(w, m, link))
		}
		st.log = st.logged(duties.Sent(messages, v.now)...)
		st.more.Outbox = st.more.sentTo(v.now, messages)
		return out, s.keep(c, "asked", st, logPaper, morePaper)
	})
}

// crewRepliesJSON is what came of answers.
type crewRepliesJSON struct {
	Replies []crewReplyJSON `json:"replies"`
}

// crewReplyJSON is one answer that was found.
type crewReplyJSON struct {
	Result string `json:"result"` // done, already, moved, taken, barred, over, unclear
	Text   string `json:"text"`
	Game   string `json:"game"`
	Seat   string `json:"seat"`
}

// answers reads what people sent, pasted whole.
func (s *Service) answers(c *api.Call, in crewTextJSON) (crewRepliesJSON, error) {
	return with(s, c, func(v view) (crewRepliesJSON, error) {
		replies, err := s.take(c, v, in.Text)
		return crewRepliesJSON{replies}, err
	})
}

// take takes answers out of a text and keeps what came of them.
func (s *Service) take(c *api.Call, v view, text string) ([]crewReplyJSON, error) {
	out, st := []crewReplyJSON{}, v.state
	if v.league == nil {
		return out, nil
	}
	list, _ := v.list(everyDay)
	w := v.words(c, list)
	asked := slices.Concat(list, v.stays())
	replies, after, events := v.log.Take(text, asked, v.now, v.may(len(list)))
	for _, r := range replies {
		if r.Seat == duties.StaySeat {
			out = append(out, crewReplyJSON{string(r.Result), wording.StayReply(c.Words, r), "", ""})
			continue
		}
		key := "crew.reply." + string(r.Result)
		if r.Result == duties.Done {
			key += "." + string(r.Answer)
		}
		out = append(out, crewReplyJSON{string(r.Result), say(c, key, "name", r.Name, "duty", w.Duty(r.Duty)), r.Game, r.Seat})
	}
	if len(events) == 0 {
		return out, nil
	}
	st.log = st.logged(events...)
	return out, s.keep(c, "answers", st.taken(list, after[:len(list)]), rotaPaper, logPaper)
}

// firstName is how a page greets somebody.
func firstName(p people.Person) string { return strings.Fields(p.Name)[0] }

// lastMoment is the end of the last game of some duties.
func lastMoment(some []duties.Duty, slots []slot) (last duties.Moment) {
	for _, one := range some {
		end := duties.Moment{Day: one.Day, Clock: min(24*60-1, one.There+3*60)}
		for _, s := range slots {
			if s.game.ID == one.Game {
				end.Clock = dates.Clock(min(24*60-1, int(s.game.Start)+s.game.Minutes))
			}
		}
		if end.Compare(last) > 0 {
			last = end
		}
	}
	return last
}
