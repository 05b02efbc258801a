package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/cryptotest"
	"testing/synctest"

	"whistlestop/internal/proof/evening"
	"whistlestop/internal/proof/seeds"
)

// withoutNetwork is the program as it serves, but for the doors.
type withoutNetwork struct{ *Program }

// startWithoutNetwork starts it at a place.
func startWithoutNetwork(ctx context.Context, place evening.Place) (evening.Program, error) {
	p := &Program{Out: io.Discard, Log: io.Discard, logger: slog.New(slog.DiscardHandler), disk: place.Disk, clocks: place.Clocks}
	err := p.inFolder(place.Folder)
	if err == nil {
		err = p.openStore(ctx)
	}
	if err == nil {
		err = p.prepareCopies([]string{place.Stick})
	}
	if err != nil {
		return nil, errors.Join(err, p.Close())
	}
	p.assemble(surroundings{own: netip.Addr.IsLoopback, reach: func() (string, bool) { return "", false }})
	p.compareAll()
	return withoutNetwork{p}, nil
}

func (w withoutNetwork) ServeHTTP(answer http.ResponseWriter, r *http.Request) {
	w.pages.ServeHTTP(answer, r)
}

func (w withoutNetwork) Close() error {
	w.pages.Close()
	return w.Program.Close()
}

func playEvening(t *testing.T, seed uint64, moves int, hostile map[string][]byte) (outcome evening.Outcome) {
	cryptotest.SetGlobalRandom(t, seed)
	folder := withoutSyncs(t)
	synctest.Test(t, func(t *testing.T) {
		defer func() {
			if caught := recover(); caught != nil { // before the bubble complains of what was left running
				panic(fmt.Sprintf("evening %d: %v\n%s", seed, caught, debug.Stack()))
			}
		}()
		outcome = evening.Play(t.Context(), evening.Setup{
			Seed: seed, Moves: moves, Folder: folder, Hostile: hostile, Start: startWithoutNetwork,
		})
	})
	return outcome
}

// withoutSyncs is a folder in memory where the system has one: which syncs were
// asked for is minded by the layer under SQLite, and real ones only take time.
func withoutSyncs(t *testing.T) string {
	t.Helper()
	folder, err := os.MkdirTemp("/dev/shm", "whistlestop-evening-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() {
		if err := os.RemoveAll(folder); err != nil {
			t.Error(err)
		}
	})
	return folder
}

// strangersFiles reads testdata/hostile.
func strangersFiles(t *testing.T) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	paths, err := filepath.Glob(filepath.Join(hostileFolder, "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range paths {
		name := filepath.Base(path)
		if name == "README.md" || name == "expected.json" {
			continue
		}
		if files[name], err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// N9: evenings with several games on the whole program, over its handler, with
// everything going wrong, and strangers' files at every entrance. make soak plays as
// many as one likes; WHISTLESTOP_EVENING plays one of them with its log.
func TestEvenings(t *testing.T) {
	first, count := seeds.Number(t, "WHISTLESTOP_EVENING", 1), seeds.Number(t, "WHISTLESTOP_EVENINGS", 4)
	if os.Getenv("WHISTLESTOP_EVENINGS") == "" && (raced || testing.Short()) {
		count = 1
	}
	alone := os.Getenv("WHISTLESTOP_EVENING") != "" && os.Getenv("WHISTLESTOP_EVENINGS") == ""
	if alone {
		count = 1
	}
	defer debug.SetGCPercent(debug.SetGCPercent(400)) // the program is small, and started anew all the time
	hostile, total, entries, failed := strangersFiles(t), map[string]int{}, 0, 0
	played := 0
	for seed := first; seed < first+count && failed <= 3; seed++ {
		o := playEvening(t, seed, int(seeds.Number(t, "WHISTLESTOP_MOVES", 0)), hostile)
		played++
		entries += o.Entries
		for name, n := range o.Counts {
			total[name] += n
		}
		if alone {
			t.Log(strings.Join(o.Log, "\n"))
		}
		if len(o.Faults) > 0 {
			failed++
			t.Errorf("evening %d:\n  %s", seed, strings.Join(o.Faults, "\n  "))
		}
	}
	var names []string
	for name, n := range total {
		names = append(names, name+" "+strconv.Itoa(n))
	}
	slices.Sort(names)
	t.Logf("evenings from %d on: %d entries; %s", first, entries, strings.Join(names, ", "))
	t.Logf("%d of %d evenings played, %d with something broken", played, count, failed)
	if failed > 0 {
		return
	}
	kinds := []string{"acknowledged", "looks", "seals verified"}
	if count >= 4 {
		kinds = append(kinds, "stretches of play", "streams", "states streamed", "seats", "posts of seats", "reports", "refused", "not answered", "together", "killed", "power cut", "died in a post", "clock set", "switched off",
			"clocks that had to be doubted", "disk full", "syncs fail", "stick pulled", "offered as a copy", "offered as a roster",
			"left among the copies", "proposed", "copies that agree", "names let out", "start.bad_copy", "start.forked", "start.proposed")
	}
	if count >= 50 {
		kinds = append(kinds, "battery flat", "decided", "stick fails", "stick older", "start.after_seal", "ends lost", "start.mended",
			"seats taken away", "turned away", "reaches of seats", "handed over", "names taken out")
	}
	for _, name := range kinds {
		if total[name] == 0 {
			t.Errorf("nothing of the kind %q ever happened: the evenings show nothing about it", name)
		}
	}
}

// An evening replays exactly, also on another number of processors.
func TestEveningReplays(t *testing.T) {
	if raced {
		t.Skip("the race detector makes it ten times slower, and orders nothing otherwise")
	}
	hostile := strangersFiles(t)
	for seed := uint64(1); seed <= 2; seed++ {
		first := playEvening(t, seed, 20, hostile)
		before := runtime.GOMAXPROCS(1)
		second := playEvening(t, seed, 20, hostile)
		runtime.GOMAXPROCS(before)
		if first.Trace == second.Trace {
			continue
		}
		for i := range min(len(first.Log), len(second.Log)) {
			if first.Log[i] != second.Log[i] {
				t.Fatalf("evening %d went apart at line %d:\n%s\n%s", seed, i, first.Log[i], second.Log[i])
			}
		}
		t.Errorf("evening %d went another way the second time", seed)
	}
}
