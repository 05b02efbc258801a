package hubtest

import (
	"context"
	"errors"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/office"
)

func testTokens(t *testing.T, s Store) {
	now := entry.Millis(1000)
	desk := office.New(s, Ours, func() entry.Millis { return now }, counting{})
	secret, made, err := desk.Issue(t.Context(), office.Bench, "Saltworks", 100, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	good := func(kind office.Kind, secret string) bool {
		t.Helper()
		got, err := desk.Known(t.Context(), kind, secret)
		if err != nil && !errors.Is(err, office.ErrUnknown) {
			t.Fatal(err)
		}
		return err == nil && got.ID == made.ID && got.Label == "Saltworks"
	}
	if !good(office.Bench, secret) || good(office.Team, secret) || good(office.Bench, secret+"x") || good(office.Bench, "") {
		t.Error("a token is good for something else, or for nothing")
	}
	if err := desk.Seen(t.Context(), made); err != nil {
		t.Fatal(err)
	}
	if list, err := desk.List(t.Context(), office.Bench); err != nil || len(list) != 1 || list[0].Used != now {
		t.Errorf("%+v, %v", list, err)
	}
	if now = made.Expires; good(office.Bench, secret) {
		t.Error("it has ended")
	}
	now = 1001
	if err := desk.Revoke(t.Context(), made.ID, office.By{Who: "test"}); err != nil {
		t.Fatal(err)
	}
	if good(office.Bench, secret) {
		t.Error("it was taken back")
	}
	if err := desk.Revoke(t.Context(), made.ID, office.By{Who: "test"}); !errors.Is(err, office.ErrUnknown) {
		t.Errorf("taken back again: %v", err)
	}
	if list, err := desk.List(t.Context(), office.Bench); err != nil || len(list) != 0 {
		t.Errorf("%+v, %v", list, err)
	}
}

// counting stands in for randomness.
type counting struct{}

func (counting) Read(into []byte) (int, error) {
	for i := range into {
		into[i] = byte(i)
	}
	return len(into), nil
}

func testTeamsLink(t *testing.T, s Store) {
	desk := office.New(s, Ours, func() entry.Millis { return 1000 }, counting{})
	secret, made, err := desk.IssueTeam(t.Context(), "Kelp Bay", "Under 14", office.By{Who: "test"})
	if got, known := desk.Known(t.Context(), office.Team, secret); err != nil || known != nil || got != made || got.Division != "Under 14" {
		t.Errorf("%+v, %v, %v", got, err, known)
	}
}

func testTake(t *testing.T, s Store) {
	desk := office.New(s, Ours, func() entry.Millis { return 1000 }, counting{})
	secret, _, err := desk.Issue(t.Context(), office.First, "", 100, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	results := make(chan error, 8)
	for range cap(results) {
		go func() {
			_, err := desk.Take(context.Background(), office.First, secret, office.By{})
			results <- err
		}()
	}
	won := 0
	for range cap(results) {
		switch err := <-results; {
		case err == nil:
			won++
		case !errors.Is(err, office.ErrUnknown):
			t.Error(err)
		}
	}
	if won != 1 {
		t.Errorf("%d took it", won)
	}
}
