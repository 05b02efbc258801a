package outbox

import (
	"bytes"
	"io"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
)

// listed puts a roster at the end of a game; the names of its players lie beside it.
func (s *shelf) listed(game string, names ...string) []entry.Entry {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	ledger := s.games[game]
	team := entry.Team{Name: "Kelp Bay", Staff: []entry.Official{{Role: entry.HeadCoach, Name: "Kim Saltmarsh"}}}
	for i, name := range names {
		team.Players = append(team.Players, entry.Player{Number: entry.Jersey(rune('1' + i)), Name: name})
	}
	e := entry.KeepApart(entry.Entry{
		ID: "01JDROSTER00000000000000" + string(rune('A'+len(ledger)/10)) + string(rune('A'+len(ledger)%10)), Game: game, Seq: len(ledger) + 1, Wall: 1_700_000_000_000,
		Seat: entry.Solo, Body: entry.RosterSet{Side: entry.Home, Team: team},
	}, func(text string) []byte { return bytes.Repeat([]byte{byte(len(text))}, entry.RandomBytes) })
	if len(ledger) > 0 {
		e.Prev, _ = ledger[len(ledger)-1].Hash()
	}
	s.games[game] = append(ledger[:len(ledger):len(ledger)], e)
	return []entry.Entry{e}
}

// A hub that asks for names is sent those of players, once, again when there are others,
// and without what was taken out; one that does not ask is sent none.
func TestNamesGoWhereTheyAreAskedFor(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		var puts []string
		wanted, refuses, has := false, false, ""
		c.names = func(r *http.Request) *http.Response {
			if r.Method != http.MethodPut {
				return nil
			}
			raw, err := io.ReadAll(r.Body)
			if err != nil {
				t.Error(err)
			}
			puts = append(puts, string(raw))
			if refuses {
				return problemOf(422, "refused")
			}
			var names []string
			for line := range strings.Lines(string(raw)) {
				n, err := entry.ReadName([]byte(strings.TrimSuffix(line, "\n")))
				if err != nil {
					t.Error(err)
				}
				names = append(names, n.Commitment)
			}
			has = markOf(names)
			h := c.head(one)
			h.Names, h.Named = true, has
			return response(200, h)
		}
		c.says = func(h head) head {
			if h.Names = wanted; wanted {
				h.Named = has
			}
			return h
		}
		s.listed(one, "Robin Ashdown", "Alex Marlowe")
		o := begin(t, s, c)
		sent := func(want int, what string) {
			t.Helper()
			time.Sleep(3*lookEvery + time.Second)
			synctest.Wait()
			c.mutex.Lock()
			defer c.mutex.Unlock()
			if len(puts) != want {
				t.Fatalf("%s: names were sent %d times, want %d", what, len(puts), want)
			}
		}
		change := func(do func()) {
			c.mutex.Lock()
			defer c.mutex.Unlock()
			do()
		}
		sent(0, "nobody asked")
		change(func() { wanted = true })
		sent(1, "asked for")
		if !strings.Contains(puts[0], "Robin Ashdown") || !strings.Contains(puts[0], "Alex Marlowe") || strings.Contains(puts[0], "Saltmarsh") {
			t.Errorf("%q", puts[0])
		}
		o.Moved(one, s.enter(one, 1))
		sent(1, "an entry without a name")
		o.Moved(one, s.listed(one, "Robin Ashdown", "Alex Marlowe", "Sam Crayside"))
		sent(2, "another player")
		s.mutex.Lock() // taken out here: the text is gone
		for i, e := range s.games[one] {
			s.games[one][i] = entry.Know(e, func(_ entry.Text, commitment string) (entry.Name, bool) {
				for _, n := range e.Names() {
					if n.Commitment == commitment && n.Text != "Robin Ashdown" {
						return n, true
					}
				}
				return entry.Name{}, false
			})
		}
		s.mutex.Unlock()
		change(func() { has = "less" }) // the hub took it out itself
		sent(3, "taken out")
		if strings.Contains(puts[2], "Robin") || !strings.Contains(puts[2], "Sam Crayside") {
			t.Errorf("%q", puts[2])
		}
		change(func() { has, refuses = "other", true })
		sent(4, "a hub that refuses")
		if state := o.State(); state.State != "up_to_date" {
			t.Errorf("%+v", state)
		}
	})
}
