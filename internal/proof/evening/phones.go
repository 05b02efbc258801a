package evening

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"time"

	"whistlestop/game/entry"
)

// cookieOfASeat is the name of a seat's cookie on a plain connection.
const cookieOfASeat = "whistlestop_seat"

// phonesMost is how many phones have or had a seat in an evening.
const phonesMost = 3

// phone is a device that was made a seat of a game.
type phone struct {
	v       *evening
	game    *game
	place   int
	seat    entry.Seat
	device  string
	token   string
	session string
	revoked bool // the bench took the seat away, and was told that it did
	unsure  bool // nobody knows: the answer to that did not come
	left    *batch
}

// request is one of the phone, with its token.
func (p *phone) request(method, path string, body []byte) *http.Request {
	r := request(method, path, body, fmt.Sprintf("192.168.7.%d:40000", 20+p.place))
	if p.token != "" {
		r.AddCookie(&http.Cookie{Name: cookieOfASeat, Value: p.token})
	}
	return r
}

// phone lets a phone become a seat, enter something, try what it may not do, or lose
// its seat in the middle of all that.
func (v *evening) phone() {
	if len(v.phones) == 0 || len(v.phones) < phonesMost && v.chance(20) {
		v.pair(v.one())
		return
	}
	p := v.phones[v.random.IntN(len(v.phones))]
	switch gone := p.revoked || p.unsure; {
	case p.left != nil:
		v.handOver(p)
	case !gone && v.chance(12):
		v.revoke(p)
	case !gone && v.chance(15):
		v.reach(p)
	default:
		v.postFrom(p)
	}
}

// pair makes a phone a seat, by the hands of two people.
func (v *evening) pair(g *game) {
	if v.laptop.program == nil || v.laptop.troubled() {
		return
	}
	p := &phone{v: v, game: g, place: len(v.phones), seat: entry.BookSeat}
	if v.chance(50) {
		p.seat = entry.BoxSeat
	}
	p.device = fmt.Sprintf("phone %d", p.place)
	var offer struct{ Code string }
	var asked struct{ Request, Secret string }
	path := "/api/games/" + g.id
	ok := v.ask(v.here("POST", path+"/invites", fmt.Appendf(nil, `{"seat":%q}`, p.seat)), &offer) == http.StatusCreated &&
		v.ask(p.request("POST", "/api/join", fmt.Appendf(nil, `{"code":%q,"device":%q}`, offer.Code, p.device)), &asked) == http.StatusAccepted &&
		v.ask(v.here("POST", path+"/seats/approve", fmt.Appendf(nil, `{"request":%q}`, asked.Request)), nil) == http.StatusOK
	if !ok {
		v.fault("a phone does not become a seat of %s", g.id)
		return
	}
	answer := httptest.NewRecorder()
	r := p.request("POST", "/api/join/"+asked.Request, fmt.Appendf(nil, `{"secret":%q}`, asked.Secret))
	if !v.within(func() { v.laptop.program.ServeHTTP(answer, r.WithContext(v.ctx)) }) || answer.Code != http.StatusOK {
		v.fault("a phone that was let in is answered with %d", answer.Code)
		return
	}
	for _, cookie := range answer.Result().Cookies() {
		p.token = cookie.Value
	}
	var list struct{ Sessions []struct{ ID, Device string } }
	v.ask(v.here("GET", path+"/seats", nil), &list)
	for _, one := range list.Sessions {
		if one.Device == p.device {
			p.session = one.ID
		}
	}
	if p.token == "" || p.session == "" {
		v.fault("a phone that was let in is no seat of %s", g.id)
		return
	}
	v.phones = append(v.phones, p)
	v.out.Counts["seats"]++
	v.note("paired", "%s: %s of %s", p.device, p.seat, g.id)
}

// postFrom enters something from a phone.
func (v *evening) postFrom(p *phone) {
	g := p.game
	if g.waiting == nil {
		now, known := v.now()
		s := g.adds()
		if !known || s.sealed || s.stage == "over" {
			return
		}
		var body entry.Body = entry.Note{Text: "The door sticks."}
		if p.seat == entry.BookSeat {
			body = entry.Note{Text: hushMark + " went home", About: entry.InjuryNote}
			if s.stage == "period" && v.chance(70) {
				body = entry.Goal{Side: entry.Sides[v.random.IntN(2)], Scorer: "5", Unassisted: true}
			}
		}
		draft := g.draft(now, "", body)
		draft.Seat = p.seat
		g.waiting = &batch{drafts: []entry.Entry{draft}, saw: len(g.seen), by: p}
		v.out.Counts["posts of seats"]++
	}
	v.send(g)
	v.look(g)
}

