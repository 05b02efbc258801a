package pocket

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"strconv"
	"strings"
	"time"

	"whistlestop/internal/api"
	"whistlestop/internal/locale"
)

// Answer is an answer as HTTP has them.
type Answer struct {
	Status int
	Media  string
	Name   string // under which a file is kept; empty: it is not
	Body   []byte
	Paired string // the token of the seat that the device became
	Leaves bool   // the device is no seat any more
}

// bodyMost is the most bytes that a question may have as a rule.
const bodyMost = 256 << 10

// Speak gives the bench the texts of another language, which its page has read; in
// JSON, by their keys. It is called before anything is asked.
func (b *Bench) Speak(language string, texts []byte) error {
	words, err := locale.Read(language, texts)
	if err == nil {
		b.words = words
	}
	return err
}

// Ask answers a question of the bench's own page as the server answers it, without the
// /api before the path.
func (b *Bench) Ask(method, path string, body []byte) Answer {
	if method == "POST" {
		b.own.begin()
		defer time.AfterFunc(painted, b.own.end)
	}
	return b.ask(here, method, path, body)
}

// AskFrom answers a question of another device, which may ask what its seat may.
func (b *Bench) AskFrom(d Device, method, path string, body []byte) Answer {
	who, _ := b.caller(d)
	return b.ask(who, method, path, body)
}

// ask answers a question. A fault of the program is answered as one, and the games go
// on.
func (b *Bench) ask(who api.Caller, method, path string, body []byte) (answer Answer) {
	defer func() {
		if caught := recover(); caught != nil {
			answer = b.problem(fmt.Errorf("%s %s: %v", method, path, caught))
		}
	}()
	path, query, _ := strings.Cut(path, "?")
	path = "/api/" + strings.Trim(path, "/")
	asked, err := url.ParseQuery(query)
	if err != nil {
		return b.problem(api.NotThere("web.no_api"))
	}
	for i := range b.rows {
		if part, fits := b.rows[i].Fits(path); fits && b.rows[i].Method == method && b.rows[i].Do != nil {
			return b.answer(who, &b.rows[i], part, asked, body)
		}
	}
	return b.problem(api.NotThere("web.no_api"))
}

// answer answers a question that an operation is for.
func (b *Bench) answer(who api.Caller, o *api.Operation, part func(string) string, query url.Values, body []byte) Answer {
	most := o.Most
	if most == 0 {
		most = bodyMost
	}
	c := &api.Call{
		Context: context.Background(), Caller: who, Common: b.common, Words: b.words, Now: b.live.Now(),
		Part: part, Query: query.Get,
		Body: func() ([]byte, error) {
			if len(body) > most {
				return nil, api.NewNo(api.StatusTooLarge, api.TooLarge, "engine.too_large", "most", strconv.Itoa(max(1, most>>20)))
			}
			return body, nil
		},
	}
	if err := o.Admit(c); err != nil {
		return b.problem(err)
	}
	status, file, err := o.Run(c)
	if err != nil {
		return b.problem(err)
	}
	if o.Method == "POST" {
		go b.fetchLetters(string(body)) // now, while there may be a network: the game may end without one
	}
	return Answer{Status: status, Media: file.Media, Name: file.Name, Body: file.Raw, Paired: c.Paired, Leaves: c.Leaves}
}

func (b *Bench) problem(err error) Answer {
	p, _ := api.Why(b.words, err)
	text, err := json.Marshal(p)
	if err != nil {
		panic(err) // strings and numbers can always be written
	}
	return Answer{Status: p.Status, Media: "application/problem+json", Body: text}
}
