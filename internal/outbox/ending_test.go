package outbox

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
)

// sealed puts a seal at the end of a game with names beside it.
func (s *shelf) sealed(t *testing.T, game string, at entry.Millis) {
	t.Helper()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	ledger := s.games[game]
	for i, body := range []entry.Body{entry.Note{Text: "Maren Ashbeck is hurt."}, entry.Sealed{Version: 1, Head: strings.Repeat("0", 64), Key: "k", Signature: "s"}} {
		e := entry.Entry{ID: "01JD" + game[18:] + strings.Repeat("Z", 13) + string(rune('A'+len(ledger)+i)), Game: game, Seq: len(ledger) + 1, Wall: at, Seat: entry.Solo, Body: body}
		e = entry.KeepApart(e, func(string) []byte { return make([]byte, entry.RandomBytes) })
		if len(ledger) > 0 {
			e.Prev, _ = ledger[len(ledger)-1].Hash()
		}
		ledger = append(ledger[:len(ledger):len(ledger)], e)
	}
	s.games[game] = ledger
}

// nameless takes the texts out that lie beside a game, as a bench does.
func (s *shelf) nameless(game string) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	ledger := append([]entry.Entry(nil), s.games[game]...)
	for i := range ledger {
		apart := append([]entry.Kept(nil), ledger[i].Apart...)
		for n := range apart {
			apart[n].Random = ""
		}
		if apart != nil {
			ledger[i].Apart = apart
		}
	}
	s.games[game] = ledger
}

// ending is a bench whose hub says that names end, with a clock of each.
type ending struct {
	*testing.T
	s     *shelf
	c     *counter
	p     *Pairing
	file  *paper
	mutex sync.Mutex
	says  bool
	ahead [2]time.Duration // by which the clocks of hub and bench are ahead of the true time
	ended []string
	fails bool
}

const day = 24 * time.Hour

func newEnding(t *testing.T) *ending {
	e := &ending{T: t, s: &shelf{games: map[string][]entry.Entry{}}, c: &counter{lines: map[string][]string{}}, file: &paper{}, says: true}
	e.c.says = func(at head) head {
		if at.NamesEnd = e.says; e.says {
			at.Now = entry.Millis(time.Now().Add(e.ahead[0]).UnixMilli())
		}
		return at
	}
	return e
}

func (e *ending) now() entry.Millis {
	e.mutex.Lock()
	defer e.mutex.Unlock()
	return entry.Millis(time.Now().Add(e.ahead[1]).UnixMilli())
}

// start starts the bench, as after each day.
func (e *ending) start() {
	e.Helper()
	if err := Set(e.file, "https://hub.example/pair#abc"); err != nil {
		e.Fatal(err)
	}
	e.p = Open(Config{Ledgers: e.s, Client: e.c, Logger: slog.New(slog.DiscardHandler), Now: e.now}, e.file)
	e.p.EndNames(func(_ context.Context, game string) error {
		e.mutex.Lock()
		defer e.mutex.Unlock()
		if e.fails {
			return errors.New("the disk is full")
		}
		e.s.nameless(game)
		e.ended = append(e.ended, game)
		return nil
	})
	synctest.Wait()
}

// passes lets days pass; the bench is started anew on each and runs for a minute.
func (e *ending) passes(days int) {
	e.Helper()
	for range days {
		e.p.Close()
		time.Sleep(day - time.Minute)
		e.start()
		time.Sleep(time.Minute)
		synctest.Wait()
	}
}

func (e *ending) step(hub, bench time.Duration) {
	e.c.mutex.Lock()
	e.mutex.Lock()
	e.ahead = [2]time.Duration{e.ahead[0] + hub, e.ahead[1] + bench}
	e.mutex.Unlock()
	e.c.mutex.Unlock()
}

func (e *ending) say(names bool) {
	e.c.mutex.Lock()
	e.says = names
	e.c.mutex.Unlock()
}

func (e *ending) want(what string, games ...string) {
	e.Helper()
	e.mutex.Lock()
	defer e.mutex.Unlock()
	if strings.Join(e.ended, " ") != strings.Join(games, " ") {
		e.Errorf("%s: the names of %q ended, want %q", what, e.ended, games)
	}
}

// stepped plays one bench with the clocks set in some way.
func stepped(t *testing.T, play func(e *ending)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		e := newEnding(t)
		time.Sleep(100 * day) // Unix time 0 is no time of a game
		play(e)
		e.p.Close()
	})
}

func (e *ending) millis() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }

// A game that was sealed while the bench was paired has its names for thirty days.
func TestNamesEndThirtyDaysAfterTheSeal(t *testing.T) {
	stepped(t, func(e *ending) {
		e.s.sealed(t, one, e.millis())
		e.s.enter(two, 3) // is never sealed
		e.start()
		e.passes(1)

		if ends, kept, ended := e.p.NamesEnd(one); ends < e.millis()+28*86400_000 || ends > e.millis()+30*86400_000 || kept || ended {
			t.Errorf("it says %d, %v, %v", ends, kept, ended)
		}
		if ends, _, _ := e.p.NamesEnd(two); ends != 0 {
			t.Error("a game that is not sealed is to lose its names")
		}
		e.passes(28)
		e.want("on the 29th day")
		e.passes(3)
		e.want("after thirty days", one)
		if ends, _, ended := e.p.NamesEnd(one); ends != 0 || !ended {
			t.Error("it is not said that they ended")
		}
		e.passes(20)
		e.want("later", one)
	})
}

