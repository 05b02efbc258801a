package demo

import (
	"bytes"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

func TestEnded(t *testing.T) {
	plain := func(string) []byte { return bytes.Repeat([]byte{1}, entry.RandomBytes) }
	seen := map[string]bool{}
	for _, scheduled := range []string{"u14-1", "u14-2"} {
		ledger, err := Ended("third-period", now, func(o *entry.GameOpened) { o.Schedule, o.Home.Name = scheduled, "Millrace" }, plain)
		if err != nil {
			t.Fatal(err)
		}
		if err := entry.VerifyChain(ledger); err != nil {
			t.Error(err)
		}
		s, err := rules.Fold(ledger)
		if err != nil || s.Stage.Kind != entry.Over || s.Teams[0].Name != "Millrace" || s.Teams[0].Score != 3 || s.Teams[1].Score != 2 || ledger[0].Apart == nil {
			t.Errorf("%v %+v %+v", err, s.Stage, s.Teams)
		}
		if seen[s.Game] || s.Game != ledger[0].ID {
			t.Errorf("the id of %s is %s", scheduled, s.Game)
		}
		seen[s.Game] = true
	}
	if _, err := Ended("never", now, func(*entry.GameOpened) {}, plain); err == nil {
		t.Error("a moment that is not there")
	}
}
