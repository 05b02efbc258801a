package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"syscall"
	"testing"
	"time"
)

// One of two hubs ends while a bench on a slow network sends a game: that request ends well,
// although it takes longer than the five seconds that a hub which is alone would give it.
// Meanwhile the hub takes nothing new, so a bench asks the other one, and connections on
// which nothing is asked do not hold it up.
func TestARequestUnderWayEndsWell(t *testing.T) {
	t.Parallel() // it waits most of its time
	store, arguments := nation(t)
	hubs := two(t, arguments)
	_, _, secret := paired(t, store)
	client := &http.Client{Timeout: time.Minute}
	send := func(ctx context.Context, hub *server, game int, body io.Reader) (int, error) {
		request, err := http.NewRequestWithContext(ctx, http.MethodPost, fmt.Sprintf("%s/v1/ledgers/%s/entries?epoch=1&now=%d", hub.address, iceGame(game), wallNow()), body)
		if err != nil {
			return 0, err
		}
		request.Header.Set("Authorization", "Bearer "+secret)
		answer, err := client.Do(request)
		if err != nil {
			return 0, err
		}
		_, err = io.Copy(io.Discard, answer.Body)
		_ = answer.Body.Close()
		return answer.StatusCode, err
	}
	line := func(game int) []byte {
		raw, err := renamed(t, invented(t), iceGame(game), 1)[0].MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		return append(raw, '\n')
	}
	ending := hubs[0]
	idle, err := net.Dial("tcp", strings.TrimPrefix(ending.address, "http://")) // as browsers open some ahead
	if err != nil {
		t.Fatal(err)
	}
	defer idle.Close()
	slow, write := io.Pipe()
	type answer struct {
		status int
		err    error
		at     time.Time
	}
	answered := make(chan answer, 1)
	go func() {
		status, err := send(t.Context(), ending, 1, slow)
		answered <- answer{status, err, time.Now()}
	}()
	whole := line(1)
	if _, err := write.Write(whole[:10]); err != nil { // it is under way
		t.Fatal(err)
	}
	time.Sleep(200 * time.Millisecond) // until the hub reads it
	began := time.Now()
	if err := ending.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	gone := make(chan error, 1)
	go func() { gone <- ending.cmd.Wait() }()
	for status := 0; ; { // until it listens no more
		if status, err = send(t.Context(), ending, 2, bytes.NewReader(line(2))); err != nil {
			break
		}
		if status != http.StatusOK || time.Since(began) > 4*time.Second {
			t.Fatalf("a hub that ends answered %d", status)
		}
	}
	if status, err := send(t.Context(), hubs[1], 3, bytes.NewReader(line(3))); err != nil || status != http.StatusOK {
		t.Errorf("the other hub: %d %v", status, err)
	}
	time.Sleep(time.Until(began.Add(closeWithin + time.Second)))
	if _, err := write.Write(whole[10:]); err != nil {
		t.Fatal(err)
	}
	if err := write.Close(); err != nil {
		t.Fatal(err)
	}
	got := <-answered
	if got.err != nil || got.status != http.StatusOK {
		t.Fatalf("what was under way: %+v", got)
	}
	select {
	case err := <-gone:
		if err != nil {
			t.Error(err)
		}
		t.Logf("gone %v after the last answer", time.Since(got.at).Round(time.Millisecond))
	case <-time.After(10 * time.Second):
		t.Error("the hub stays although nothing is under way")
	}
}

// Only where another hub answers meanwhile does one take its time.
func TestHowLongAHubDrains(t *testing.T) {
	for _, c := range []struct {
		command hubServeCommand
		want    time.Duration
	}{
		{hubServeCommand{Data: "hub"}, closeWithin},
		{hubServeCommand{Postgres: "postgres://db/hub"}, closeWithin},
		{hubServeCommand{Postgres: "postgres://db/hub", Nats: "nats://a"}, drainWithin},
		{hubServeCommand{Postgres: "postgres://db/hub", Nats: "nats://a", Listen: heldOpen}, closeWithin},
	} {
		if got := drains(c.command); got != c.want {
			t.Errorf("%+v: %v, want %v", c.command, got, c.want)
		}
	}
}
