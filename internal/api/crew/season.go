package crew

import (
	"cmp"
	"slices"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/game/dates"
	"whistlestop/internal/api"
	"whistlestop/internal/wording"
)

// Contact data of whoever did not say that they stay may go so many days after the last
// day for an answer: ours.
const contactDays = 90

// before stands for the season of which nothing was kept.
const before = "before"

// crewStayJSON is how the question stands whether people stay for a new season.
type crewStayJSON struct {
	Season  string `json:"season"` // that began last; empty: nobody is asked
	By      string `json:"by"`
	Yes     int    `json:"yes"`
	No      int    `json:"no"`
	Waiting int    `json:"waiting"` // not asked yet, or no answer
	Was     string `json:"was"`     // the season of the rota, where the league file is of another one
	Contact int    `json:"contact"` // people without a yes whose ways to be reached may go now
}

// stays are the questions whether people stay.
func (v view) stays() []duties.Duty {
	list := make([]duties.Who, len(v.people))
	for i, p := range v.people {
		list[i] = whoOf(p)
	}
	return v.log.Work().Stays(list)
}

// stay is how the question stands.
func (v view) stay() crewStayJSON {
	out, said := crewStayJSON{}, v.log.Work()
	if v.league != nil && v.more.Season != "" && v.more.Season != v.league.Season {
		out.Was = v.more.Season
	}
	question, asked := said.Question()
	if !asked {
		return out
	}
	out.Season, out.By = question.Game, question.Day.String()
	for _, p := range v.people {
		switch said.Staying(whoOf(p)) {
		case duties.Yes, duties.Spare:
			out.Yes++
			continue
		case duties.No:
			out.No++
		case duties.NotAsked, duties.Waiting:
			out.Waiting++
		}
		if p.Reach != "" && v.now.Day >= question.Day+contactDays {
			out.Contact++
		}
	}
	return out
}

// seasonActJSON says what is to be done.
type seasonActJSON struct {
	Act string `json:"act"`          // begin: the season of the league file; contact: ways to reach people without a yes go
	By  string `json:"by,omitempty"` // begin: the last day for an answer
}

// newSeason begins a season, or takes out contact data afterwards.
func (s *Service) newSeason(c *api.Call, in seasonActJSON) (crewStayJSON, error) {
	return with(s, c, func(v view) (crewStayJSON, error) {
		if v.league == nil {
			return crewStayJSON{}, api.Refuse("crew.no_season")
		}
		switch in.Act {
		case "begin":
			return s.begin(c, v, in.By)
		case "contact":
			if err := s.did(c, didContact, ""); err != nil {
				return crewStayJSON{}, err
			}
			v.state = v.withoutContact()
			return v.stay(), s.keepForgetting(c, "contact", v.state)
		}
		return crewStayJSON{}, api.Refuse("crew.act")
	})
}

// begin begins the season of the league file: rota, messages and links of the one before
// go, what people can do stays, and everybody is asked whether they stay.
func (s *Service) begin(c *api.Call, v view, until string) (crewStayJSON, error) {
	if v.more.Season == v.league.Season {
		return crewStayJSON{}, api.Refuse("crew.season_same", "season", v.league.Season)
	}
	by, err := dates.Parse(until)
	if err != nil || by <= v.now.Day {
		return crewStayJSON{}, api.Refuse("crew.season_by")
	}
	st := v.state
	st.log = st.log.Begin(cmp.Or(st.more.Season, before), v.league.Season, v.now, by)
	st.rota = nil
	st.more.Season, st.more.Locked, st.more.Links, st.more.Outbox = v.league.Season, nil, nil, nil
	st.more.Swaps, st.more.Heard, st.more.Swapped = nil, nil, nil
	st.people = slices.Clone(st.people)
	for i, p := range st.people {
		st.people[i].Away = slices.DeleteFunc(slices.Clone(p.Away), func(span people.Span) bool { return span.To < v.now.Day })
	}
	v.state = st
	return v.stay(), s.keep(c, "season", st, peoplePaper, rotaPaper, logPaper, morePaper)
}

// withoutContact is the state without the ways to reach whoever did not say in time that
// they stay.
func (v view) withoutContact() state {
	st, said := v.state, v.log.Work()
	question, asked := said.Question()
	if !asked || v.now.Day < question.Day+contactDays {
		return st
	}
	st.people = slices.Clone(st.people)
	for i, p := range st.people {
		if status := said.Staying(whoOf(p)); status != duties.Yes && status != duties.Spare {
			st.people[i].Reach = ""
			st = st.withoutDevicesOf(func(one duties.Who) bool { return one == whoOf(p) })
		}
	}
	return st
}

// stayOf is the question as a page of a link shows it: one's own page as long as there
// is a question, a message's where the message asked.
func (v view) stayOf(l link, said duties.Book) mineStayJSON {
	question, asked := said.Question()
	if !asked || question.Moment().Compare(v.now) <= 0 || len(l.Duties) > 0 && !slices.Contains(l.Duties, [2]string{question.Game, question.Seat}) {
		return mineStayJSON{}
	}
	out := mineStayJSON{question.Game, question.Day.String(), string(duties.Waiting)}
	if status := said.Staying(l.Who); status == duties.Yes || status == duties.No {
		out.Status = string(status)
	}
	return out
}

// staying notes what somebody says by a link of whether they stay.
func (s *Service) staying(c *api.Call, v view, l link, in mineActJSON) (string, error) {
	question, asked := v.log.Work().Question()
	if !asked || question.Game != in.Game || in.Do == string(duties.SaySpare) {
		return "", api.NotThere("crew.no_seat")
	}
	question.Who = l.Who
	replies, err := s.take(c, v, v.log.Code(question, duties.Answer(in.Do)))
	if err != nil || len(replies) == 0 {
		return "", err
	}
	if replies[0].Result != string(duties.Done) && replies[0].Result != string(duties.Already) {
		return "", api.NewNo(api.StatusConflict, api.Conflict, "crew.mine.no_more", "why", replies[0].Text)
	}
	return wording.Say(c.Words, "crew.mine.stay."+in.Do), nil
}