// reach lets a phone try what its seat may not do, and looks at what it is shown.
func (v *evening) reach(p *phone) {
	g := p.game
	now, known := v.now()
	if !known || v.laptop.troubled() {
		return
	}
	bad := g.draft(now, "", entry.BenchSet{Clock: entry.Lead, Names: true})
	if p.seat == entry.BoxSeat {
		bad = g.draft(now, "", entry.Goal{Side: entry.Home, Scorer: "5", Unassisted: true})
	}
	g.refused[bad.ID] = true
	body, _ := batch{drafts: []entry.Entry{bad}, saw: len(g.seen)}.body() // it can be written
	status, _ := v.raw(p.request("POST", "/api/games/"+g.id+"/entries", body))
	v.note("reached", "%s: %d", p.device, status)
	if status/100 != 4 {
		v.fault("%s, which has the %s, entered a %s: %d", p.device, p.seat, bad.Kind(), status)
	}
	for _, path := range []string{"/api/games/" + g.id, "/api/games/" + g.id + "/ledger.jsonl", "/api/games/" + g.id + "/report"} {
		status, raw := v.raw(p.request("GET", path, nil))
		v.cut(p, path, raw)
		if p.seat == entry.BoxSeat && strings.HasSuffix(path, "/report") && status/100 == 2 {
			v.fault("the box reads the report of %s", g.id)
		}
	}
	for _, other := range v.games {
		if other != g {
			if status, _ := v.raw(p.request("GET", "/api/games/"+other.id+"/ledger.jsonl", nil)); status/100 == 2 {
				v.fault("%s, a seat of %s, reads the ledger of %s", p.device, g.id, other.id)
			}
		}
	}
	v.out.Counts["reaches of seats"]++
	v.look(g)
}

// seatsMayBeOver notes that the time of the seats may be over.
func (v *evening) seatsMayBeOver() {
	for _, p := range v.phones {
		p.unsure = true
	}
}

// cut holds what the box is shown against what it needs: no name, nothing that was
// said about a person.
func (v *evening) cut(p *phone, where string, raw []byte) {
	if !p.revoked && p.seat == entry.BoxSeat && (strings.Contains(string(raw), nameMark) || strings.Contains(string(raw), hushMark)) {
		v.fault("the box of %s reads about a person at %s", p.game.id, where)
	}
}

// revoke takes a seat away, also in the middle of what its phone enters.
func (v *evening) revoke(p *phone) {
	if v.laptop.program == nil {
		return
	}
	status, _ := v.raw(v.here("POST", "/api/games/"+p.game.id+"/seats/revoke", fmt.Appendf(nil, `{"session":%q}`, p.session)))
	v.note("revoked", "%s: %d", p.device, status)
	switch {
	case status == http.StatusOK:
		p.revoked = true
		v.out.Counts["seats taken away"]++
	case status == 0 || v.laptop.troubled():
		p.unsure = true
	default:
		v.fault("a seat of %s is not taken away: %d", p.game.id, status)
		return
	}
	// It does not know yet, and enters something all the same.
	if p.game.waiting == nil && v.chance(70) {
		v.postFrom(p)
	}
}

// turnedAway is a post of a phone that is a seat no longer: its entries stay with
// it, and whether an earlier sending of them was kept nobody knows.
func (v *evening) turnedAway(g *game, b batch, answer []byte) {
	v.out.Counts["turned away"]++
	if !b.by.revoked && !b.by.unsure {
		v.fault("%s is a seat of %s, and was turned away: %s", b.by.device, g.id, answer)
	}
	for _, d := range b.drafts {
		if b.sent > 1 {
			g.perhaps[d.ID] = true
		} else {
			g.refused[d.ID] = true
		}
	}
	b.by.left = &b
	g.waiting = nil
}

// handOver lets a phone hand over what it kept, and the bench decide about it.
func (v *evening) handOver(p *phone) {
	if p.left == nil || !p.revoked || v.laptop.program == nil || v.laptop.troubled() || p.game.waiting != nil {
		return
	}
	g, b := p.game, *p.left
	body, _ := b.body() // it was sent before
	status, _ := v.raw(p.request("POST", "/api/games/"+g.id+"/handed", body))
	v.note("handed", "%s: %d", p.device, status)
	if status != http.StatusAccepted {
		if !p.unsure {
			v.fault("%s hands over what it kept, and is answered with %d", p.device, status)
		}
		p.left = nil // its time may be over
		return
	}
	v.out.Counts["handed over"]++
	p.left = nil
	take := v.chance(60)
	decision, _ := json.Marshal(map[string]bool{"take": take}) // it can be written
	status, _ = v.raw(v.here("POST", "/api/games/"+g.id+"/handed/"+b.drafts[0].ID, decision))
	v.note("decided", "take %v: %d", take, status)
	for _, d := range b.drafts {
		switch {
		case take && status == http.StatusOK:
			delete(g.refused, d.ID)
			delete(g.perhaps, d.ID)
			touched := g.touched[d.ID]
			touched.ack = -1 // it was entered long after the touch
			g.touched[d.ID], g.told[d.ID] = touched, d
		case take && status/100 != 4:
			delete(g.refused, d.ID)
			g.perhaps[d.ID] = true
		}
	}
	time.Sleep(time.Second)
	v.look(g)
}

// seatsStand looks at what each phone is shown.
func (v *evening) seatsStand(g *game) {
	for _, p := range v.phones {
		if p.game != g || p.unsure || v.random.IntN(4) > 0 {
			continue
		}
		status, raw := v.raw(p.request("GET", "/api/games/"+g.id, nil))
		if status != http.StatusOK {
			if !v.laptop.troubled() {
				v.fault("%s cannot look at %s: %d", p.device, g.id, status)
			}
			continue
		}
		var told shown
		if err := json.Unmarshal(raw, &told); err != nil {
			v.fault("what %s is shown is no JSON: %v", p.device, err)
		}
		v.state(g, p.device, told)
		v.cut(p, "its state", raw)
		if p.revoked && !g.adds().names && strings.Contains(string(raw), nameMark) {
			v.fault("%s, which is no seat any more, is shown names of %s", p.device, g.id)
		}
	}
}
