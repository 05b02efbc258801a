package outbox

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// shelf is the ledgers of a bench in memory.
type shelf struct {
	mutex sync.Mutex
	games map[string][]entry.Entry
	reads int
}

func (s *shelf) Load(_ context.Context, game string) ([]entry.Entry, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.reads++
	return s.games[game], nil
}

func (s *shelf) Ends(context.Context) (map[string]int, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	ends := map[string]int{}
	for game, ledger := range s.games {
		ends[game] = len(ledger)
	}
	return ends, nil
}

// enter puts entries at the end of a game and returns them.
func (s *shelf) enter(game string, count int) []entry.Entry {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	ledger := s.games[game]
	for range count {
		e := entry.Entry{
			ID: fmt.Sprintf("01JD%s%012d", game[16:], len(ledger)+1), Game: game, Seq: len(ledger) + 1, Wall: 1_700_000_000_000, Seat: entry.Solo,
			Body: entry.Note{Text: "Maren Ashbeck is hurt."},
		}
		if len(ledger) > 0 {
			e.Prev, _ = ledger[len(ledger)-1].Hash()
		}
		ledger = append(ledger[:len(ledger):len(ledger)], e)
	}
	s.games[game] = ledger
	return ledger[len(ledger)-count:]
}

// counter is a hub of a few lines: it takes what follows, in any order of games.
type counter struct {
	mutex    sync.Mutex
	lines    map[string][]string // hashes
	bytes    bytes.Buffer        // all that came
	asked    []time.Time
	heads    int
	answer   func(r *http.Request) *http.Response // in place of its own; nil: none
	afterAll func(r *http.Request) error          // after it was taken; nil: the answer arrives
	names    func(r *http.Request) *http.Response // answers names; nil: none come
	says     func(head) head                      // what it says of where a game ends; nil: where it does
}

func response(status int, value any) *http.Response {
	raw, err := json.Marshal(value)
	if err != nil {
		panic(err) // of a test's own values
	}
	return &http.Response{StatusCode: status, Status: fmt.Sprint(status), Header: http.Header{}, Body: io.NopCloser(bytes.NewReader(raw))}
}

func problemOf(status int, kind string) *http.Response {
	return response(status, refusal{Status: status, Type: "urn:whistlestop:problem:" + kind, Detail: "no"})
}

func (c *counter) RoundTrip(r *http.Request) (*http.Response, error) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.asked = append(c.asked, time.Now())
	if c.answer != nil {
		if got := c.answer(r); got != nil {
			return got, nil
		}
	}
	if c.names != nil {
		if got := c.names(r); got != nil {
			return got, nil
		}
	}
	game := strings.Split(r.URL.Path, "/")[3]
	if r.Method == http.MethodGet {
		c.heads++
		return response(200, c.head(game)), nil
	}
	raw, err := io.ReadAll(r.Body)
	if err != nil {
		return nil, err
	}
	c.bytes.Write(raw)
	for line := range bytes.SplitSeq(bytes.TrimSpace(raw), []byte("\n")) {
		e, err := entry.ReadLine(line)
		if err != nil || e.Seq > len(c.lines[game])+1 {
			return nil, fmt.Errorf("entry %d after %d: %w", e.Seq, len(c.lines[game]), err)
		}
		hash, err := e.Hash()
		if err != nil {
			return nil, err
		}
		c.lines[game] = append(c.lines[game][:e.Seq-1], hash)
	}
	if c.afterAll != nil {
		if err := c.afterAll(r); err != nil {
			return nil, err
		}
	}
	return response(200, c.head(game)), nil
}

// Ask carries a question to it as HTTP does.
func (c *counter) Ask(ctx context.Context, q Question) (Answer, error) {
	r, err := http.NewRequestWithContext(ctx, q.Method, q.Address, bytes.NewReader(q.Body))
	if err != nil {
		return Answer{}, err
	}
	got, err := c.RoundTrip(r)
	if err != nil {
		return Answer{}, err
	}
	raw, err := io.ReadAll(got.Body)
	return Answer{Status: got.StatusCode, RetryAfter: got.Header.Get("Retry-After"), Body: raw}, err
}

// questions is how often it was asked in all, and for a head.
func (c *counter) questions() (all, heads int) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return len(c.asked), c.heads
}

// count is how often the ledgers were read.
func (s *shelf) count() int {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.reads
}

func (c *counter) head(game string) head {
	h := head{Epoch: 1, Seq: len(c.lines[game])}
	if h.Seq > 0 {
		h.Hash = c.lines[game][h.Seq-1]
	}
	if c.says != nil {
		h = c.says(h)
	}
	return h
}

func (c *counter) count(game string) int {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return len(c.lines[game])
}

const one, two = "01JD0000000000000000GAME01", "01JD0000000000000000GAME02"

func begin(t *testing.T, s *shelf, c *counter) *Outbox {
	t.Helper()
	o := New(Config{
		Ledgers: s, Link: Link{Hub: "https://hub.example", Secret: "secret"}, Logger: slog.New(slog.DiscardHandler),
		Now: func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }, Client: c,
	})
	t.Cleanup(o.Close)
	return o
}

