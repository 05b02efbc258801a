package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/postgres/private"
	"whistlestop/internal/locale"
)

const hubApp = "whistlestop_app"

// ownPostgres is a PostgreSQL for one test, with an empty database.
func ownPostgres(t *testing.T) *private.Cluster {
	t.Helper()
	c, err := private.Start(t.Context())
	if errors.Is(err, private.ErrNoPrograms) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := c.Stop(); err != nil {
			t.Error(err)
		}
	})
	if err := c.Make(t.Context(), "hub", ""); err != nil {
		t.Fatal(err)
	}
	return c
}

// postShot lets a bench take one more entry.
func postShot(t *testing.T, bench *Program, game string, number int) {
	t.Helper()
	shot, err := entry.Entry{
		ID: fmt.Sprintf("01JD0000000000000000HUB%03d", number), Game: game, Wall: entry.Millis(time.Now().UnixMilli()),
		Seat: entry.Solo, Body: entry.Shots{Side: entry.Home, Count: 1},
	}.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.Post("http://"+bench.address.String()+"/api/games/"+game+"/entries", "application/json",
		strings.NewReader(`{"entries":[`+string(shot)+`]}`))
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(answer.Body)
	if closing := answer.Body.Close(); err != nil || closing != nil || answer.StatusCode != http.StatusOK {
		t.Fatal(answer.Status, string(raw), err, closing)
	}
}

