package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	mathrand "math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/demo"
	"whistlestop/internal/hub/office"
	hubstore "whistlestop/internal/hub/sqlite"
	"whistlestop/internal/proof/seeds"
)

// Games are on and families follow them: at a real game's pace, at the busiest, when all
// periods end in one second; then the hub is ended in order and started again, and killed
// (-9) and started again. Every family is shown every entry, and all come back. What that
// took of the processor and of memory is logged. WHISTLESTOP_CROWD_GAMES,
// WHISTLESTOP_CROWD_FOLLOWERS and WHISTLESTOP_CROWD_SECONDS ask for more games, families and
// time; then a bare broadcaster with as many connections is measured in the same run.
// WHISTLESTOP_CROWD_HTTP=2 has families speak HTTP/2 with both, which have a certificate then.
func TestCrowd(t *testing.T) {
	t.Run("folder", func(t *testing.T) {
		t.Parallel() // it waits most of its time
		data := t.TempDir()
		play(t, data, nil, "hub", "--name", "Harbour League", "--data", data)
	})
	t.Run("nation", func(t *testing.T) {
		t.Parallel()
		store, arguments := nation(t)
		play(t, "", store, arguments...)
	})
}

// iceNight is the games, their hubs and the crowd.
type iceNight struct {
	t       *testing.T
	seconds time.Duration
	started time.Time // when the hubs were
	count   int       // families
	hubs    []*server
	bench   string // secret
	games   []*onIce
	crowd   *crowd
	post    func(g *onIce, seq int) error
	answers spans
	client  *http.Client
	trusts  *tls.Config
	keys    string // folder of a certificate for hubs; empty: they have none
}

// onIce is a game whose lines are ready to be sent.
type onIce struct {
	number int
	id     string
	lines  [][]byte

	mutex sync.Mutex
	sent  atomic.Int64
}

// beganWith is how many entries games have when families come.
const beganWith = 40

func play(t *testing.T, folder string, store hubStore, arguments ...string) {
	e := &iceNight{
		t: t, seconds: time.Duration(seeds.Number(t, "WHISTLESTOP_CROWD_SECONDS", 1)) * time.Second,
		count:  int(seeds.Number(t, "WHISTLESTOP_CROWD_FOLLOWERS", 40)),
		client: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 1000}, Timeout: time.Minute},
	}
	e.games = e.script(int(seeds.Number(t, "WHISTLESTOP_CROWD_GAMES", 4)))
	e.post = e.send
	if os.Getenv("WHISTLESTOP_CROWD_HTTP") == "2" {
		arguments = append(arguments[:len(arguments):len(arguments)], e.certify()...)
	}
	many := 1
	if folder == "" {
		many = 2
	}
	for range many {
		e.hubs = append(e.hubs, serving(t, runAsProgram+"=1", "127.0.0.1:0", arguments...))
	}
	e.started = time.Now()
	if store == nil {
		beside, err := hubstore.OpenBeside(t.Context(), folder)
		if err != nil {
			t.Fatal(err)
		}
		store = beside
		defer func() { _ = beside.Close() }()
	}
	_, desk, secret := paired(t, store)
	e.bench = secret
	team, _, err := desk.Issue(t.Context(), office.Team, "Kelp Bay", office.TeamLasts, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	e.crowd = e.gather(func(game int) string { return "/v1/follow/" + team + "/games/" + e.games[game].id + "/stream" })
	e.all("to begin all games", beganWith)
	e.show("hub")
	length := int(e.crowd.bytes.Load() / max(1, e.crowd.states.Load()))
	e.restart("ended in order", func(s *server) error { return s.cmd.Process.Signal(syscall.SIGTERM) })
	e.restart("killed", func(s *server) error { return s.cmd.Process.Kill() })
	e.seen()
	e.crowd.leave()
	e.end()
	if folder == "" || os.Getenv("WHISTLESTOP_CROWD_FOLLOWERS") == "" {
		return
	}
	e.bare("bare broadcaster, no beats", "0s", "", length)
	e.bare("bare broadcaster, beats every 2s", "2s", "", length)
	e.bare("bare broadcaster with a row, beats every 2s", "2s", t.TempDir(), length)
}

