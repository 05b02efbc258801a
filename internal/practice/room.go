package practice

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/answer"
	"whistlestop/internal/locale"
	"whistlestop/practice/script"
)

// Room is a place to practise: it knows the scripts, and holds at most one
// practice at a time. It is for one caller at a time.
type Room struct {
	added []script.Script // by the learner or the coordinator, the newest last
	play  *play           // the practice under way, or nothing
}

// NewRoom returns a room with the scripts that come with the program.
func NewRoom() *Room { return &Room{} }

// bodyMost is the most bytes that a question may have: the ledger of a long game
// stays below it.
const bodyMost = 4 << 20

// The instants that a practice's clock can show, milliseconds of Unix time: far
// enough from the ends of numbers that nothing overflows.
const (
	earliest = entry.Millis(1_000_000_000_000)
	latest   = entry.Millis(100_000_000_000_000)
)

// Call answers a question as the server answers it, without the /api before the
// path. Now is what the practice's clock shows, in milliseconds of Unix time; a
// practice's time never goes back. The answer is JSON, but for a ledger, which is
// JSON a line; a status of 400 or above comes with a problem in words. A fault of
// the program is answered as one (500), and the practice goes on.
func (r *Room) Call(method, path string, body []byte, now entry.Millis) (status int, text []byte) {
	defer func() {
		if caught := recover(); caught != nil {
			status, text = refusal(fmt.Errorf("%s %s: %v", method, path, caught))
		}
	}()
	path, _, _ = strings.Cut(path, "?")
	q := question{method: method, path: strings.Split(strings.Trim(path, "/"), "/"), body: body, now: min(max(now, earliest), latest)}
	if r.play != nil {
		q.now = r.play.clock.tell(q.now)
	}
	value, err := r.answer(q)
	if err != nil {
		return refusal(err)
	}
	if raw, is := value.([]byte); is {
		return answer.StatusOK, raw
	}
	if text, err = json.Marshal(value); err != nil {
		return refusal(err)
	}
	return answer.StatusOK, text
}

// question is a call that is being answered.
type question struct {
	method string
	path   []string // its parts
	body   []byte
	now    entry.Millis
}

// is reports whether a question has a method and a path, in which * stands for
// any one part.
func (q question) is(method, path string) bool {
	parts := strings.Split(path, "/")
	if q.method != method || len(parts) != len(q.path) {
		return false
	}
	for i, p := range parts {
		if p != "*" && p != q.path[i] {
			return false
		}
	}
	return true
}

// read reads the body strictly.
func (q question) read(into any) error {
	if len(q.body) > bodyMost {
		return no(answer.StatusUnreadable, answer.Unreadable, "engine.too_large", "most", strconv.Itoa(bodyMost>>20))
	}
	if err := answer.Read(bytes.NewReader(q.body), into); err != nil {
		return no(answer.StatusUnreadable, answer.Unreadable, "web.unreadable", "why", answer.Plain(err))
	}
	return nil
}

// problem is a no of the room itself.
type problem struct {
	status int
	kind   answer.Kind
	say    rules.Say
}

func (p *problem) Error() string { return p.say.Key }

func no(status int, k answer.Kind, key string, pairs ...string) error {
	return &problem{status, k, rules.Say{Key: key, Args: rules.Pairs(pairs...)}}
}

// missing says that something is not there.
func missing(key string, pairs ...string) error {
	return no(answer.StatusMissing, answer.Missing, key, pairs...)
}

// refused says why something cannot be done.
func refused(key string, pairs ...string) error {
	return no(answer.StatusRefused, answer.Refused, key, pairs...)
}

func refusal(err error) (status int, text []byte) {
	words := locale.English()
	var p answer.Problem
	var own *problem
	if errors.As(err, &own) {
		p = answer.NewProblem(words, own.status, own.kind, words.Text(own.say.Key, own.say.Args))
	} else {
		p, _ = answer.Why(words, err)
	}
	text, err = json.Marshal(p)
	if err != nil {
		panic(err) // strings and numbers can always be written
	}
	return p.Status, text
}

// answer answers a question.
func (r *Room) answer(q question) (any, error) {
	if q.path[0] == "practice" {
		return r.practice(q)
	}
	switch {
	case q.is("GET", "time"):
		return answer.Time{Received: q.now, Sent: q.now}, nil
	case q.is("GET", "codes"):
		return answer.AllCodes(), nil
	case q.is("GET", "divisions"):
		return answer.AllDivisions(), nil
	}
	if q.is("POST", "fold") {
		return fold(q)
	}
	if r.play == nil {
		return nil, missing("engine.not_begun")
	}
	return r.play.game(q)
}

// practice answers what only practice asks.
func (r *Room) practice(q question) (any, error) {
	switch {
	case q.is("GET", "practice/scripts"):
		return r.scripts()
	case q.is("POST", "practice/scripts"):
		return r.add(q)
	case q.is("POST", "practice/scripts/made"):
		return r.make(q)
	case q.is("POST", "practice/begin"):
		return r.begin(q)
	case q.is("POST", "practice/codes"):
		return readCodes(q)
	case q.is("POST", "practice/today"):
		return today(q)
	case q.is("POST", "practice/everybody"):
		return everybody(q)
	case r.play == nil:
		return nil, missing("engine.not_begun")
	}
	return r.play.practice(q)
}