// An old game of a bench that is paired now warns for seven days.
func TestNamesOfOldGamesAreWarnedOf(t *testing.T) {
	stepped(t, func(e *ending) {
		e.s.sealed(t, one, e.millis()-86_400_000*90)
		e.start()
		e.passes(7)
		e.want("in the first seven days")
		e.passes(2)
		e.want("after seven days", one)
	})
}

// Whoever keeps them keeps them, also after a start; what failed is tried again.
func TestNamesThatAreKept(t *testing.T) {
	stepped(t, func(e *ending) {
		e.s.sealed(t, one, e.millis()-86_400_000*90)
		e.s.sealed(t, two, e.millis()-86_400_000*90)
		e.fails = true
		e.start()
		e.passes(1)
		if e.p.KeepNames(three) || !e.p.KeepNames(one) {
			t.Error("what can be kept is what was to end")
		}
		e.passes(10)
		e.want("while the disk is full")
		e.mutex.Lock()
		e.fails = false
		e.mutex.Unlock()
		e.passes(40)
		e.want("the other game", two)
		if _, kept, _ := e.p.NamesEnd(one); !kept {
			t.Error("it is forgotten that somebody keeps them")
		}
	})
}

// An association that decides otherwise is heard, and what comes anew is warned of anew.
func TestNamesStayWhereTheHubSaysSo(t *testing.T) {
	stepped(t, func(e *ending) {
		e.s.sealed(t, one, e.millis()-86_400_000*90)
		e.start()
		e.passes(5)
		e.say(false)
		e.passes(60)
		e.want("while names stay")
		if ends, _, _ := e.p.NamesEnd(one); ends != 0 {
			t.Error("it is still said that they end")
		}
		e.say(true)
		e.passes(6)
		e.want("within seven days anew")
		e.s.sealed(t, one, e.millis()) // corrected and sealed again
		e.passes(28)
		e.want("within thirty days of the newer seal")
		e.passes(4)
		e.want("after them", one)
	})
}

// One clock that jumps a year ahead, at the hub or at the bench, ends no names; one that is
// put back only makes them stay longer. A seal of a time to come is one of a wrong clock.
func TestNamesAndClocksThatAreSet(t *testing.T) {
	const year = 365 * day
	for name, set := range map[string][2]time.Duration{"hub ahead": {year, 0}, "bench ahead": {0, year}, "hub back": {-year, 0}, "bench back": {0, -year}} {
		t.Run(name, func(t *testing.T) {
			stepped(t, func(e *ending) {
				e.s.sealed(t, one, e.millis())
				e.start()
				e.passes(2)
				e.step(set[0], set[1])
				e.passes(20)
				e.want("after the step")
				e.step(-set[0], -set[1])
				e.passes(7)
				e.want("set right, before thirty days")
				e.passes(4)
				e.want("set right, after thirty days", one)
			})
		})
	}
	for name, set := range map[string][2]time.Duration{"hub": {-year, 0}, "bench": {0, -year}} {
		t.Run(name+" behind at first", func(t *testing.T) {
			stepped(t, func(e *ending) {
				e.s.sealed(t, one, e.millis()+entry.Millis(set[1]/time.Millisecond))
				e.step(set[0], set[1])
				e.start()
				e.passes(2)
				e.step(-set[0], -set[1])
				e.passes(4)
				e.want("within seven days")
				e.passes(30)
				e.want("after thirty days", one)
			})
		})
	}
	stepped(t, func(e *ending) {
		e.s.sealed(t, one, e.millis()+365*86_400_000)
		e.start()
		e.passes(29)
		e.want("in thirty days of what the hub knows")
		e.passes(4)
		e.want("after them", one)
	})
}

// The names at the hub are not ended by those that are not here any more.
func TestEndedNamesAreNotSentAsNone(t *testing.T) {
	stepped(t, func(e *ending) {
		e.s.sealed(t, one, e.millis()-86_400_000*90)
		before := e.c.says
		e.c.says = func(at head) head {
			at = before(at)
			at.Names, at.Named = true, "some"
			return at
		}
		sent := []string{}
		e.c.names = func(r *http.Request) *http.Response {
			if !strings.HasSuffix(r.URL.Path, "/names") {
				return nil
			}
			sent = append(sent, "names")
			return response(200, head{Names: true, Named: "some"})
		}
		e.start()
		e.passes(1)
		e.c.mutex.Lock()
		sent = sent[:0]
		e.c.mutex.Unlock()
		e.passes(20)
		e.want("after seven days", one)
		e.c.mutex.Lock()
		defer e.c.mutex.Unlock()
		after := len(sent)
		if after > 10 { // once a start, until they ended
			t.Errorf("names were sent %d times", after)
		}
		var kept Kept
		if err := json.Unmarshal(e.file.content, &kept); err != nil || !kept.Ending[one].Ended {
			t.Errorf("%+v, %v", kept.Ending, err)
		}
	})
}
