package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// T4, on the real program: it is killed in play, and finds a time of day that was
// set, or a computer that was off. The record beside the games is changed instead
// of this computer's clock.
func TestT4_KilledAndStartedUnderAnotherTime(t *testing.T) {
	const hour = 3600_000.0
	for name, change := range map[string]struct {
		with func(record map[string]any)
		why  entry.DoubtWhy
	}{
		"a record of another time": {func(r map[string]any) { r["time_ms"] = r["time_ms"].(float64) - hour }, entry.Restarted},
		"switched off between":     {func(r map[string]any) { r["boot"] = "another" }, entry.Restarted},
		"no record":                {nil, entry.Restarted},
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			arguments := []string{"bench", "--data", folder, "--listen", "127.0.0.1:0"}
			p := start(t, os.Args[0], arguments...)
			p.openGame()
			p.enter(draft(1, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}))
			p.enter(draft(2, entry.ClockStarted{}))
			record := filepath.Join(folder, timeFile)
			for range 100 {
				if _, err := os.Stat(record); err == nil {
					break
				}
				time.Sleep(50 * time.Millisecond)
			}
			p.kill()
			if change.with == nil {
				if err := os.Remove(record); err != nil {
					t.Fatal(err)
				}
			} else {
				text, err := os.ReadFile(record)
				if err != nil {
					t.Fatal(err)
				}
				var kept map[string]any
				if err := json.Unmarshal(text, &kept); err != nil {
					t.Fatal(err)
				}
				change.with(kept)
				if text, err = json.Marshal(kept); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(record, text, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			p = start(t, os.Args[0], arguments...)
			c := p.snapshot().clock(t)
			if c.Running || c.Doubt == nil || c.Elapsed >= c.Length {
				t.Fatalf("the clock is %+v", c)
			}
			if c.Doubt.Why != change.why {
				t.Errorf("the doubt is %+v", c.Doubt)
			}
			if len(c.Doubt.Readings) == 0 {
				t.Errorf("the doubt has no readings: %+v", c.Doubt)
			}
		})
	}
}
