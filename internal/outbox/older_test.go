package outbox

import (
	"bytes"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
)

// older is a ledger of version 1 with a roster.
func (s *shelf) older(game string) {
	team := entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "7", Name: "Robin Ashdown"}}, Staff: []entry.Official{{Role: entry.HeadCoach, Name: "Kim Saltmarsh"}}}
	s.games[game] = []entry.Entry{{
		ID: "01JDROSTER00000000000000AA", Game: game, Seq: 1, Wall: 1_700_000_000_000, Seat: entry.Solo, Body: entry.RosterSet{Side: entry.Home, Team: team},
	}}
	s.enter(game, 3)
}

// Lines with names inside go out without them, unless the association of a hub takes them
// as they are; the hashes are the same. A hub that decided otherwise meanwhile is sent them
// without.
func TestOlderLinesGoOutAsTheHubTakesThem(t *testing.T) {
	for name, test := range map[string]struct{ takes, refuses, inside bool }{
		"a hub that takes none": {}, "a hub that takes them": {takes: true, inside: true}, "a hub that decided otherwise": {takes: true, refuses: true},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
				s.older(one)
				c.says = func(h head) head {
					h.Older = test.takes
					return h
				}
				refused := 0
				c.answer = func(r *http.Request) *http.Response {
					if !test.refuses || r.Method != http.MethodPost {
						return nil
					}
					raw, err := io.ReadAll(r.Body)
					if err != nil {
						t.Error(err)
					}
					if bytes.Contains(raw, []byte("Robin Ashdown")) {
						refused++
						return problemOf(statusUnread, "refused")
					}
					r.Body = io.NopCloser(bytes.NewReader(raw))
					return nil
				}
				o := begin(t, s, c)
				time.Sleep(time.Minute)
				synctest.Wait()
				if state := o.State(); state.State != "up_to_date" {
					t.Errorf("%+v", state)
				}
				c.mutex.Lock()
				defer c.mutex.Unlock()
				for _, text := range []string{"Robin Ashdown", "Kim Saltmarsh", "Maren Ashbeck"} {
					if got := bytes.Contains(c.bytes.Bytes(), []byte(text)); got != test.inside {
						t.Errorf("%s came: %v", text, got)
					}
				}
				var hashes []string
				for _, e := range s.games[one] {
					hash, err := e.Hash()
					if err != nil {
						t.Fatal(err)
					}
					hashes = append(hashes, hash)
				}
				if !slices.Equal(c.lines[one], hashes) || refused > 1 || (refused == 1) != test.refuses {
					t.Errorf("%d lines, refused %d times", len(c.lines[one]), refused)
				}
			})
		})
	}
}

// A hub whose association keeps names of older ledgers is sent the lines that have players
// in them, once; the hub names them by what stands in their places.
func TestOlderLinesGoForTheirNames(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		s.older(one)
		without, err := entry.WithoutTexts(s.games[one][0])
		if err != nil {
			t.Fatal(err)
		}
		texts, err := entry.Opened(s.games[one][0], without, entry.TextPlayer)
		if err != nil || len(texts) != 1 {
			t.Fatal(texts, err)
		}
		has, asks := "", false
		c.says = func(h head) head {
			h.Names, h.Named, h.OlderNames = true, has, asks
			return h
		}
		var puts []string
		c.names = func(r *http.Request) *http.Response {
			if r.Method != http.MethodPut {
				return nil
			}
			raw, err := io.ReadAll(r.Body)
			if err != nil {
				t.Error(err)
			}
			puts = append(puts, string(raw))
			for commitment := range texts {
				has = markOf([]string{commitment})
			}
			return response(200, c.head(one))
		}
		for _, want := range []int{0, 1, 1} { // the last is a bench that was started again
			o := begin(t, s, c)
			time.Sleep(3*lookEvery + time.Second)
			synctest.Wait()
			o.Close()
			c.mutex.Lock()
			if len(puts) != want || want == 1 && (!strings.Contains(puts[0], "Robin Ashdown") || strings.Contains(puts[0], "Maren") || strings.Count(puts[0], "\n") != 1) {
				t.Errorf("%d times, want %d: %q", len(puts), want, puts)
			}
			asks = true
			c.mutex.Unlock()
		}
	})
}