// certify makes a certificate that families and benches trust, and returns the hub's flags.
func (e *iceNight) certify() []string {
	made := filepath.Join(e.t.TempDir(), "keys")
	must(e.t, "hub", "keys", made, "a=127.0.0.1")
	e.keys = filepath.Join(made, "a")
	authority, err := os.ReadFile(filepath.Join(e.keys, "authority.pem"))
	roots := x509.NewCertPool()
	if err != nil || !roots.AppendCertsFromPEM(authority) {
		e.t.Fatal("no authority", err)
	}
	e.trusts = &tls.Config{RootCAs: roots}
	e.client.Transport = &http.Transport{MaxIdleConnsPerHost: 1000, TLSClientConfig: e.trusts.Clone()}
	return []string{"--certificate", filepath.Join(e.keys, "certificate.pem"), "--key", filepath.Join(e.keys, "key.pem")}
}

// script writes the games.
func (e *iceNight) script(count int) (games []*onIce) {
	const most = 400
	whole := invented(e.t)
	for i := range count {
		g := &onIce{number: i, id: iceGame(i)}
		for _, one := range renamed(e.t, whole, g.id, most) {
			raw, err := one.MarshalJSON()
			if err != nil {
				e.t.Fatal(err)
			}
			g.lines = append(g.lines, append(raw, '\n'))
		}
		games = append(games, g)
	}
	return games
}

func iceGame(number int) string { return fmt.Sprintf("01JD0000000000000000GA%04d", number) }

// invented is the invented game.
func invented(t *testing.T) []entry.Entry {
	t.Helper()
	whole, err := demo.Ledger("overtime", wallNow()-3*3600_000)
	if err != nil {
		t.Fatal(err)
	}
	return whole
}

// renamed is the first entries of a game under another id, as they go to a hub, and shots when it is over.
func renamed(t *testing.T, whole []entry.Entry, game string, count int) (ledger []entry.Entry) {
	t.Helper()
	prev := ""
	for n := range count {
		one := entry.Entry{ID: fmt.Sprintf("01JD%022d", n), Wall: whole[len(whole)-1].Wall + entry.Millis(n), Seat: entry.Solo, Body: entry.Shots{Side: entry.Home, Count: 1}}
		if n < len(whole) {
			one = whole[n]
		}
		one.Game, one.Seq, one.Prev = game, n+1, prev
		one, err := entry.Withdraw(one, func(text string) []byte { return bytes.Repeat([]byte{byte(len(text))}, entry.RandomBytes) })
		if err != nil {
			t.Fatal(err)
		}
		if prev, err = one.Hash(); err != nil {
			t.Fatal(err)
		}
		ledger = append(ledger, one)
	}
	return ledger
}

func (e *iceNight) gather(path func(game int) string) *crowd {
	c := &crowd{path: path, trusts: e.trusts}
	for _, h := range e.hubs {
		c.hubs = append(c.hubs, strings.TrimPrefix(strings.TrimPrefix(h.address, "http://"), "https://"))
	}
	for range e.games {
		c.posted = append(c.posted, make([]atomic.Int64, len(e.games[0].lines)+1))
	}
	return c
}

// send posts the entries of a game up to a number.
func (e *iceNight) send(g *onIce, seq int) error {
	var err error
	for tries := range 100 {
		hub := e.hubs[(g.number+tries)%len(e.hubs)]
		url := fmt.Sprintf("%s/v1/ledgers/%s/entries?epoch=1&now=%d", hub.address, g.id, wallNow())
		var request *http.Request
		if request, err = http.NewRequestWithContext(e.t.Context(), http.MethodPost, url, bytes.NewReader(bytes.Join(g.lines[g.sent.Load():seq], nil))); err != nil {
			return err
		}
		request.Header.Set("Authorization", "Bearer "+e.bench)
		var answer *http.Response
		if answer, err = e.client.Do(request); err == nil {
			_, err = io.Copy(io.Discard, answer.Body)
			_ = answer.Body.Close()
			if err == nil && answer.StatusCode == http.StatusOK {
				return nil
			}
			err = fmt.Errorf("%s %w", answer.Status, err)
		}
		time.Sleep(time.Duration(1+tries) * 20 * time.Millisecond)
	}
	return err
}

// enter posts the next entries of a game, up to a number.
func (e *iceNight) enter(g *onIce, count int) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	seq := int(g.sent.Load()) + count
	began := time.Now()
	for n := int(g.sent.Load()) + 1; n <= seq; n++ {
		e.crowd.posted[g.number][n].Store(began.UnixNano())
	}
	if err := e.post(g, seq); err != nil {
		e.t.Errorf("game %s was not sent: %v", g.id, err)
		return
	}
	g.sent.Store(int64(seq))
	e.answers.add(time.Since(began))
}

