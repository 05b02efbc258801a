package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// namesOfTwoHubs: a name that one hub takes, or that is taken out there, is shown, or is
// gone, at the other one: in tables that were worked out before, and on the page of a game
// that somebody follows there.
func namesOfTwoHubs(t *testing.T, here, there *Program) {
	t.Helper()
	if err := here.hub.inventGames(t.Context()); err != nil {
		t.Fatal(err)
	}
	at, names := namedGame(t, here)
	gone := names[0]
	secret, _, err := here.hub.office.Issue(t.Context(), office.Team, "Lanternside", office.TeamLasts, office.By{Who: office.Here})
	if err != nil {
		t.Fatal(err)
	}
	views := map[string]string{
		"tables": there.hub.address + "/v1/tables/" + here.hub.id + "?division=open",
		"season": there.hub.address + "/v1/follow/" + secret + "/season",
		"game":   there.hub.address + "/v1/follow/" + secret + "/games/" + at.Game + "/stream",
	}
	others := slices.Clone(names[1:])
	for round, step := range []struct {
		do    func() error
		shown bool
	}{
		{func() error { return nil }, true},
		{func() error { return here.hub.store.ForgetNames(t.Context(), at, []string{gone.Commitment}) }, false},
		{func() error { return here.hub.store.KeepNames(t.Context(), at, names) }, true},
		{func() error { return here.hub.store.KeepNames(t.Context(), at, others) }, false},
	} {
		if err := step.do(); err != nil {
			t.Fatal(err)
		}
		for view, address := range views {
			limit := time.Now().Add(10 * time.Minute) // for what hangs
			for strings.Contains(begins(t, address), gone.Text) != step.shown {
				if time.Now().After(limit) {
					t.Fatalf("round %d, %s: %s is shown: %v", round, view, gone.Text, !step.shown)
				}
				time.Sleep(100 * time.Millisecond)
			}
		}
	}
}

// namedGame is a game of a hub whose players are shown by name, with their names; the
// first is one who has a line in every view.
func namedGame(t *testing.T, p *Program) (ledgers.Where, []ledgers.Name) {
	t.Helper()
	games, err := p.hub.store.Games(t.Context(), p.hub.id)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range games {
		at := ledgers.Where{Association: p.hub.id, Game: g.ID}
		names, err := p.hub.store.Names(t.Context(), at)
		if err != nil {
			t.Fatal(err)
		}
		if len(names) == 0 {
			continue
		}
		lines, err := p.hub.store.Lines(t.Context(), at, 0, 1)
		if err != nil {
			t.Fatal(err)
		}
		ledger, err := ledgers.Entries(lines)
		if err != nil {
			t.Fatal(err)
		}
		opened, _ := ledger[0].Body.(entry.GameOpened)
		home := map[string]bool{}
		ledger[0].ShownWith(func(what entry.Text, commitment string) string {
			if what == entry.TextPlayer && len(home) < len(opened.Home.Players) {
				home[commitment] = true
			}
			return what.Gone()
		})
		if first := slices.IndexFunc(names, func(n ledgers.Name) bool { return home[n.Commitment] }); first >= 0 && opened.Home.Name == "Lanternside" {
			names[0], names[first] = names[first], names[0]
			return at, names
		}
	}
	t.Fatal("no game has names")
	return ledgers.Where{}, nil
}

// begins is an answer, or of a stream its first event with something in it.
func begins(t *testing.T, address string) string {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	answer := asked(t, ctx, address)
	if !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/event-stream") {
		raw, err := io.ReadAll(answer.Body)
		if err != nil || answer.StatusCode != http.StatusOK {
			t.Fatal(answer.Status, string(raw), err)
		}
		return string(raw)
	}
	lines := bufio.NewScanner(answer.Body)
	lines.Buffer(nil, 4<<20)
	for lines.Scan() {
		if text, is := strings.CutPrefix(lines.Text(), "data: "); is {
			return text
		}
	}
	t.Fatal("the stream ended", lines.Err())
	return ""
}