func TestWhatIsEnteredIsSent(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		s.enter(one, 3)
		s.enter(two, 700) // more than one request takes
		o := begin(t, s, c)
		synctest.Wait()
		if c.count(one) != 3 || c.count(two) != 700 || o.State().State != "up_to_date" {
			t.Fatalf("%d and %d, %+v", c.count(one), c.count(two), o.State())
		}
		reads, heads := 0, 0
		for i := range 5 {
			o.Moved(one, s.enter(one, 2))
			synctest.Wait()
			if c.count(one) != 5+2*i {
				t.Fatalf("%d of %d", c.count(one), 5+2*i)
			}
			if i == 0 {
				reads = s.count()
				_, heads = c.questions()
			}
		}
		// A game that is on is not read again for each entry, nor is the hub asked again.
		if _, now := c.questions(); s.count() != reads || now != heads {
			t.Errorf("%d reads and %d questions more", s.count()-reads, now-heads)
		}
		// What came in by another way is found.
		s.enter(two, 1)
		time.Sleep(lookEvery + time.Second)
		synctest.Wait()
		if c.count(two) != 701 {
			t.Errorf("%d", c.count(two))
		}
		c.mutex.Lock()
		defer c.mutex.Unlock()
		if strings.Contains(c.bytes.String(), "Maren") {
			t.Error("a name went out")
		}
	})
}

// A hub that is away for days is asked now and then, and gets everything after it.
// A hub is restored from a copy that lacks what came in later. The bench notices by
// itself, also of games that are over, and sends it.
func TestAHubThatWasRestored(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		s.enter(one, 3)
		s.enter(two, 5)
		o := begin(t, s, c)
		synctest.Wait()
		for _, kept := range []map[string]int{{one: 3, two: 2}, {one: 0, two: 0}, {one: 1, two: 5}} {
			c.mutex.Lock()
			for game, n := range kept {
				c.lines[game] = c.lines[game][:n]
			}
			c.mutex.Unlock()
			time.Sleep(2*lookEvery + time.Second) // each of the two games in its turn
			synctest.Wait()
			if c.count(one) != 3 || c.count(two) != 5 || o.State().State != "up_to_date" {
				t.Errorf("of a hub that kept %v: %d and %d, %+v", kept, c.count(one), c.count(two), o.State())
			}
		}
		asked, _ := c.questions()
		time.Sleep(10 * lookEvery)
		synctest.Wait()
		if now, _ := c.questions(); now > asked+11 {
			t.Errorf("%d questions in the time of ten", now-asked)
		}
	})
}

func TestDaysWithoutAHub(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		away := true
		c.answer = func(*http.Request) *http.Response {
			if away {
				return &http.Response{StatusCode: 502, Status: "502", Header: http.Header{}, Body: http.NoBody}
			}
			return nil
		}
		o := begin(t, s, c)
		for range 4 {
			o.Moved(one, s.enter(one, 2))
			time.Sleep(24 * time.Hour)
		}
		synctest.Wait()
		if state := o.State(); state.State != "behind" || state.Say.Key != "hubcopy.away" || state.Behind != 4*2 {
			t.Errorf("%+v", state)
		}
		c.mutex.Lock()
		shortest, longest := time.Hour, time.Duration(0)
		for i := 10; i < len(c.asked); i++ {
			gap := c.asked[i].Sub(c.asked[i-1])
			shortest, longest = min(shortest, gap), max(longest, gap)
		}
		c.mutex.Unlock()
		if shortest < waitLeast || longest > waitMost+waitLeast || longest < waitMost/2 {
			t.Errorf("it was asked every %v to %v", shortest, longest)
		}
		c.mutex.Lock()
		away = false
		c.mutex.Unlock()
		time.Sleep(waitMost + waitLeast)
		synctest.Wait()
		if c.count(one) != 4*2 || o.State().State != "up_to_date" {
			t.Errorf("%d, %+v", c.count(one), o.State())
		}
	})
}

// An answer that is lost makes nothing twice.
func TestALostAnswer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		lose := 1
		c.afterAll = func(*http.Request) error {
			if lose--; lose >= 0 {
				return errors.New("the connection was lost")
			}
			return nil
		}
		s.enter(one, 9)
		o := begin(t, s, c)
		time.Sleep(10 * time.Minute)
		synctest.Wait()
		if c.count(one) != 9 || o.State().State != "up_to_date" || lose > 0 {
			t.Errorf("%d, %+v", c.count(one), o.State())
		}
	})
}