// show lets the families come, and plays.
func (e *iceNight) show(what string) {
	bare := e.resident()
	used, began := e.used(), time.Now()
	e.crowd.come(e.count, len(e.games))
	e.back()
	e.t.Logf("%s: %d families came in %v, %v of the processor", what, e.count, time.Since(began).Round(time.Millisecond), e.used()-used)
	if e.seconds >= checkAfter/2 { // or the look at all chains falls into what is measured
		time.Sleep(time.Until(e.started.Add(checkAfter + 5*time.Second)))
	}
	e.pace(what+", nothing happens", 0, e.seconds/2)
	mean, most := e.rates()
	e.pace(what+", as games are", mean, e.seconds)
	e.t.Logf("%s: %.1f MB without families, %.1f MB with them, %.1f kB a family", what, bare/1024, e.resident()/1024, (e.resident()-bare)/float64(e.count))
	e.pace(what+", as they are at most", most, e.seconds/2)
	e.all(what+", all in one second", 1)
}

// rates is how many entries a second come in all, in the mean and at most: 17 and 100 of 500 games.
func (e *iceNight) rates() (mean, most float64) {
	games := float64(len(e.games))
	return max(1, games*17/500), max(3, games*100/500)
}

// pace has so many entries a second posted in all, at moments drawn by chance.
func (e *iceNight) pace(what string, rate float64, lasts time.Duration) {
	used, began := e.used(), time.Now()
	var posting sync.WaitGroup
	for at := time.Duration(0); ; {
		if at += time.Duration(mathrand.ExpFloat64() / max(rate, 0.001) * float64(time.Second)); at > lasts {
			break
		}
		time.Sleep(time.Until(began.Add(at)))
		g := e.games[mathrand.IntN(len(e.games))]
		posting.Go(func() { e.enter(g, 1) })
	}
	time.Sleep(time.Until(began.Add(lasts)))
	posting.Wait()
	e.seen()
	e.says(what, used, began)
}

// all has every game post within one second.
func (e *iceNight) all(what string, count int) {
	used, began := e.used(), time.Now()
	var posting sync.WaitGroup
	for i, g := range e.games {
		time.Sleep(time.Until(began.Add(time.Second * time.Duration(i) / time.Duration(len(e.games)))))
		posting.Go(func() { e.enter(g, count) })
	}
	posting.Wait()
	e.seen()
	e.says(what, used, began)
}

func (e *iceNight) says(what string, used time.Duration, began time.Time) {
	spent, took, answers := e.used()-used, time.Since(began), e.answers.take()
	e.t.Logf("%s: %d entries, %v of the processor in %v (%.2f cores, load %s); answer to a bench %s; from its post to a family %s",
		what, len(answers), spent.Round(time.Millisecond), took.Round(time.Millisecond), spent.Seconds()/took.Seconds(), load(), spread(answers), spread(e.crowd.ways.take()))
}

// restart ends the hubs and starts them again at the same addresses.
func (e *iceNight) restart(what string, end func(*server) error) {
	began := time.Now()
	for _, h := range e.hubs {
		if err := end(h); err != nil {
			e.t.Fatal(err)
		}
		_ = h.cmd.Wait() // it says so where it was killed
	}
	ended := time.Since(began)
	for i, h := range e.hubs {
		e.hubs[i] = serving(e.t, runAsProgram+"=1", strings.TrimPrefix(strings.TrimPrefix(h.address, "http://"), "https://"), h.arguments...)
	}
	up := time.Since(began)
	e.back()
	back, used := time.Since(began), e.used()
	e.t.Logf("%s: away after %v, started again after %v, all families back after %v, %d were sent away once; %v of the processor until then, %.2f cores since the start (load %s)",
		what, ended.Round(time.Millisecond), up.Round(time.Millisecond), back.Round(time.Millisecond), e.crowd.refused.Swap(0),
		used.Round(time.Millisecond), used.Seconds()/(back-ended).Seconds(), load())
	mean, _ := e.rates()
	e.pace(what+", as games are, afterwards", mean, e.seconds/2)
}

