package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// BenchmarkPost measures a goal from the request to its arrival on a stream:
// HTTP, rules, SQLite with a synced commit, server-sent events. The ledger grows
// to that of a full game, 150 entries, and then a new game begins.
func BenchmarkPost(b *testing.B) {
	const full = 150
	program := &Program{Out: io.Discard, Log: io.Discard}
	b.Cleanup(func() {
		if err := program.Close(); err != nil {
			b.Error(err)
		}
	})
	if err := program.Run(b.Context(), []string{"bench", "--data", b.TempDir(), "--listen", "127.0.0.1:0"}); err != nil {
		b.Fatal(program.explain(err))
	}
	root := "http://" + program.address.String()
	var took []time.Duration
	game, seq := "", full
	var seen <-chan int
	for b.Loop() {
		if seq >= full {
			b.StopTimer()
			game = fmt.Sprintf("01JD%022d", len(took)+1)
			send(b, root+"/api/games", map[string]any{
				"id": game, "division": "harbour-u14",
				"home": entry.Team{Name: "Kelp Bay"}, "visitors": entry.Team{Name: "Lanternside"},
			})
			begin := measured(game, 500_000+len(took), entry.StageBegun{
				Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0),
			})
			send(b, root+"/api/games/"+game+"/entries", map[string]any{"entries": []entry.Entry{begin}})
			seen, seq = follow(b, root+"/api/games/"+game+"/stream"), 2
			b.StartTimer()
		}
		body := entry.Body(entry.Goal{Side: entry.Home, Scorer: "9", Assists: []entry.Jersey{"12"}})
		if len(took)%3 == 0 {
			body = entry.Penalty{Side: entry.Visitors, Player: "6", Call: "hooking", Parts: []entry.Part{entry.Minor}}
		}
		e := measured(game, 1_000_000+len(took), body)
		e.At = entry.At{Period: 1, Elapsed: entry.Millis(seq) * 4_000}
		started := time.Now()
		send(b, root+"/api/games/"+game+"/entries", map[string]any{"entries": []entry.Entry{e}})
		seq++
		for got := range seen {
			if got >= seq {
				break
			}
		}
		took = append(took, time.Since(started))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "p50-ms")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "p99-ms")
}

func measured(game string, n int, body entry.Body) entry.Entry {
	e := draft(n, body)
	e.Game = game
	return e
}

func send(b *testing.B, url string, value any) {
	b.Helper()
	raw, err := json.Marshal(value)
	if err != nil {
		b.Fatal(err)
	}
	answer, err := http.Post(url, "application/json", bytes.NewReader(raw))
	if err != nil {
		b.Fatal(err)
	}
	text, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode >= 300 {
		b.Fatalf("%d %v: %s", answer.StatusCode, err, text)
	}
	if err := answer.Body.Close(); err != nil {
		b.Fatal(err)
	}
}

// follow gives the ids of the states of a stream.
func follow(b *testing.B, url string) <-chan int {
	answer, err := http.Get(url)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = answer.Body.Close() }) // the server closes it as well
	seen := make(chan int, 1000)
	go func() {
		defer close(seen)
		lines := bufio.NewReaderSize(answer.Body, 1<<20)
		id := 0
		for {
			line, err := lines.ReadString('\n')
			if err != nil {
				return
			}
			if text, found := strings.CutPrefix(line, "id: "); found {
				id, _ = strconv.Atoi(strings.TrimSpace(text))
			}
			if line == "\n" && id > 0 { // the event is whole
				seen <- id
				id = 0
			}
		}
	}()
	return seen
}

// BenchmarkStart measures the program as it is shipped: from its start to the
// first answer, and the memory that it holds with a game in overtime, four
// streams and a hundred previews.
func BenchmarkStart(b *testing.B) {
	binary := filepath.Join(b.TempDir(), "whistlestop")
	build := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", binary, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	folder := b.TempDir()
	start(b, binary, "demo", "--moment", "overtime", "--data", folder, "--listen", "127.0.0.1:0").kill()
	var took []time.Duration
	resident := 0
	for b.Loop() {
		started := time.Now()
		p := start(b, binary, "bench", "--data", folder, "--listen", "127.0.0.1:0")
		var list struct{ Games []struct{ ID string } }
		if err := json.Unmarshal(p.get("/api/games"), &list); err != nil || len(list.Games) != 1 {
			b.Fatalf("%+v, %v", list, err)
		}
		took = append(took, time.Since(started))
		b.StopTimer()
		resident = max(resident, p.busy(b, list.Games[0].ID))
		p.kill()
		b.StartTimer()
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)-1].Microseconds())/1000, "slowest-ms")
	b.ReportMetric(float64(resident)/1024, "resident-MB")
}

// busy keeps a program busy and returns the most memory that it held, in kB.
func (p *process) busy(b *testing.B, game string) int {
	for range 4 {
		<-follow(b, p.root+"/api/games/"+game+"/stream")
	}
	for i := range 100 {
		goal := measured(game, i+1, entry.Goal{Side: entry.Home, Scorer: "9"})
		send(b, p.root+"/api/games/"+game+"/preview", map[string]any{"entries": []entry.Entry{goal}})
	}
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		b.Skip("the system does not say how much memory a program holds")
	}
	for line := range strings.SplitSeq(string(status), "\n") {
		if text, found := strings.CutPrefix(line, "VmHWM:"); found {
			kB, err := strconv.Atoi(strings.TrimSpace(strings.TrimSuffix(text, "kB")))
			if err != nil {
				b.Fatal(err)
			}
			return kB
		}
	}
	b.Fatal("the system does not say how much memory the program holds")
	return 0
}
