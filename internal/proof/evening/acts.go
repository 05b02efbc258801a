package evening

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"time"

	"whistlestop/game/entry"
)

// Marks by which the texts are known that may not be seen: names of players may go
// out where the coordinator says so, what is said about people never.
const (
	nameMark = "Quillfeather"
	hushMark = "Hushwater"
)

// teams play each other; both are of the invented Harbour League.
var teams = [][2]string{{"Kelp Bay", "Lanternside"}, {"Millrace", "Northmole"}, {"Northmole", "Kelp Bay"}}

// batch is entries that go out together, all or none.
type batch struct {
	drafts []entry.Entry
	saw    int
	by     *phone // nil: the bench itself
	sent   int    // times
}

// game is one of the evening, with what was told about it.
type game struct {
	v              *evening
	id             string
	place          int
	home, visitors string
	made           int
	waiting        *batch  // was sent, and nobody knows what became of it
	done           []batch // were acknowledged
	told           map[string]entry.Entry
	refused        map[string]bool
	perhaps        map[string]bool // may be there: nobody was told
	touched        map[string]touch
	rostered       bool   // its teams are those of the evening
	baseline       int    // lines that it came with; asItCame: they are still to be counted
	seen           []line // as they were shown last
	added          struct {
		after int // lines
		sum   sum
	}
	gone bool // its copies are not as the program left them: somebody put a file there
}

// asItCame is the baseline of a game that somebody brought.
const asItCame = -1

func newGame(v *evening, id string, place int) *game {
	return &game{v: v, id: id, place: place, told: map[string]entry.Entry{}, refused: map[string]bool{}, perhaps: map[string]bool{}, touched: map[string]touch{}}
}

// open opens a game.
func (v *evening) open(place int) *game {
	g := newGame(v, fmt.Sprintf("01JD0000000000000000EVEN%02d", place), place)
	g.home, g.visitors = teams[place%len(teams)][0], teams[place%len(teams)][1]
	roster := func(side string) (team entry.Team) {
		team.Name = side
		for n := rosteredFrom; n < rosteredTo; n++ {
			team.Players = append(team.Players, entry.Player{Number: entry.Jersey(strconv.Itoa(n)), Name: fmt.Sprintf("%s %d", nameMark, n)})
		}
		return team
	}
	raw, err := json.Marshal(map[string]any{"id": g.id, "division": "harbour-u14", "home": roster(g.home), "visitors": roster(g.visitors)})
	if err != nil {
		v.fault("a game cannot be written: %v", err)
	}
	if status := v.ask(v.here("POST", "/api/games", raw), nil); status != http.StatusCreated {
		v.fault("a game does not open: %d", status)
	}
	g.baseline, g.rostered = 1, true
	return g
}

// draft is a draft with the next id of the game.
func (g *game) draft(now int64, of string, body entry.Body) entry.Entry {
	g.made++
	id := fmt.Sprintf("01JE%02d%020d", g.place, g.made)
	g.touched[id] = touch{at: time.Now(), era: g.v.laptop.era, ack: -1}
	return entry.Entry{
		ID: id, Game: g.id, Wall: entry.Millis(now), Seat: entry.Solo, Of: of, Body: body,
	}
}

