package crew

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"slices"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/internal/api"
	"whistlestop/internal/push"
	"whistlestop/season/calendar"
)

// tokenBytes is how long the token of a link is: 128 bits.
const tokenBytes = 16

// linksOver is how many links of somebody are kept whose duties are over: they say so, and
// let their person out of the list of letters. LinksMost bounds all of them; no season of
// messages comes near it. Ours.
const (
	linksOver = 8
	linksMost = 200
)

// link opens a page without an account. Only the hash of its token is kept.
type link struct {
	Hash string `json:"hash"`
	duties.Who
	Team   string        `json:"team,omitempty"`   // the page of a team's manager
	Duties [][2]string   `json:"duties,omitempty"` // only these; none: all of the person's
	Until  duties.Moment `json:"until"`
	// Address is that of the desk, as it stands in the link; empty: that of now.
	Address string `json:"address,omitempty"`
	Told    bool   `json:"told,omitempty"` // its person was told that the desk has another one now
}

func hashOf(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// same: two links open the same.
func (l link) same(o link) bool {
	return l.Who == o.Who && l.Team == o.Team && l.Until == o.Until && l.Address == o.Address && slices.Equal(l.Duties, o.Duties)
}

// sameKind: both open their person's own page, or both what a message was about.
func (l link) sameKind(o link) bool {
	return l.Who == o.Who && l.Team == o.Team && (len(l.Duties) == 0) == (len(o.Duties) == 0)
}

// newLink is a state with a link, and its token. What this program made since it was
// started it gives again, so that pressing twice makes nothing new. The links of somebody
// work until they end: only those that are over make room.
func (s *Service) newLink(st state, l link, now duties.Moment) (state, string) {
	l.Address = s.lan()
	for token, made := range s.tokens {
		if made.same(l) && slices.ContainsFunc(st.more.Links, func(o link) bool { return o.Hash == made.Hash && o.same(l) }) {
			return st, token
		}
	}
	token := base64.RawURLEncoding.EncodeToString(s.Key(tokenBytes))
	l.Hash = hashOf(token)
	links := slices.Clone(st.more.Links)
	over, all := 0, 0
	for i := len(links) - 1; i >= 0; i-- {
		if !links[i].sameKind(l) {
			continue
		}
		all++
		ended := links[i].Until.Compare(now) < 0
		if ended {
			over++
		}
		if ended && over > linksOver || all >= linksMost {
			links = slices.Delete(links, i, i+1)
		}
	}
	st.more.Links = append(links, l)
	if s.tokens == nil || len(s.tokens) >= tokensMost {
		s.tokens = map[string]link{}
	}
	s.tokens[token] = l
	return st, token
}

// tokensMost bounds the tokens that are known in memory; what is over it is made anew. Ours.
const tokensMost = 10_000

// linkOf is the link of a message: it shows the duties of the message, until the last
// of them is over.
func (s *Service) linkOf(st state, v view, m duties.Message, lan string) (state, string) {
	l := link{Who: m.Who}
	var some []duties.Duty
	for _, line := range m.Lines {
		if line.About != duties.Free && line.About != duties.Elsewhere {
			some = append(some, line.Duty)
			l.Duties = append(l.Duties, [2]string{line.Game, line.Seat})
		}
		if line.Get != nil { // theirs after a yes
			some = append(some, *line.Get)
			l.Duties = append(l.Duties, [2]string{line.Get.Game, line.Get.Seat})
		}
	}
	_, slots := v.list(everyDay)
	l.Until = lastMoment(some, slots)
	if tellsElsewhere(m) {
		l = v.inPlace(l)
	}
	if l.Until == (duties.Moment{}) {
		return st, ""
	}
	st, token := s.newLink(st, l, v.now)
	return st, lan + "/mine#" + token
}

// crewLinkJSON asks for a link: of somebody's own page, or of a team's.
type crewLinkJSON struct {
	Person string `json:"person,omitempty"`
	Team   string `json:"team,omitempty"`
}

// madeLinkJSON is a link that was made. It is shown once.
type madeLinkJSON struct {
	Link  string `json:"link"`
	Lan   bool   `json:"lan"` // other devices reach it
	Until string `json:"until"`
	Text  string `json:"text"` // the words to send with it
}

// makeLink makes a link that opens until the season ends.
func (s *Service) makeLink(c *api.Call, in crewLinkJSON) (madeLinkJSON, error) {
	return with(s, c, func(v view) (madeLinkJSON, error) {
		if v.league == nil {
			return madeLinkJSON{}, api.Refuse("crew.no_season")
		}
		l := link{Team: in.Team, Until: duties.Moment{Day: v.league.To, Clock: 24*60 - 1}}
		page, key, name := "/mine#", "crew.message.page", ""
		if in.Team == "" {
			p, err := v.known(in.Person)
			if err != nil {
				return madeLinkJSON{}, err
			}
			l.Who, name = whoOf(v.people[p]), firstName(v.people[p])
		} else {
			page, key, name = "/team#", "crew.message.team", v.league.TeamName(in.Team)
		}
		st, token := s.newLink(v.state, l, v.now)
		address := s.lan()
		out := madeLinkJSON{Lan: address != "", Until: v.league.To.String()}
		if address == "" {
			address = c.Base
		}
		out.Link = address + page + token
		out.Text = say(c, key, "name", name, "link", out.Link)
		return out, s.keep(c, "links", st, morePaper)
	})
}

// opened is the link of a token that still opens here, or a no that says why not.
func (v view) opened(token string, team bool) (link, error) {
	l, err := v.linkOf(token, team)
	if err == nil {
		err = v.here()
	}
	return l, err
}

// linkOf is the link of a token that still opens, here or where the desk works now.
func (v view) linkOf(token string, team bool) (link, error) {
	hash := hashOf(token)
	at := slices.IndexFunc(v.more.Links, func(l link) bool { return l.Hash == hash && (l.Team != "") == team })
	switch {
	case at < 0:
		return link{}, api.NotThere("crew.no_link")
	case v.more.Links[at].Until.Compare(v.now) < 0:
		return link{}, api.NewNo(api.StatusGone, api.Missing, "crew.link_over")
	}
	return v.more.Links[at], nil
}

// mineJSON is what somebody sees of their own.
type mineJSON struct {
	First   string         `json:"first"` // the first name, so that somebody else sees whose page it is
	Duties  []mineDuty     `json:"duties"`
	Past    []mineDuty     `json:"past"`   // what they did
	Others  []mineDuty     `json:"others"` // seats that they may take: nobody's, or offered
	Swaps   []mineSwapJSON `json:"swaps"`  // questions whether two people change places, theirs and to them
	Whole   bool           `json:"whole"`  // the link is of their own page, not of a message
	Can     canJSON        `json:"can"`
	Next    string         `json:"practise"` // the seat to practise: clock, box or book; empty: none of them is theirs
	League  string         `json:"league"`
	Today   string         `json:"today"`
	Asked   bool           `json:"asked"`   // they asked to be forgotten
	Mail    string         `json:"mail"`    // yes: they get letters; left: they want none; empty: none are sent to them
	Push    string         `json:"push"`    // the key to which a device binds itself for reminders; empty: there are none here
	Devices []string       `json:"devices"` // ids of their devices that have them on: the beginning of the SHA-256 of the address
	Family  crewFamilyJSON `json:"family"`
	Stay    mineStayJSON   `json:"stay"`
	Said    string         `json:"said,omitempty"` // what came of what they did
	// Elsewhere is the same page at the desk that took this one over; the rest is empty then.
	Elsewhere string `json:"elsewhere,omitempty"`
}

// noPage is a page with nothing on it.
func noPage() mineJSON {
	return mineJSON{
		Duties: []mineDuty{}, Past: []mineDuty{}, Others: []mineDuty{}, Swaps: []mineSwapJSON{}, Devices: []string{}, Family: crewFamilyJSON{Pots: []familyPotJSON{}},
		Can: canJSON{Days: []string{}, Away: []crewSpanJSON{}, Far: []string{}, Rinks: []crewRinkJSON{}},
	}
}

// mineStayJSON is the question whether somebody stays for a season.
type mineStayJSON struct {
	Season string `json:"season"` // empty: they are not asked
	By     string `json:"by"`
	Status string `json:"status"` // waiting, yes, no
}

// mineDuty is a duty as its person sees it.
type mineDuty struct {
	crewDutyJSON
	With []string `json:"with"` // the rest of the crew: first name and initial
}

// canJSON is when somebody can.
type canJSON struct {
	Days      []string       `json:"days"`
	Away      []crewSpanJSON `json:"away"`
	NotBefore string         `json:"not_before"`
	DayMost   int            `json:"day_most"`
	Most      int            `json:"most"`
	Far       []string       `json:"far"`
	Rinks     []crewRinkJSON `json:"rinks"`
}

// crewRinkJSON is a rink by its name.
type crewRinkJSON struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// mine shows somebody their own duties. It changes nothing, whoever opens it.
func (s *Service) mine(c *api.Call) (mineJSON, error) {
	return with(s, c, func(v view) (mineJSON, error) {
		l, err := v.linkOf(c.Part("token"), false)
		if err != nil {
			return mineJSON{}, err
		}
		if there := v.elsewhereNow("/mine#", c.Part("token")); there != "" {
			out := noPage()
			out.Elsewhere = there
			return out, nil
		}
		return v.mine(c, l)
	})
}

// ahead is how many days ahead a page offers seats that are nobody's.
const ahead = 21

func (v view) mine(c *api.Call, l link) (mineJSON, error) {
	at := v.person(idOf(l.Who))
	if at < 0 || v.league == nil {
		return mineJSON{}, api.NotThere("crew.no_link")
	}
	p := v.personJSON(v.people[at])
	out := noPage()
	out.First, out.Whole = firstName(v.people[at]), len(l.Duties) == 0
	out.Can = canJSON{Days: p.Days, Away: p.Away, NotBefore: p.NotBefore, DayMost: p.DayMost, Most: p.Most, Far: p.Far, Rinks: out.Can.Rinks}
	out.Mail, out.League, out.Today, out.Asked = v.letters(l.Who), v.league.Name, v.now.Day.String(), p.Wish == "forget"
	if v.push != nil && v.more.PushKeys != nil {
		out.Push = v.more.PushKeys.Public
	}
	for _, d := range v.devicesFor(l.Who) {
		out.Devices = append(out.Devices, deviceID(d.Endpoint))
	}
	for _, r := range v.league.Rinks {
		out.Can.Rinks = append(out.Can.Rinks, crewRinkJSON{r.ID, r.Name})
	}
	list, slots := v.list(everyDay)
	said, may, everybody := v.log.Work(), v.may(len(list)), v.desk(list)
	for i, one := range list {
		key := [2]string{one.Game, one.Seat}
		mine := one.Who == l.Who
		if !out.Whole && !slices.Contains(l.Duties, key) {
			continue
		}
		duty := mineDuty{v.dutyJSON(c, one, slots[i], said), texts(everybody.Others(one))}
		asked := said.Of(one.Game, one.Seat, l.Who).Status == duties.Waiting
		switch {
		case mine && duty.Over && out.Whole:
			out.Past = append(out.Past, duty)
		case mine && !duty.Over:
			out.Duties = append(out.Duties, duty)
		case !mine && !duty.Over && (asked || out.Whole && one.Day <= v.now.Day+ahead) && v.free(one, said) && may(list, i, l.Who):
			duty.Person, duty.Name, duty.Family, duty.Status, duty.With = "", "", "", string(duties.Waiting), []string{}
			out.Others = append(out.Others, duty)
		}
	}
	out.Swaps = v.swapsOf(c, l, list, slots, said)
	out.Next = v.practises(v.people[at], list, slots)
	out.Stay = v.stayOf(l, said)
	if out.Whole {
		for _, f := range v.balanceOf() {
			if f.Family == l.Family {
				out.Family = f
			}
		}
	}
	return out, nil
}

// free: nobody has the seat, or whoever has it gives it away.
func (v view) free(one duties.Duty, said duties.Book) bool {
	return one.Name == "" || said.Of(one.Game, one.Seat, one.Who).Status == duties.Spare
}

// mineActJSON is what somebody does on their page.
type mineActJSON struct {
	Do     string       `json:"do"` // yes, no, spare, swap, swap_yes, swap_no, can, mail, no_mail, push, no_push, forget, not_me
	Game   string       `json:"game,omitempty"`
	Seat   string       `json:"seat,omitempty"`
	Can    *canJSON     `json:"can,omitempty"`
	Device *push.Device `json:"device,omitempty"` // push, no_push: as the browser gives it

	WithGame string `json:"with_game,omitempty"` // swap, swap_yes, swap_no: the other seat
	WithSeat string `json:"with_seat,omitempty"`
}

// mineAct does it. An answer goes the way of a code, so both follow the same rules.
func (s *Service) mineAct(c *api.Call, in mineActJSON) (mineJSON, error) {
	return with(s, c, func(v view) (mineJSON, error) {
		l, err := v.opened(c.Part("token"), false)
		if err != nil {
			return mineJSON{}, err
		}
		at, err := v.known(idOf(l.Who))
		if err != nil {
			return mineJSON{}, err
		}
		saying, st := "", v.state
		switch in.Do {
		case string(duties.SayYes), string(duties.SayNo), string(duties.SaySpare):
			if saying, err = s.answer(c, v, l, in); err != nil {
				return mineJSON{}, err
			}
		case "swap", "swap_yes", "swap_no":
			if saying, err = s.swapping(c, v, l, in); err != nil {
				return mineJSON{}, err
			}
		case "can":
			if err := s.can(c, st, l, at, in.Can); err != nil {
				return mineJSON{}, err
			}
			saying = say(c, "crew.mine.can")
		case "mail", "no_mail":
			if err := s.keep(c, in.Do, st.leaveMail(l.Who, in.Do == "no_mail"), morePaper); err != nil {
				return mineJSON{}, err
			}
			saying = say(c, "crew.mine."+in.Do)
		case "push", "no_push":
			if err := s.turn(c, v, l, in); err != nil {
				return mineJSON{}, err
			}
			saying = say(c, "crew.mine."+in.Do)
		case "forget", "not_me":
			st.more.Wishes = append(slices.DeleteFunc(slices.Clone(st.more.Wishes), func(w wish) bool { return w.Who == l.Who }), wish{l.Who, in.Do})
			if in.Do == "not_me" { // the link went to somebody else: it opens no more
				st.more.Links = slices.DeleteFunc(slices.Clone(st.more.Links), func(o link) bool { return o.Hash == l.Hash })
			}
			if err := s.keep(c, "wish", st, morePaper); err != nil || in.Do == "not_me" {
				out := noPage()
				out.Said = say(c, "crew.mine.not_me")
				return out, err
			}
			saying = say(c, "crew.mine.forget")
		default:
			return mineJSON{}, api.Refuse("crew.act")
		}
		if v, err = s.look(c); err != nil {
			return mineJSON{}, err
		}
		out, err := v.mine(c, l)
		out.Said = saying
		return out, err
	})
}

// can keeps when somebody can.
func (s *Service) can(c *api.Call, st state, l link, at int, can *canJSON) error {
	if can == nil || len(l.Duties) > 0 {
		return api.Refuse("crew.act")
	}
	p := st.personJSON(st.people[at])
	p.Days, p.Away, p.NotBefore, p.DayMost, p.Most, p.Far = can.Days, can.Away, can.NotBefore, can.DayMost, can.Most, can.Far
	changed, err := st.personOf(p)
	if err != nil {
		return err
	}
	st.people = slices.Clone(st.people)
	st.people[at] = changed
	return s.keep(c, "can", st, peoplePaper)
}

// answer says yes or no to a duty in somebody's name.
func (s *Service) answer(c *api.Call, v view, l link, in mineActJSON) (string, error) {
	if !l.shows(in.Game, in.Seat) {
		return "", api.NotThere("crew.no_seat")
	}
	if in.Seat == duties.StaySeat {
		return s.staying(c, v, l, in)
	}
	one, _, err := v.at(in.Game, in.Seat)
	if err != nil {
		return "", err
	}
	said := v.log.Work()
	if one.Who != l.Who {
		// Whoever takes a seat that is nobody's was not asked: they ask themselves.
		if in.Do != string(duties.SayYes) || !v.free(one, said) {
			return "", api.NewNo(api.StatusConflict, api.Conflict, "crew.not_yours")
		}
		if said.Of(one.Game, one.Seat, l.Who).Status != duties.Waiting {
			v.log = v.logged(duties.Event{Kind: duties.Asked, At: v.now, Game: one.Game, Seat: one.Seat, Who: l.Who, Told: &one.Visit})
		}
		one.Who = l.Who
	}
	replies, err := s.take(c, v, v.log.Code(one, duties.Answer(in.Do)))
	if err != nil || len(replies) == 0 {
		return "", err
	}
	if replies[0].Result != string(duties.Done) && replies[0].Result != string(duties.Already) {
		return "", api.NewNo(api.StatusConflict, api.Conflict, "crew.mine.no_more", "why", replies[0].Text)
	}
	return say(c, "crew.mine."+in.Do), nil
}

// calendar is somebody's duties for their own calendar. Its titles name no other
// person.
func (s *Service) calendar(c *api.Call) (api.File, error) {
	return with(s, c, func(v view) (api.File, error) {
		l, err := v.opened(c.Part("token"), false)
		if err != nil {
			return api.File{}, err
		}
		person, err := v.known(idOf(l.Who))
		if err != nil {
			return api.File{}, err
		}
		list, _ := v.list(everyDay)
		feed := v.words(c, list).Calendar(person, v.zone)
		if len(l.Duties) > 0 { // those of the message
			feed.Events = slices.DeleteFunc(feed.Events, func(e calendar.Event) bool {
				return !slices.ContainsFunc(l.Duties, func(key [2]string) bool {
					return e.UID == calendar.UID("duty", v.league.Name, v.league.Season, key[0], key[1], l.Name, l.Family)
				})
			})
		}
		return api.File{Raw: calendar.Write(feed), Media: "text/calendar", Name: "duties.ics"}, nil
	})
}

// crewTeamJSON is what a team's manager sees: the seats at the team's games.
type crewTeamJSON struct {
	Team   string         `json:"team"`
	League string         `json:"league"`
	Duties []crewDutyJSON `json:"duties"`
	// Elsewhere is the same page at the desk that took this one over; the rest is empty then.
	Elsewhere string `json:"elsewhere,omitempty"`
}

// team shows the seats of a team's games that are to come, with first names and
// initials.
func (s *Service) team(c *api.Call) (crewTeamJSON, error) {
	return with(s, c, func(v view) (crewTeamJSON, error) {
		l, err := v.linkOf(c.Part("token"), true)
		if err != nil {
			return crewTeamJSON{}, err
		}
		if there := v.elsewhereNow("/team#", c.Part("token")); there != "" {
			return crewTeamJSON{Duties: []crewDutyJSON{}, Elsewhere: there}, nil
		}
		out, said := crewTeamJSON{Team: v.league.TeamName(l.Team), League: v.league.Name, Duties: []crewDutyJSON{}}, v.log.Work()
		list, slots := v.list(days{v.now.Day, everyDay.to})
		for i, one := range list {
			if slices.Contains(slots[i].game.Teams, l.Team) {
				duty := v.dutyJSON(c, one, slots[i], said)
				duty.Person, duty.Family = "", ""
				if duty.Name != "" {
					duty.Name = desk.Short(duty.Name)
				}
				out.Duties = append(out.Duties, duty)
			}
		}
		return out, nil
	})
}