func TestWhatTheHubDoesNotTakeHoldsUpNothingElse(t *testing.T) {
	for kind, want := range map[string]struct {
		status int
		state  string
		key    string
	}{
		"refused": {422, "failing", "hubcopy.refused"}, "fenced": {409, "failing", "hubcopy.fenced"},
	} {
		t.Run(kind, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
				c.answer = func(r *http.Request) *http.Response {
					if r.Method == http.MethodPost && strings.Contains(r.URL.Path, one) {
						return problemOf(want.status, kind)
					}
					return nil
				}
				s.enter(one, 2)
				s.enter(two, 2)
				o := begin(t, s, c)
				time.Sleep(time.Minute)
				synctest.Wait()
				if state := o.State(); c.count(two) != 2 || state.State != want.state || state.Say.Key != want.key {
					t.Errorf("%d, %+v", c.count(two), state)
				}
				asked, _ := c.questions()
				time.Sleep(10 * time.Second)
				synctest.Wait()
				if now, _ := c.questions(); now > asked+2 {
					t.Errorf("it was asked %d times more", now-asked)
				}
			})
		})
	}
}

func TestABenchThatWasTakenOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		c.answer = func(*http.Request) *http.Response { return problemOf(401, "not_here") }
		s.enter(one, 2)
		o := begin(t, s, c)
		time.Sleep(time.Hour)
		synctest.Wait()
		asked, _ := c.questions()
		if state := o.State(); state.State != "failing" || state.Say.Key != "hubcopy.ended" || asked > 14 {
			t.Errorf("%+v, asked %d times", state, asked)
		}
	})
}

// paper is a file in memory.
type paper struct{ content []byte }

func (p *paper) Read() ([]byte, error) { return p.content, nil }

func (p *paper) Write(content []byte) error {
	p.content = bytes.Clone(content)
	return nil
}

// A bench is paired while it runs, goes on after a restart, and sends nothing once the
// pairing ended. A hub that does not know the link, or does not answer, changes nothing.
func TestPairing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, c := &shelf{games: map[string][]entry.Entry{}}, &counter{lines: map[string][]string{}}
		s.enter(one, 3)
		file := &paper{}
		config := Config{Ledgers: s, Client: c, Logger: slog.New(slog.DiscardHandler), Now: func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }}
		p := Open(config, file)
		p.Moved(one, nil)
		if _, is := p.State(); is {
			t.Fatal("paired with a hub that nobody named")
		}
		who := func(r *http.Request) *http.Response {
			if strings.HasSuffix(r.URL.Path, "/bench") {
				return response(200, map[string]string{"association": "Harbour League"})
			}
			return nil
		}
		for _, fault := range []struct {
			answer func(*http.Request) *http.Response
			link   string
			says   string
		}{
			{who, "https://hub.example/other#abc", "hubcopy.bad_link"},
			{func(*http.Request) *http.Response { return problemOf(401, "not_here") }, "https://hub.example/pair#abc", "hubcopy.unknown_link"},
			{func(*http.Request) *http.Response { return &http.Response{StatusCode: 502, Body: http.NoBody} }, "https://hub.example/pair#abc", "hubcopy.not_paired"},
		} {
			c.answer = fault.answer
			if _, err := p.Pair(t.Context(), fault.link); message.Of(err).Key != fault.says {
				t.Errorf("%s: %v", fault.says, err)
			}
			if _, is := p.State(); is || len(file.content) > 0 {
				t.Errorf("%s: something changed: %s", fault.says, file.content)
			}
		}
		c.answer = who
		if name, err := p.Pair(t.Context(), "https://hub.example/pair#abc"); err != nil || name != "Harbour League" {
			t.Fatal(name, err)
		}
		synctest.Wait()
		if c.count(one) != 3 {
			t.Errorf("%d entries were sent", c.count(one))
		}
		p.Close()
		s.enter(one, 2)
		again := Open(config, file)
		synctest.Wait()
		if state, is := again.State(); !is || state.State != "up_to_date" || c.count(one) != 5 {
			t.Errorf("after a restart: %+v, %d entries", state, c.count(one))
		}
		if err := again.Leave(); err != nil {
			t.Fatal(err)
		}
		again.Moved(one, s.enter(one, 1))
		synctest.Wait()
		if _, is := again.State(); is || c.count(one) != 5 {
			t.Errorf("after the end %d entries", c.count(one))
		}
		if third := Open(config, file); third.now() != nil {
			t.Error("paired again after the end")
		}
	})
}

func TestLinks(t *testing.T) {
	for text, want := range map[string]string{
		"https://hub.example/pair#abc":         "https://hub.example/pair#abc",
		" https://hub.example:8490/pair#abc\n": "https://hub.example:8490/pair#abc",
		"http://127.0.0.1:8490/pair#abc":       "http://127.0.0.1:8490/pair#abc",
		"http://192.168.1.4:8490/pair#abc":     "http://192.168.1.4:8490/pair#abc",
		"http://hub.example/pair#abc":          "", // in clear, over the internet
		"http://203.0.113.7/pair#abc":          "",
		"https://hub.example/pair":             "",
		"https://hub.example/follow/abc":       "",
		"https://a:b@hub.example/pair#abc":     "",
		"ftp://hub.example/pair#abc":           "",
		"":                                     "",
	} {
		link, err := ParseLink(text)
		if got := ""; err == nil {
			if got = link.String(); got != want {
				t.Errorf("%q: %q, want %q", text, got, want)
			}
		} else if want != "" {
			t.Errorf("%q: %v", text, err)
		}
	}
}