// next is what the people of the game enter next, by what they were shown last.
func (g *game) next(now int64) (batch, bool) {
	v, s := g.v, g.adds()
	if s.sealed || s.stage == "over" {
		return batch{}, false
	}
	side := entry.Sides[v.random.IntN(2)]
	player := entry.Jersey(strconv.Itoa(2 + v.random.IntN(7)))
	var of string
	var bodies []entry.Body
	standing := g.standing()
	dice := v.random.IntN(100)
	switch {
	case s.stage == "before" && dice < 70:
		stage := entry.Stage{Kind: entry.Period, Number: 1}
		if v.chance(30) {
			stage = entry.Stage{Kind: entry.WarmUp}
		}
		bodies = append(bodies, entry.StageBegun{Stage: stage, Length: entry.Clock(5, 0), Running: stage.Kind == entry.WarmUp})
	case s.stage == "period" && !s.running && !s.doubted && dice < 6: // so that periods end
		bodies = append(bodies, entry.ClockSet{Elapsed: entry.Millis(max(s.elapsed, s.length-2000))})
	case s.doubted && dice < 60:
		bodies = append(bodies, entry.ClockSet{Elapsed: entry.Millis(min(s.length, s.elapsed+v.random.Int64N(4000)))})
	case dice < 30 && s.running:
		bodies = append(bodies, entry.ClockStopped{Error: 20})
	case dice < 30 && s.length > 0 && s.elapsed < s.length && !s.doubted:
		bodies = append(bodies, entry.ClockStarted{Error: 20})
	case dice < 34 || dice < 50 && !s.running && (s.length == 0 || s.elapsed >= s.length):
		if stage, known := g.nextStage(); known && !s.running {
			bodies = append(bodies, stage)
		}
	case dice < 60 && (s.stage == "period" || v.chance(10)):
		bodies = append(bodies, entry.Goal{Side: side, Scorer: player, Unassisted: true})
	case dice < 72 && dice >= 60 && (s.stage == "period" || v.chance(30)):
		part := []entry.Part{entry.Minor, entry.Minor, entry.Major, entry.Misconduct}[v.random.IntN(4)]
		bodies = append(bodies, entry.Penalty{Side: side, Player: player, Call: "tripping", Parts: []entry.Part{part}})
	case dice < 80 && dice >= 72 && len(standing) > 0:
		of = standing[v.random.IntN(len(standing))]
		if v.chance(50) {
			bodies = append(bodies, entry.Struck{Reason: "was not so"})
		} else {
			bodies = append(bodies, entry.Amended{To: entry.Goal{Side: side, Scorer: player, Unassisted: true}})
		}
	case dice < 86:
		bodies = append(bodies, entry.Note{Text: hushMark + " fell and is well", About: entry.InjuryNote})
	case dice < 90:
		bodies = append(bodies, entry.BenchSet{Clock: entry.Lead, Names: v.chance(50)})
	default:
		bodies = append(bodies, entry.Shots{Side: side, Count: 1 + v.random.IntN(3)}, entry.Shots{Side: side.Other(), Count: 1})
	}
	var b batch
	for _, body := range bodies {
		b.drafts = append(b.drafts, g.draft(now, of, body))
	}
	b.saw = len(g.seen)
	return b, len(b.drafts) > 0
}

// standing are the goals that were not struck.
func (g *game) standing() (ids []string) {
	gone := map[string]bool{}
	for _, l := range g.seen {
		if l.kind() == "struck" {
			gone[l.Of] = true
		}
	}
	for _, l := range g.seen {
		if l.kind() == "goal" && !gone[l.ID] {
			ids = append(ids, l.ID)
		}
	}
	return ids
}

// nextStage is what the bench offers first.
func (g *game) nextStage() (stage entry.StageBegun, known bool) {
	var told struct {
		State struct {
			Next []struct {
				Stage   entry.Stage  `json:"stage"`
				Length  entry.Millis `json:"length_ms"`
				Running bool         `json:"running"`
			} `json:"next"`
		} `json:"state"`
	}
	if g.v.ask(g.v.here("GET", "/api/games/"+g.id, nil), &told) != http.StatusOK || len(told.State.Next) == 0 {
		return stage, false
	}
	next := told.State.Next[0]
	return entry.StageBegun{Stage: next.Stage, Length: next.Length, Running: next.Running}, true
}

// post enters something into a game, or sends again what nobody knows of.
func (v *evening) post(g *game) {
	if g.waiting == nil {
		now, known := v.now()
		b, some := batch{}, false
		if known {
			b, some = g.next(now)
		}
		if !some {
			v.note("nothing", "%s", g.id)
			return
		}
		g.waiting = &b
	}
	v.send(g)
	v.look(g)
	v.list()
}

func (b batch) body() ([]byte, error) {
	return json.Marshal(map[string]any{"entries": b.drafts, "saw": b.saw})
}

// send sends what waits.
func (v *evening) send(g *game) {
	if g.waiting == nil {
		return
	}
	body, err := g.waiting.body()
	if err != nil {
		v.fault("drafts cannot be written: %v", err)
		return
	}
	status, answer := v.raw(v.from(g.waiting.by, "POST", "/api/games/"+g.id+"/entries", body))
	v.settle(g, status, answer)
}

