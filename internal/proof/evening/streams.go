package evening

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"
)

// streamsMost is how many screens follow at the same time.
const streamsMost = 4

// quietMost is how long a stream may say nothing: a screen says then that it lost
// the bench.
const quietMost = 3 * time.Second

// screen is one that follows a game by its stream, while the program runs.
type screen struct {
	v       *evening
	game    *game
	who     string
	public  bool
	changes bool   // it is sent what changed
	phone   *phone // that it is on; nil: none
	ends    context.CancelFunc
	done    chan struct{}
	had     map[string]any // the state that it is on, when it is sent changes
	newest  int            // seq that it was shown last

	ahead int // entries that it was shown and that the ledger was not looked at for since

	mutex sync.Mutex
	text  []byte // that came and was not looked at
	heard time.Time
	last  string // event
}

var errGone = errors.New("nobody reads this any more")

// Header, Write and the others make it what a handler writes to.
func (s *screen) Header() http.Header              { return http.Header{} }
func (s *screen) WriteHeader(int)                  {}
func (s *screen) Flush()                           {}
func (s *screen) SetReadDeadline(time.Time) error  { return nil }
func (s *screen) SetWriteDeadline(time.Time) error { return nil }
func (s *screen) Write(piece []byte) (n int, err error) {
	if s.v.laptop.isDead() {
		return 0, errGone // what a dead program would have said
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.text, s.heard = append(s.text, piece...), time.Now()
	return len(piece), nil
}

// follow lets a screen follow a game.
func (v *evening) follow() {
	if v.laptop.program == nil || v.laptop.troubled() {
		return
	}
	open := 0
	for _, s := range v.screens {
		if s.ends != nil {
			open++
		}
	}
	if open >= streamsMost {
		return
	}
	g := v.one()
	s := &screen{v: v, game: g, who: "a screen of the bench", changes: v.chance(50), done: make(chan struct{}), heard: time.Now()}
	path := "/api/games/" + g.id + "/stream"
	if s.changes {
		path += "?changes=yes"
	}
	r := v.here("GET", path, nil)
	switch v.random.IntN(3) {
	case 0:
		s.who, s.public = "a screen in the stands", true
		r = v.fromStands(path)
	case 1:
		for _, p := range v.phones {
			if p.game == g && !p.revoked && !p.unsure {
				s.who, s.phone, r = p.device, p, p.request("GET", path, nil)
			}
		}
	}
	var ctx context.Context
	ctx, s.ends = context.WithCancel(v.ctx)
	program := v.laptop.program
	go func() {
		defer close(s.done)
		program.ServeHTTP(s, r.WithContext(ctx))
	}()
	v.screens = append(v.screens, s)
	v.out.Counts["streams"]++
	v.note("follows", "%s: %s, changes %v", g.id, s.who, s.changes)
	v.look(g)
}

// streamsEnd waits for the streams of a program that ended.
func (v *evening) streamsEnd() {
	for _, s := range v.screens {
		if s.ends == nil {
			continue
		}
		if !v.within(func() { <-s.done }) {
			v.fault("a stream of %s goes on after its program", s.game.id)
		}
		s.ends()
		s.ends = nil
	}
}

// streamsAgree holds what the screens of a game were shown against its ledger: each
// state that ever came against the lines up to its number, the newest against all.
func (v *evening) streamsAgree(g *game) {
	for _, s := range v.screens {
		if s.game != g {
			continue
		}
		if s.ends != nil {
			time.Sleep(time.Millisecond) // what is on its way comes
		}
		s.mutex.Lock()
		whole := bytes.LastIndex(s.text, []byte("\n\n")) + 1
		text := s.text[:max(0, whole)]
		s.text = bytes.Clone(s.text[len(text):])
		heard := s.heard
		s.mutex.Unlock()
		before, waits := s.ahead, ""
		s.ahead = 0
		for event := range strings.SplitSeq(string(text), "\n\n") {
			event = strings.TrimPrefix(event, "\n")
			if s.ahead > 0 || seqOf(event) > len(g.seen) { // it came after the ledger was read
				s.ahead = max(s.ahead, seqOf(event))
				waits += event + "\n\n"
				continue
			}
			s.event(event)
		}
		s.mutex.Lock()
		s.text = append([]byte(waits), s.text...)
		s.mutex.Unlock()
		if before > len(g.seen) {
			v.fault("%s was shown entry %d of %s, and %d are there", s.who, before, g.id, len(g.seen))
		}
		if s.ends == nil || v.laptop.isDead() {
			continue
		}
		switch gone := s.phone != nil && s.phone.revoked; {
		case gone && s.last != "revoked":
			v.fault("%s follows %s, and its seat was taken away", s.who, g.id)
		case gone || s.phone != nil && s.phone.unsure:
		case s.newest < len(g.seen):
			v.fault("%s was sent %d entries of %s, and there are %d", s.who, s.newest, g.id, len(g.seen))
		case time.Since(heard) > quietMost:
			v.fault("%s hears nothing of %s", s.who, g.id)
		}
	}
}

// seqOf is the number of the state that an event leads to; 0 where it has none.
func seqOf(event string) (seq int) {
	for line := range strings.Lines(event) {
		if id, is := strings.CutPrefix(line, "id: "); is {
			seq, _ = strconv.Atoi(strings.TrimSpace(id)) // the program writes no other
		}
	}
	return seq
}

// event is one that came.
func (s *screen) event(text string) {
	name, rest, _ := strings.Cut(text, "\n")
	name, is := strings.CutPrefix(name, "event: ")
	if !is {
		return
	}
	s.last = name
	at := strings.Index(rest, "data: ")
	if at < 0 || name != "state" && name != "change" {
		return
	}
	raw := []byte(rest[at+len("data: "):])
	var came struct {
		State  map[string]any
		Change struct {
			From, Seq int
			Set       map[string]any
			Gone      []string
			Lists     map[string]struct {
				Length int
				At     map[string]any
			}
		}
	}
	if err := json.Unmarshal(raw, &came); err != nil {
		s.v.fault("what %s is sent is no JSON: %v", s.who, err)
		return
	}
	if name == "state" {
		s.had = came.State
	} else {
		if !s.changes || s.had == nil || came.Change.From > s.newest || came.Change.Seq < s.newest {
			s.v.fault("%s is sent a change from %d to %d, and is at %d", s.who, came.Change.From, came.Change.Seq, s.newest)
			return
		}
		for path, value := range came.Change.Set {
			put(s.had, path, func(any) (any, bool) { return value, true })
		}
		for _, path := range came.Change.Gone {
			put(s.had, path, func(any) (any, bool) { return nil, false })
		}
		for path, change := range came.Change.Lists {
			put(s.had, path, func(before any) (any, bool) {
				list, _ := before.([]any)
				list = append(list[:min(len(list), change.Length):min(len(list), change.Length)], make([]any, max(0, change.Length-len(list)))...)
				for place, value := range change.At {
					if i, err := strconv.Atoi(place); err == nil && i < len(list) {
						list[i] = value
					}
				}
				return list, true
			})
		}
	}
	s.shows()
}

// put changes a value in an object by its path.
func put(object map[string]any, path string, change func(any) (any, bool)) {
	name, rest, deeper := strings.Cut(path, ".")
	if deeper {
		inner, is := object[name].(map[string]any)
		if !is {
			inner = map[string]any{}
			object[name] = inner
		}
		put(inner, rest, change)
		return
	}
	if value, stays := change(object[name]); stays {
		object[name] = value
	} else {
		delete(object, name)
	}
}

// shows holds the state that a screen is on against the lines up to its number. What
// is not known yet, because the ledger was not looked at since, is looked at as a
// game that has so many lines.
func (s *screen) shows() {
	v, g := s.v, s.game
	raw, err := json.Marshal(map[string]any{"state": s.had})
	var told shown
	if err == nil {
		err = json.Unmarshal(raw, &told)
	}
	if err != nil {
		v.fault("the state that %s is on cannot be read: %v", s.who, err)
		return
	}
	seq := told.State.Seq
	if seq < s.newest {
		v.fault("%s went back from entry %d of %s to %d", s.who, s.newest, g.id, seq)
	}
	if s.newest = seq; seq > len(g.seen) {
		v.fault("%s was shown entry %d of %s, and %d are there", s.who, seq, g.id, len(g.seen))
		return
	}
	then := &game{id: g.id, seen: g.seen[:seq]}
	v.state(then, s.who, told)
	if s.public {
		v.kept(then, raw, told)
	}
	if s.phone != nil {
		v.cut(s.phone, "its stream", raw)
	}
	v.out.Counts["states streamed"]++
}