// bare does the same with a broadcaster that has nothing to work out, whose messages are as
// long; with a folder it keeps a row of each first.
func (e *iceNight) bare(what, beat, rows string, length int) {
	e.hubs = []*server{serving(e.t, fmt.Sprintf("%s=%s,%s,%s", runAsBroadcaster, beat, rows, e.keys), "")}
	e.crowd = e.gather(func(game int) string { return fmt.Sprint("/", game) })
	for _, g := range e.games {
		g.sent.Store(0)
	}
	filler := strings.Repeat("x", max(0, length-40))
	e.post = func(g *onIce, seq int) error {
		answer, err := e.client.Post(fmt.Sprint(e.hubs[0].address, "/", g.number), "text/event-stream",
			strings.NewReader(fmt.Sprintf("event: change\nid: 1-%d-bare\ndata: %s\n\n", seq, filler)))
		if err != nil {
			return err
		}
		if answer.StatusCode != http.StatusOK {
			err = errors.New(answer.Status)
		}
		return errors.Join(err, answer.Body.Close())
	}
	e.show(what)
	e.crowd.leave()
	e.end()
}

// back waits until every family is connected.
func (e *iceNight) back() { e.waits(func() bool { return e.crowd.there.Load() == int64(e.count) }) }

// seen waits until every family is shown the newest entry of its game.
func (e *iceNight) seen() {
	e.waits(func() bool {
		for _, f := range e.crowd.each {
			if f.has.Load() != e.games[f.game].sent.Load() {
				return false
			}
		}
		return true
	})
}

func (e *iceNight) waits(until func() bool) {
	e.t.Helper()
	ctx, cancel := context.WithTimeout(e.t.Context(), 5*time.Minute) // for what hangs
	defer cancel()
	for !until() {
		if ctx.Err() != nil {
			e.t.Fatal("it never came")
		}
		time.Sleep(20 * time.Millisecond)
	}
}

func (e *iceNight) end() {
	for _, h := range e.hubs {
		_, _ = h.cmd.Process.Kill(), h.cmd.Wait()
	}
}

// used is how long the hubs had a processor since they were started.
func (e *iceNight) used() (sum time.Duration) {
	for _, h := range e.hubs {
		text := h.proc("stat")
		fields := strings.Fields(text[strings.LastIndexByte(text, ')')+1:]) // from the third on, proc(5)
		for _, ticks := range fields[11:13] {                               // in the program, and in the system
			n, err := strconv.Atoi(ticks)
			if err != nil {
				e.t.Fatal(err)
			}
			sum += time.Duration(n) * (time.Second / 100)
		}
	}
	return sum
}

// resident is the memory that the hubs hold, in kB.
func (e *iceNight) resident() (sum float64) {
	for _, h := range e.hubs {
		_, after, _ := strings.Cut(h.proc("status"), "VmRSS:")
		line, _, _ := strings.Cut(after, " kB")
		n, err := strconv.Atoi(strings.TrimSpace(line))
		if err != nil {
			e.t.Fatal(err)
		}
		sum += float64(n)
	}
	return sum
}

// load is how many processes wanted a processor in the last minute.
func load() string {
	text, _ := os.ReadFile("/proc/loadavg")
	first, _, _ := strings.Cut(string(text), " ")
	return first
}

// server is a process that serves.
type server struct {
	t         *testing.T
	cmd       *exec.Cmd
	arguments []string
	address   string
}

// serving starts this binary as something and waits until it says where it is reached.
func serving(t *testing.T, as, listen string, arguments ...string) *server {
	t.Helper()
	s := &server{t: t, arguments: arguments}
	if listen != "" {
		arguments = append(arguments[:len(arguments):len(arguments)], "--listen", listen)
	}
	s.cmd = exec.Command(os.Args[0], arguments...)
	s.cmd.Env = append(os.Environ(), as)
	said := &bytes.Buffer{}
	s.cmd.Stderr = said
	out, err := s.cmd.StdoutPipe()
	if err == nil {
		err = s.cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _, _ = s.cmd.Process.Kill(), s.cmd.Wait() })
	lines := bufio.NewReader(out)
	for {
		line, err := lines.ReadString('\n')
		if err != nil {
			t.Fatal(line, err, said)
		}
		if address, is := strings.CutPrefix(strings.TrimSpace(line), "hub "); is {
			s.address = strings.TrimRight(address, "/")
			break
		}
	}
	go func() { _, _ = io.Copy(io.Discard, lines) }()
	return s
}

func (s *server) proc(file string) string {
	raw, err := os.ReadFile(fmt.Sprintf("/proc/%d/%s", s.cmd.Process.Pid, file))
	if err != nil {
		s.t.Fatal(err)
	}
	return string(raw)
}