// hubHas waits until a hub has so many entries of a game; its database may be away
// meanwhile.
func hubHas(t *testing.T, p *Program, game string, want int) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Minute) // for what hangs
	defer cancel()
	for {
		head, err := p.hub.store.Head(ctx, ledgers.Where{Association: p.hub.id, Game: game})
		if err == nil && head.Seq == want {
			return
		}
		if ctx.Err() != nil {
			t.Fatalf("%+v, %v, want %d entries", head, err, want)
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// A hub over PostgreSQL: the tables are prepared, a bench is paired, the server is killed
// and started again. The bench goes on meanwhile, the hub is not started again, and has
// everything in the end.
func TestAHubOverPostgreSQL(t *testing.T) {
	t.Parallel() // it waits most of its time
	c, folder := ownPostgres(t), t.TempDir()
	url := c.URL(hubApp, "hub")
	if _, failed := command(t, "hub", "prepare", "--postgres", c.URL("nobody", "hub")); !strings.Contains(failed, "was not prepared") {
		t.Error(failed)
	}
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	if _, failed := command(t, "hub", "--postgres", c.Super("hub"), "--listen", "127.0.0.1:0"); !strings.Contains(failed, "SUPERUSER") {
		t.Error(failed)
	}
	collector, secret := collecting(t)
	secret("Harbour League")
	p, out := running(t, "hub", "--postgres", url, "--listen", "127.0.0.1:0", "--name", "Harbour League", "--traces", collector, "--traces-share", "1")
	if _, failed := command(t, "hub", "--postgres", url, "--traces", "nowhere"); !strings.Contains(failed, "nowhere") {
		t.Error(failed)
	}
	if _, failed := command(t, "hub", "--postgres", url, "--listen", "127.0.0.1:0"); !strings.Contains(failed, "Another hub") {
		t.Error(failed)
	}
	if said := must(t, "hub", "link", "--postgres", url, "--address", p.hub.address); !strings.Contains(said, p.hub.address+"/first/") {
		t.Error(said)
	}
	ask := admin(t, out)
	pair := linkOf(t, ask("/admin/bench", "label", "Saltworks Arena"))
	follow := linkOf(t, ask("/admin/team", "label", "Kelp Bay"))
	bench, _ := running(t, "demo", "--moment", "power-play", "--data", filepath.Join(folder, "bench"), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	for game, entries := range games {
		secret(game)
		hubHas(t, p, game, entries)
		for round := range 2 {
			if err := c.Kill(); err != nil {
				t.Fatal(err)
			}
			postShot(t, bench, game, round)
			if err := c.Begin(t.Context()); err != nil {
				t.Fatal(err)
			}
			hubHas(t, p, game, entries+1+round)
		}
		listed(t, follow, func(body string) bool { return strings.Contains(body, game) })
	}
}

// nodeAddress is one that nobody else on this machine takes.
func nodeAddress(t *testing.T) string {
	t.Helper()
	pid := os.Getpid()
	l, err := net.Listen("tcp", fmt.Sprintf("127.78.%d.%d:0", pid>>8&255, pid&255))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	return l.Addr().String()
}

// threeNodes starts nodes between hubs, and returns where hubs reach them and the keys
// for it.
func threeNodes(t *testing.T) (nodes, keys string) {
	t.Helper()
	secret := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(secret, []byte("between us\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	var listen, cluster, urls []string
	for range 3 {
		listen, cluster = append(listen, nodeAddress(t)), append(cluster, nodeAddress(t))
	}
	keys = filepath.Join(t.TempDir(), "keys")
	if _, failed := command(t, "hub", "keys", keys, "n0"); !strings.Contains(failed, "does not say where") {
		t.Error(failed)
	}
	made := []string{"hub", "keys", keys}
	for i := range 3 {
		host, _, _ := net.SplitHostPort(listen[i])
		made = append(made, fmt.Sprint("n", i, "=node-", i, ".example/", host))
	}
	must(t, made...)
	for i := range 3 {
		others := strings.Join(slices.Delete(slices.Clone(cluster), i, i+1), ",")
		running(t, "hub", "node", "--data", t.TempDir(), "--name", fmt.Sprint("n", i), "--listen", listen[i], "--cluster", cluster[i],
			"--others", others, "--secret", secret, "--keys", filepath.Join(keys, fmt.Sprint("n", i)))
		urls = append(urls, "nats://whistlestop:between%20us@"+listen[i])
	}
	return strings.Join(urls, ","), filepath.Join(keys, "hub")
}

// Two hubs over one database: a bench sends to one of them, and who follows at the other
// sees it.
func TestTwoHubs(t *testing.T) {
	t.Parallel() // it waits most of its time
	c := ownPostgres(t)
	must(t, "hub", "prepare", "--postgres", c.Super("hub"))
	nodes, keys := threeNodes(t)
	for _, plain := range [][]string{
		{"hub", "--postgres", c.URL(hubApp, "hub"), "--nats", "nats://192.0.2.1:4222", "--listen", "127.0.0.1:0"},
		{"hub", "node", "--name", "a", "--data", t.TempDir(), "--listen", "0.0.0.0:0"},
	} {
		if _, failed := command(t, plain...); !strings.Contains(failed, "whistlestop hub keys") {
			t.Error(failed)
		}
	}
	arguments := []string{"hub", "--postgres", c.URL(hubApp, "hub"), "--nats", nodes, "--nats-keys", keys, "--listen", "127.0.0.1:0", "--name", "Harbour League"}
	here, out := running(t, arguments...)
	there, _ := running(t, arguments...)
	if here.hub.id != there.hub.id {
		t.Fatalf("%s and %s", here.hub.id, there.hub.id)
	}
	if _, failed := command(t, "hub", "--postgres", c.URL(hubApp, "hub"), "--listen", "127.0.0.1:0"); !strings.Contains(failed, "Another hub") {
		t.Error(failed)
	}
	ask := admin(t, out)
	deskOfTwoHubs(t, here, there)
	namesOfTwoHubs(t, here, there)
	pair := linkOf(t, ask("/admin/bench", "label", "Saltworks Arena"))
	roomOfTwoHubs(t, here, there, pair)
	follow := strings.Replace(linkOf(t, ask("/admin/team", "label", "Kelp Bay")), here.hub.address, there.hub.address, 1)
	bench, _ := running(t, "demo", "--moment", "power-play", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	for game, entries := range games {
		hubHas(t, there, game, entries)
		address := strings.Replace(follow, "/follow/", "/v1/follow/", 1) + "/games/" + game + "/stream"
		request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address, nil)
		if err != nil {
			t.Fatal(err)
		}
		request.Header.Set("Accept-Encoding", "identity")
		answer, err := http.DefaultClient.Do(request)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = answer.Body.Close() }()
		lines := bufio.NewScanner(answer.Body)
		lines.Buffer(nil, 4<<20)
		shown := func(want int) {
			t.Helper()
			for lines.Scan() {
				if id, is := strings.CutPrefix(lines.Text(), "id: "); is && strings.Split(id, "-")[1] == fmt.Sprint(want) {
					return
				}
			}
			t.Fatalf("%s: the stream ended, %v", answer.Status, lines.Err())
		}
		shown(entries)
		for round := range 3 {
			postShot(t, bench, game, round)
			shown(entries + round + 1)
		}
	}
}

// deskOfTwoHubs: a link that was made at one hub opens and answers at the other, at once.
func deskOfTwoHubs(t *testing.T, here, there *Program) {
	t.Helper()
	if err := here.hub.inventCrew(t.Context()); err != nil {
		t.Fatal(err)
	}
	opened, err := here.hub.crews.Open(t.Context(), here.hub.id)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = opened.Close() }()
	ask := func(method, path, body string, into any) {
		t.Helper()
		for _, o := range opened.Operations {
			part, fits := o.Fits(path)
			if o.Method != method || !fits {
				continue
			}
			_, file, err := o.Run(&api.Call{
				Context: t.Context(), Caller: api.Caller{Here: true}, Words: locale.English(), Now: office.Now(), Part: part,
				Query: func(string) string { return "" }, Body: func() ([]byte, error) { return []byte(body), nil },
			})
			if err == nil {
				err = json.Unmarshal(file.Raw, into)
			}
			if err != nil {
				t.Fatal(err)
			}
			return
		}
	}
	var people struct{ People []struct{ ID string } }
	ask("GET", "/api/crew/people", "", &people)
	var made struct{ Link string }
	ask("POST", "/api/crew/links", `{"person":"`+people.People[0].ID+`"}`, &made)
	_, token, _ := strings.Cut(made.Link, "#")
	elsewhere, path := asker{t, http.DefaultClient, there.hub.address}, "/crew/"+here.hub.id+"/api/crew/mine/"+token
	elsewhere.must("GET", path, "")
	elsewhere.must("POST", path, `{"do":"can","can":{"days":["saturday"],"away":[],"not_before":"","day_most":1,"most":3,"far":[],"rinks":[]}}`)
	var page struct{ Can struct{ Days []string } }
	ask("GET", "/api/crew/mine/"+token, "", &page)
	if len(page.Can.Days) != 1 {
		t.Errorf("what was said at the other hub is not here: %+v", page)
	}
}

// The demonstration of a country's hub: two games are on, families see them at the other
// hub, its page says that nothing waits, and figures are to be had.
func TestTheDemonstrationOfACluster(t *testing.T) {
	t.Parallel() // it waits most of its time
	if err := private.There(); err != nil {
		t.Skip(err)
	}
	p, out := running(t, "hub", "demo", "--cluster", "--listen", "127.0.0.1:0")
	follow := out.find(t, "follow")
	if strings.HasPrefix(follow, p.hub.address+"/") {
		t.Error("families look at the hub to which benches send")
	}
	listed(t, follow, func(body string) bool { return strings.Count(body, `"live":true`) == 2 })
	page := func(address string) string {
		t.Helper()
		answer, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(answer.Body)
		if closing := answer.Body.Close(); err != nil || closing != nil {
			t.Fatal(err, closing)
		}
		return string(raw)
	}
	listed(t, follow, func(string) bool { return strings.Contains(page(p.hub.address+"/status"), "were told everything") })
	figures := out.after(t, "Figures for graphs: ")
	if said := page(figures); !strings.Contains(said, "hub_database_up 1\n") || !strings.Contains(said, `hub_ingest_seconds_count{status="200"}`) {
		t.Error(said)
	}
}
