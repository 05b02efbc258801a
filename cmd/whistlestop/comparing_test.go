package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
	"whistlestop/internal/folder/durable"
)

// toldAtTheEnd is what the start found, once every game was held against its
// copies.
func (p *Program) toldAtTheEnd() []rules.Say {
	for {
		if told := p.toldAtStart(); len(told) == 0 || told[0].Key != "start.comparing" {
			return told
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// gated is a disk from which no copy is read until it is opened.
type gated struct {
	durable.Disk
	open chan struct{}

	mutex sync.Mutex
	order []string // the files, as they were read
}

func (d *gated) Read(path string) ([]byte, error) {
	if strings.HasSuffix(path, ".jsonl") {
		<-d.open
		d.mutex.Lock()
		d.order = append(d.order, filepath.Base(path))
		d.mutex.Unlock()
	}
	return d.Disk.Read(path)
}

// TestServesBeforeTheCopiesAreRead: a bench with many games answers pages, the list
// and how far it is before one copy was read, and a game that somebody opens is
// held against its copies before the others, and before it is answered.
func TestServesBeforeTheCopiesAreRead(t *testing.T) {
	t.Parallel() // it waits most of its time
	const games = 60
	data := t.TempDir()
	writeGames(t, data, games)
	disk := &gated{Disk: durable.System(), open: make(chan struct{})}
	p := &Program{Out: io.Discard, Log: io.Discard, disk: disk}
	if err := p.Run(t.Context(), []string{"bench", "--data", data, "--listen", "127.0.0.1:0"}); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := p.Close(); err != nil {
			t.Error(err)
		}
	}()
	ask := func(path string) (int, string) {
		answer, err := http.Get("http://" + p.address.String() + path)
		if err != nil {
			t.Error(err)
			return 0, ""
		}
		defer func() { _ = answer.Body.Close() }()
		body, err := io.ReadAll(answer.Body)
		if err != nil {
			t.Error(err)
		}
		return answer.StatusCode, string(body)
	}
	if status, report := ask("/api/copies"); status != http.StatusOK || !strings.Contains(report, `"start.comparing"`) {
		t.Error("it does not say that the games are being compared:", status, report)
	}
	var list struct{ Games []struct{ Home string } }
	status, raw := ask("/api/games")
	if err := json.Unmarshal([]byte(raw), &list); err != nil || status != http.StatusOK || len(list.Games) != games || list.Games[0].Home == "" {
		t.Error("the list is not there:", status, raw)
	}
	last := gameNumber(0)
	opened := make(chan int)
	go func() {
		status, _ := ask("/api/games/" + last)
		opened <- status
	}()
	select {
	case status := <-opened:
		t.Error("a game was answered before it was held against its copies:", status)
	case <-time.After(50 * time.Millisecond): // it must not come; a slow machine only makes this easier
	}
	close(disk.open)
	if status := <-opened; status != http.StatusOK {
		t.Error("the game answers", status)
	}
	if told := p.toldAtTheEnd(); len(told) != 0 {
		t.Errorf("%+v", told)
	}
	read := map[string]bool{}
	disk.mutex.Lock()
	defer disk.mutex.Unlock()
	for _, name := range disk.order {
		read[name] = true
	}
	if len(read) != games {
		t.Errorf("%d copies were read", len(read))
	}
}

// BenchmarkStartWith2000Games is from the start to the list, with all titles in
// it, and reports when every game was held against its copy.
func BenchmarkStartWith2000Games(b *testing.B) {
	data := b.TempDir()
	writeGames(b, data, 2000)
	var held time.Duration
	for b.Loop() {
		p := &Program{Out: io.Discard, Log: io.Discard}
		began := time.Now()
		if err := p.Run(b.Context(), []string{"bench", "--data", data, "--listen", "127.0.0.1:0"}); err != nil {
			b.Fatal(err)
		}
		answer, err := http.Get("http://" + p.address.String() + "/api/games")
		if err != nil {
			b.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, answer.Body); err != nil {
			b.Fatal(err)
		}
		_ = answer.Body.Close()
		b.StopTimer()
		p.toldAtTheEnd()
		held += time.Since(began)
		if err := p.Close(); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
	}
	b.ReportMetric(held.Seconds()/float64(b.N), "s-held/op")
}

func gameNumber(n int) string { return fmt.Sprintf("01JD%022d", n) }

// writeGames makes a folder with so many games and their copies, as a bench leaves
// it that ended in order.
func writeGames(t testing.TB, data string, count int) {
	t.Helper()
	p := &Program{Out: io.Discard, Log: os.Stderr}
	if err := p.Run(context.Background(), []string{"bench", "--data", data, "--listen", "127.0.0.1:0"}); err != nil {
		t.Fatal(err)
	}
	for n := range count {
		ledger, err := demo.Ledger("warm-up", 1_760_000_000_000+entry.Millis(n)*86_400_000)
		if err != nil {
			t.Fatal(err)
		}
		for i := range ledger {
			ledger[i].Game, ledger[i].ID, ledger[i].Prev = gameNumber(n), fmt.Sprintf("01JE%06d%016d", n, i), ""
		}
		ledger = ledger[:min(len(ledger), 6)] // nothing in them is about another
		if err := bench.Chain(nil, ledger); err != nil {
			t.Fatal(err)
		}
		if err := p.copies.Append(context.Background(), gameNumber(n), ledger); err != nil {
			t.Fatal(fmt.Errorf("game %d: %w", n, err))
		}
	}
	for until := time.Now().Add(10 * time.Minute); p.copies.State()[0].State != "up_to_date"; time.Sleep(20 * time.Millisecond) {
		if time.Now().After(until) {
			t.Fatal("the copies are not written")
		}
	}
	if _, err := p.live.Games(context.Background()); err != nil {
		t.Fatal(err)
	}
	for titles, err := p.live.Games(context.Background()); ; titles, err = p.live.Games(context.Background()) {
		if err != nil {
			t.Fatal(err)
		}
		reading := false
		for _, title := range titles {
			reading = reading || title.Reading
		}
		if !reading {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
}
