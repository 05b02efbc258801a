package outbox

import (
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

const three = "01JD0000000000000000GAME03"

// forOne makes the hub one that takes one game by this link: only, or the first.
func (c *counter) forOne(only *string) {
	c.answer = func(r *http.Request) *http.Response {
		game := strings.Split(r.URL.Path, "/")[3]
		if *only == "" && r.Method == http.MethodPost {
			*only = game
		}
		if *only != "" && game != *only {
			return response(403, refusal{Status: 403, Type: "urn:whistlestop:problem:one_game", Detail: "no", Game: *only, Called: "Kelp Bay – Lanternside"})
		}
		return nil
	}
	c.says = func(at head) head {
		if at.OneGame = thisGame; *only == "" {
			at.OneGame = firstGame
		}
		return at
	}
}

func paired(t *testing.T, s *shelf, c *counter, file *paper) *Pairing {
	t.Helper()
	if err := Set(file, "https://hub.example/pair#abc"); err != nil {
		t.Fatal(err)
	}
	p := Open(Config{
		Ledgers: s, Client: c, Logger: slog.New(slog.DiscardHandler), Now: func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) },
	}, file)
	t.Cleanup(p.Close)
	synctest.Wait()
	return p
}

// A phone with games of other days is paired for one game: the next that is entered into
// goes, also after a start without the hub. Whoever plays another one is told in words;
// the hub is not asked again and again, and what is here stays.
func TestALinkForOneGame(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c, only := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}, ""
		c.forOne(&only)
		s.enter(one, 3)
		s.enter(two, 3)
		file := &paper{}
		p := paired(t, s, c, file)
		is := func(state, key string) {
			t.Helper()
			if got, _ := p.State(); got.State != state || got.Say.Key != key || got.Behind != 0 {
				t.Errorf("%+v, want %s %s", got, state, key)
			}
		}
		time.Sleep(time.Hour)
		synctest.Wait()
		is("behind", "hubcopy.first_game")
		if all, _ := c.questions(); only != "" || all > 2 {
			t.Fatalf("%q was sent, the hub was asked %d times", only, all)
		}
		p.Close()
		s.enter(three, 2)
		p = paired(t, s, c, file)
		is("behind", "hubcopy.others_stay")
		if only != three || c.count(three) != 2 {
			t.Fatalf("the link is for %q, %d entries", only, c.count(three))
		}
		p.Moved(three, s.enter(three, 2))
		synctest.Wait()
		if c.count(three) != 4 {
			t.Errorf("%d entries", c.count(three))
		}
		asked, _ := c.questions()
		for range 10 {
			p.Moved(one, s.enter(one, 1))
			synctest.Wait()
		}
		is("failing", "hubcopy.one_game")
		if now, _ := c.questions(); now != asked+1 || c.count(one) != 0 {
			t.Errorf("%d questions for a game that the link is not for", now-asked)
		}
		if got, err := s.Load(t.Context(), one); err != nil || len(got) != 13 {
			t.Errorf("%d entries are left, %v", len(got), err)
		}
		p.Close()
		p = paired(t, s, c, file) // and after a restart
		is("failing", "hubcopy.one_game")
		p.Close()
		// With a link for all games everything goes.
		c.mutex.Lock()
		c.answer, c.says = nil, nil
		c.mutex.Unlock()
		if err := Set(file, "https://hub.example/pair#season"); err != nil {
			t.Fatal(err)
		}
		p = Open(Config{Ledgers: s, Client: c, Logger: slog.New(slog.DiscardHandler), Now: func() entry.Millis { return 1 }}, file)
		defer p.Close()
		synctest.Wait()
		is("up_to_date", "hubcopy.up_to_date")
		if c.count(one) != 13 || c.count(two) != 3 || c.count(three) != 4 {
			t.Errorf("%d, %d and %d entries", c.count(one), c.count(two), c.count(three))
		}
	})
}

// Another device was faster with the same link: this one's game is refused, in words and
// once, also where the refusal comes with the lines.
func TestALinkForOneGameThatAnotherUsed(t *testing.T) {
	for _, sends := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			s, c, only := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}, ""
			c.forOne(&only)
			p := paired(t, s, c, &paper{})
			if sends { // between the question and the lines
				before := c.answer
				c.answer = func(r *http.Request) *http.Response {
					if r.Method == http.MethodPost {
						only = two
					}
					return before(r)
				}
			} else {
				only = two
			}
			p.Moved(one, s.enter(one, 2))
			synctest.Wait()
			asked, _ := c.questions()
			for range 5 {
				p.Moved(one, s.enter(one, 1))
				time.Sleep(time.Minute)
			}
			synctest.Wait()
			if now, _ := c.questions(); now != asked || c.count(one) != 0 || asked > 2 {
				t.Errorf("asked %d times, and %d more; %d entries", asked, now-asked, c.count(one))
			}
			if got, _ := p.State(); got.State != "failing" || got.Say.Key != "hubcopy.one_game" || !slices.ContainsFunc(got.Say.Args, func(a message.Arg) bool { return a.Text == "Kelp Bay – Lanternside" }) {
				t.Errorf("%+v", got)
			}
		})
	}
}
