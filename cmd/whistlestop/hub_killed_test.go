package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/postgres"
	"whistlestop/internal/outbox"
	"whistlestop/internal/outbox/overhttp"
	"whistlestop/internal/proof/seeds"
)

// A hub's process is killed (-9) while games are on: benches and families go on at the
// other one, which stands in their list of addresses, and nothing that was acknowledged is
// lost. WHISTLESTOP_LIVE_GAMES, WHISTLESTOP_LIVE_FOLLOWERS and WHISTLESTOP_LIVE_SECONDS ask
// for more games, families and time; each game has an entry every ten seconds then, or more
// often where there are few. What was measured is logged.
func TestAHubIsKilledUnderGames(t *testing.T) {
	t.Parallel() // it waits most of its time
	games, followers := int(seeds.Number(t, "WHISTLESTOP_LIVE_GAMES", 6)), int(seeds.Number(t, "WHISTLESTOP_LIVE_FOLLOWERS", 12))
	seconds := time.Duration(seeds.Number(t, "WHISTLESTOP_LIVE_SECONDS", 6)) * time.Second
	n := newNight(t, games)
	ctx, cancel := context.WithTimeout(t.Context(), seconds+10*time.Minute) // for what hangs
	defer cancel()
	playing, whistle := context.WithCancel(ctx)
	defer whistle()
	var benches, families sync.WaitGroup
	for _, b := range n.benches {
		benches.Go(func() {
			n.play(ctx, playing, b, max(time.Second, min(10*time.Second, time.Duration(games)*20*time.Millisecond)))
		})
	}
	watching, home := context.WithCancel(ctx)
	defer home()
	for i := range followers {
		families.Go(func() { n.watch(watching, i) })
	}
	n.waits(ctx, func() bool { return n.seen(time.Time{}) == followers })
	time.Sleep(seconds / 2)
	killed := time.Now()
	if err := n.hubs[0].Process.Kill(); err != nil {
		t.Fatal(err)
	}
	n.waits(ctx, func() bool { return n.acked(killed) == games })
	again := time.Since(killed)
	n.waits(ctx, func() bool { return n.seen(killed) == followers })
	back := time.Since(killed)
	time.Sleep(seconds / 2)
	whistle()
	benches.Wait()
	n.waits(ctx, func() bool { return n.shown() })
	home()
	families.Wait()
	lost, all := n.lost()
	t.Logf("%d games, %d families, %d entries acknowledged, %d lost; after the kill: every bench had an answer again in %v, every family was shown an entry made since in %v",
		games, followers, all, lost, again.Round(time.Millisecond), back.Round(time.Millisecond))
	t.Logf("answer to a bench: %s; from a bench's post to a family: %s", spread(n.answers), spread(n.ways))
	if lost > 0 {
		t.Errorf("%d acknowledged entries are lost", lost)
	}
}

// night is games, two hubs over one database as processes of their own, and families.
type night struct {
	t         *testing.T
	store     *postgres.Store
	id        string
	hubs      []*exec.Cmd
	addresses []string
	bench     string // secret of the benches
	team      string // of the families' link
	benches   []*nightBench

	mutex   sync.Mutex
	answers []time.Duration
	ways    []time.Duration
	last    map[int]time.Time // by family: when the newest entry that it was shown was posted
	has     map[int]int       // by family: number of that entry
}

type nightBench struct {
	game   string
	epoch  int
	ledger []entry.Entry

	mutex  sync.Mutex
	posted map[int]time.Time // by entry: when it was sent first
	sent   int               // acknowledged
	at     time.Time         // when that was
}

const nightTeam = "Kelp Bay"

