package practice

import (
	"context"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/internal/locale"
	"whistlestop/practice/script"
)

// Room is a place to practise: it knows the scripts, and holds at most one
// practice at a time. It is for one caller at a time.
type Room struct {
	added []script.Script // by the learner or the coordinator, the newest last
	play  *play           // the practice under way, or nothing
	// beside is the bench's own game beside a console, or nothing. There is never both.
	beside *table
	now    entry.Millis // what the practice's clock shows

	own      owned // of the association that wrote the site
	ownFiles Own
	played   map[string]script.Script // of the program, by id: those that were asked for

	common *api.Common
	words  *locale.Catalogue
}

// NewRoom returns a room with the scripts that come with the program.
func NewRoom() *Room {
	r := &Room{played: map[string]script.Script{}}
	r.common = &api.Common{Live: games{r}, Views: api.Everything{}, League: func(api.Words) ([]rulebook.Division, []api.BadCard) {
		return r.own.divisions, nil
	}}
	r.words = locale.English()
	return r
}

// Speak gives the room the texts of another language, which its page has read; in
// JSON, by their keys.
func (r *Room) Speak(language string, texts []byte) error {
	words, err := locale.Read(language, texts)
	if err == nil {
		r.words = words
	}
	return err
}

// roomOf is the room that a call is about.
func roomOf(c *api.Call) *Room { return c.Live.(games).room }

// playOf is the practice under way that a call is about.
func playOf(c *api.Call) *play { return roomOf(c).play }

// bodyMost is the most bytes that a question may have: the ledger of a long game
// stays below it.
const bodyMost = 16 << 20

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
			status, text = r.problem(fmt.Errorf("%s %s: %v", method, path, caught))
		}
	}()
	r.now = min(max(now, earliest), latest)
	if t := r.table(); t != nil {
		r.now = t.clock.tell(r.now)
	}
	path, query, _ := strings.Cut(path, "?")
	path = "/api/" + strings.Trim(path, "/")
	for _, list := range [][]api.Operation{rows, api.Operations()} {
		for i := range list {
			if part, fits := list[i].Fits(path); fits && list[i].Method == method {
				return r.answer(&list[i], part, query, body)
			}
		}
	}
	if r.table() == nil {
		return r.problem(api.NotThere("engine.not_begun"))
	}
	return r.problem(api.NotThere("engine.no_question"))
}

// answer answers a question that an operation is for.
func (r *Room) answer(o *api.Operation, part func(string) string, query string, body []byte) (status int, text []byte) {
	if o.Game && (r.table() == nil || o.Practice && r.play == nil) {
		return r.problem(api.NotThere("engine.not_begun"))
	}
	status, file, err := o.Run(&api.Call{
		Context: context.Background(), Caller: r.learner(), Common: r.common, Words: r.words, Now: r.now, Part: part,
		Query: func(name string) string { return valueOf(query, name) },
		Body: func() ([]byte, error) {
			if len(body) > bodyMost {
				return nil, api.Unread("engine.too_large", "most", strconv.Itoa(bodyMost>>20))
			}
			return body, nil
		},
	})
	if err != nil {
		return r.problem(err)
	}
	return status, file.Raw
}

// valueOf finds a value in a query. Only numbers and plain words are asked with,
// which are written as they are.
func valueOf(query, name string) string {
	for query != "" {
		var one string
		one, query, _ = strings.Cut(query, "&")
		if value, found := strings.CutPrefix(one, name+"="); found {
			return value
		}
	}
	return ""
}

func (r *Room) problem(err error) (status int, text []byte) {
	p, _ := api.Why(r.words, err)
	text, err = json.Marshal(p)
	if err != nil {
		panic(err) // strings and numbers can always be written
	}
	return p.Status, text
}