// settle notes what was answered to a post.
func (v *evening) settle(g *game, status int, answer []byte) {
	g.waiting.sent++
	b := *g.waiting
	first := b.drafts[0]
	v.note("posted", "%s %s %s: %d", g.id, first.ID, first.Kind(), status)
	switch {
	case status == http.StatusOK:
		v.out.Counts["acknowledged"]++
		if b.by != nil && b.by.revoked {
			v.fault("the seat of %s was taken away, and it entered %s", b.by.device, first.ID)
		}
		for _, d := range b.drafts {
			g.told[d.ID] = d
			touched := g.touched[d.ID]
			touched.ack = v.laptop.era
			g.touched[d.ID] = touched
		}
		g.done = append(g.done, b)
		g.waiting = nil
	case status == http.StatusForbidden && b.by != nil:
		v.turnedAway(g, b, answer)
	case status == http.StatusConflict || status == http.StatusUnprocessableEntity:
		v.out.Counts["refused"]++
		for _, d := range b.drafts {
			g.refused[d.ID] = true
		}
		g.waiting = nil
	case status == 0 || status == http.StatusServiceUnavailable && v.laptop.troubled():
		v.out.Counts["not answered"]++
	default:
		v.fault("a post of %s to %s is answered with %d: %s", first.Kind(), g.id, status, answer)
	}
}

// together lets the people of all games enter something at one moment.
func (v *evening) together() {
	now, known := v.now()
	if !known {
		return
	}
	type sent struct {
		status int
		answer []byte
		body   []byte
	}
	all := make([]sent, len(v.games))
	var group sync.WaitGroup
	for i, g := range v.games {
		if g.waiting == nil {
			if b, some := g.next(now); some {
				g.waiting = &b
			}
		}
		if g.waiting != nil {
			all[i].body, _ = g.waiting.body() // what cannot be written is refused
		}
	}
	for i, g := range v.games {
		if all[i].body != nil {
			group.Go(func() {
				all[i].status, all[i].answer = v.raw(v.from(g.waiting.by, "POST", "/api/games/"+g.id+"/entries", all[i].body))
			})
		}
	}
	group.Wait()
	for i, g := range v.games {
		if all[i].body != nil {
			v.settle(g, all[i].status, all[i].answer)
		}
	}
	v.lookAll()
}

// again sends once more what was acknowledged before: nothing may come of it.
func (v *evening) again(g *game) {
	if len(g.done) == 0 || v.laptop.troubled() {
		return
	}
	b := g.done[v.random.IntN(len(g.done))]
	if b.by != nil && (b.by.revoked || b.by.unsure) {
		return
	}
	before := len(g.seen)
	body, err := b.body()
	if err != nil {
		v.fault("drafts cannot be written: %v", err)
	}
	status, _ := v.raw(v.from(b.by, "POST", "/api/games/"+g.id+"/entries", body))
	// A month after a seal, also by a clock that was set, copies have no texts about
	// people: of a game that came back from them these are gone, and the draft is another.
	faded := status == http.StatusConflict && v.out.Counts["ends lost"] > 0 && g.adds().sealed && hasText(b)
	if status != http.StatusOK && !faded {
		v.fault("what was acknowledged, %s, is answered with %d when it comes again", b.drafts[0].ID, status)
	}
	v.look(g)
	for _, l := range g.seen[min(before, len(g.seen)):] {
		if l.Seat != "program" {
			v.fault("%s grew by %s because something came twice", g.id, l.ID)
		}
	}
}

// hasText reports whether entries have a text about a person.
func hasText(b batch) bool {
	return slices.ContainsFunc(b.drafts, func(d entry.Entry) bool {
		return d.Kind() == entry.KindNote || d.Kind() == entry.KindSigned
	})
}

// finish ends a game, has it signed, and closes its report.
func (v *evening) finish(g *game) {
	v.look(g)
	s := g.adds()
	if s.sealed || v.laptop.troubled() || v.laptop.program == nil || g.waiting != nil {
		return
	}
	steps := []entry.Body{
		entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}},
		entry.Signed{Role: entry.Scorer, Name: hushMark + " Example"},
	}
	if s.running {
		steps = append([]entry.Body{entry.ClockStopped{Error: 20}}, steps...)
	}
	if s.stage == "over" {
		steps = steps[len(steps)-1:]
	}
	for _, step := range steps {
		now, _ := v.now()
		g.waiting = &batch{drafts: []entry.Entry{g.draft(now, "", step)}, saw: len(g.seen)}
		v.send(g)
		v.look(g)
		time.Sleep(2 * time.Second)
	}
	var closed struct{ Entry string }
	status := v.ask(v.here("POST", "/api/games/"+g.id+"/seal", []byte(`{"missing":"the evening is over"}`)), &closed)
	v.note("seal", "%s: %d", g.id, status)
	if status == http.StatusOK {
		v.out.Counts["sealed"]++
		g.told[closed.Entry] = entry.Entry{ID: closed.Entry, Body: entry.Sealed{}}
	}
	v.look(g)
	v.verifySeals(g)
}