func newNight(t *testing.T, games int) *night {
	c := ownPostgres(t)
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	nodes, keys := threeNodes(t)
	n := &night{t: t, last: map[int]time.Time{}, has: map[int]int{}}
	for range 2 {
		cmd := exec.Command(os.Args[0], "hub", "--postgres", c.URL(hubApp, "hub"), "--nats", nodes, "--nats-keys", keys, "--listen", "127.0.0.1:0", "--name", "Harbour League")
		cmd.Env = append(os.Environ(), runAsProgram+"=1")
		out, err := cmd.StdoutPipe()
		if err == nil {
			err = cmd.Start()
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _, _ = cmd.Process.Kill(), cmd.Wait() })
		said := bufio.NewReader(out)
		for {
			line, err := said.ReadString('\n')
			if err != nil {
				t.Fatal(line, err)
			}
			if address, is := strings.CutPrefix(strings.TrimSpace(line), "hub "); is {
				n.addresses = append(n.addresses, strings.TrimRight(address, "/"))
				break
			}
		}
		go func() { _, _ = io.Copy(io.Discard, said) }()
		n.hubs = append(n.hubs, cmd)
	}
	var err error
	if n.store, err = postgres.Open(t.Context(), c.URL(hubApp, "hub")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = n.store.Close() })
	all, err := n.store.Associations(t.Context())
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	n.id = all[0].ID
	desk := office.New(n.store, n.id, office.Now, rand.Reader)
	if n.bench, _, err = desk.Issue(t.Context(), office.Bench, "Saltworks Arena", office.BenchLasts, office.By{Who: "test"}); err != nil {
		t.Fatal(err)
	}
	if n.team, _, err = desk.Issue(t.Context(), office.Team, nightTeam, office.TeamLasts, office.By{Who: "test"}); err != nil {
		t.Fatal(err)
	}
	division, err := json.Marshal(rulebook.Divisions()[0])
	if err != nil {
		t.Fatal(err)
	}
	for i := range games {
		b := &nightBench{game: fmt.Sprintf("01JD0000000000000000GA%04d", i), posted: map[int]time.Time{}}
		n.enter(b, entry.GameOpened{Division: division, Home: entry.Team{Name: nightTeam}, Visitors: entry.Team{Name: "Millrace"}})
		n.benches = append(n.benches, b)
	}
	return n
}

// enter puts an entry on a bench's own disk.
func (n *night) enter(b *nightBench, body entry.Body) {
	e := entry.Entry{ID: "01JD" + b.game[20:] + fmt.Sprintf("%016d", len(b.ledger)), Game: b.game, Seq: len(b.ledger) + 1, Wall: wallNow(), Seat: entry.Solo, Body: body}
	if len(b.ledger) > 0 {
		prev, err := b.ledger[len(b.ledger)-1].Hash()
		if err != nil {
			n.t.Error(err)
		}
		e.Prev = prev
	}
	b.mutex.Lock()
	b.posted[e.Seq] = time.Now()
	b.mutex.Unlock()
	b.ledger = append(b.ledger, e)
}

// timed measures how long answers to what is sent take.
type timed struct {
	outbox.Client
	n *night
}

// Ask asks.
func (c timed) Ask(ctx context.Context, q outbox.Question) (outbox.Answer, error) {
	began := time.Now()
	answer, err := c.Client.Ask(ctx, q)
	if err == nil && q.Method == http.MethodPost && answer.Status == http.StatusOK {
		c.n.mutex.Lock()
		c.n.answers = append(c.n.answers, time.Since(began))
		c.n.mutex.Unlock()
	}
	return answer, err
}

// play enters and sends, to the next hub of the list where one does not answer, until the
// games are over and everything is sent.
func (n *night) play(ctx, playing context.Context, b *nightBench, every time.Duration) {
	hub := int(b.game[len(b.game)-1]) % len(n.addresses)
	client := timed{overhttp.New(), n}
	for tries := 0; ; {
		link := outbox.Link{Hub: n.addresses[hub], Secret: n.bench}
		done, err := outbox.SendOnce(ctx, link, client, office.Now, b.epoch, b.ledger)
		if err != nil {
			if tries++; ctx.Err() != nil || tries > 1000 {
				n.t.Errorf("game %s was not sent: %v", b.game, err)
				return
			}
			hub = (hub + 1) % len(n.addresses)
			time.Sleep(100*time.Millisecond + time.Duration(tries%10)*50*time.Millisecond)
			continue
		}
		b.epoch, tries = done.Epoch, 0
		b.mutex.Lock()
		b.sent, b.at = done.Sent, time.Now()
		b.mutex.Unlock()
		select {
		case <-playing.Done():
			if done.Sent == len(b.ledger) {
				return
			}
		case <-time.After(every):
			n.enter(b, entry.Shots{Side: entry.Home, Count: 1})
		}
	}
}

// watch follows a game, at the next hub of the list where one ends.
func (n *night) watch(ctx context.Context, family int) {
	b := n.benches[family%len(n.benches)]
	from := &net.Dialer{LocalAddr: &net.TCPAddr{IP: net.IPv4(127, 9, byte(family/50/250), byte(1+family/50%250))}} // 60 a minute are let by one address
	client := &http.Client{Transport: &http.Transport{DialContext: from.DialContext, DisableCompression: true}}
	for hub := family; ctx.Err() == nil; hub++ {
		if err := n.stream(ctx, client, n.addresses[hub%len(n.addresses)], family, b); err != nil && ctx.Err() == nil {
			time.Sleep(500 * time.Millisecond)
		}
	}
}

func (n *night) stream(ctx context.Context, client *http.Client, hub string, family int, b *nightBench) (err error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, hub+"/v1/follow/"+n.team+"/games/"+b.game+"/stream", nil)
	if err != nil {
		return err
	}
	answer, err := client.Do(request)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, answer.Body.Close()) }()
	if answer.StatusCode != http.StatusOK {
		return errors.New(answer.Status)
	}
	lines := bufio.NewReaderSize(answer.Body, 4096)
	for {
		line, long, err := lines.ReadLine()
		if err != nil {
			return err
		}
		id, is := strings.CutPrefix(string(line), "id: ")
		for long && err == nil {
			_, long, err = lines.ReadLine()
		}
		if parts := strings.Split(id, "-"); is && len(parts) == 3 {
			if seq, err := strconv.Atoi(parts[1]); err == nil {
				n.took(family, b, seq)
			}
		}
	}
}

// took notes that a family was shown an entry.
func (n *night) took(family int, b *nightBench, seq int) {
	b.mutex.Lock()
	posted := b.posted[seq]
	b.mutex.Unlock()
	n.mutex.Lock()
	defer n.mutex.Unlock()
	if n.has[family] > 0 && seq == n.has[family]+1 { // not what a family is shown that comes
		n.ways = append(n.ways, time.Since(posted))
	}
	n.has[family], n.last[family] = seq, posted
}

// seen is how many families were shown an entry that was made after an instant.
func (n *night) seen(since time.Time) (count int) {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	for _, at := range n.last {
		if at.After(since) {
			count++
		}
	}
	return count
}

// acked is how many benches had an answer after an instant.
func (n *night) acked(since time.Time) (count int) {
	for _, b := range n.benches {
		b.mutex.Lock()
		if b.at.After(since) {
			count++
		}
		b.mutex.Unlock()
	}
	return count
}

// shown reports whether every family sees the end of its game.
func (n *night) shown() bool {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	for family, seq := range n.has {
		if seq != len(n.benches[family%len(n.benches)].ledger) {
			return false
		}
	}
	return true
}

func (n *night) waits(ctx context.Context, until func() bool) {
	n.t.Helper()
	for !until() {
		if ctx.Err() != nil {
			n.t.Fatal("it never came")
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// lost counts the acknowledged entries that the database does not have.
func (n *night) lost() (lost, all int) {
	for _, b := range n.benches {
		lines, err := n.store.Lines(n.t.Context(), ledgers.Where{Association: n.id, Game: b.game}, 0, len(b.ledger))
		if err != nil {
			n.t.Fatal(err)
		}
		for i, e := range b.ledger[:b.sent] {
			hash, err := e.Hash()
			if err != nil {
				n.t.Fatal(err)
			}
			if all++; i >= len(lines) || lines[i].Hash != hash {
				lost++
			}
		}
	}
	return lost, all
}

// spread says what is in the middle, what one in a hundred takes, and the most.
func spread(list []time.Duration) string {
	if len(list) == 0 {
		return "nothing"
	}
	slices.Sort(list)
	at := func(part float64) time.Duration {
		return list[int(part*float64(len(list)-1))].Round(time.Millisecond / 10)
	}
	return fmt.Sprintf("%v in the middle, %v for one in a hundred, %v at most of %d", at(0.5), at(0.99), at(1), len(list))
}
