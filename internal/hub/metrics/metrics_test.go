package metrics_test

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/hub/metrics"
)

func TestMetrics(t *testing.T) {
	var away error
	busAway := false
	m := metrics.New(metrics.Sources{
		Followers: func() int { return 7 },
		Rooms:     func() (int, int) { return 2, 5 },
		Outbox:    func(context.Context) (int, time.Duration, error) { return 3, 1500 * time.Millisecond, away },
		BackupAge: func(context.Context) (time.Duration, error) { return 27 * time.Hour, away },
		Forks:     func(context.Context) (int, error) { return 4, nil },
		Checked:   func() (time.Time, int, int) { return time.Now().Add(-time.Hour), 130, 1 },
		BusAway:   func() bool { return busAway },
		Relay:     func() (int64, int64) { return 41, 2 },
	})
	measured := m.Measured(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.Contains(r.URL.Path, "G2") {
			w.WriteHeader(http.StatusConflict)
		}
	}))
	for _, path := range []string{"/v1/ledgers/G1/entries", "/v1/ledgers/G1/entries", "/v1/ledgers/G2/entries", "/admin/team"} {
		measured.ServeHTTP(httptest.NewRecorder(), httptest.NewRequest(http.MethodPost, path, nil))
	}
	says := func() string {
		w := httptest.NewRecorder()
		m.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/metrics", nil))
		return w.Body.String()
	}
	page := says()
	for _, line := range []string{
		"hub_followers 7", "hub_rooms 2", "hub_room_phones 5", "hub_database_up 1", "hub_outbox_rows 3", "hub_outbox_oldest_seconds 1.5", "hub_relay_published_total 41", "hub_bus_up 1", "hub_forks 4", "hub_games_followed 130", "hub_games_bad 1", "hub_backup_age_seconds 97200",
		"hub_relay_failed_tries 2", `hub_ingest_seconds_count{status="200"} 2`, `hub_ingest_seconds_count{status="409"} 1`,
	} {
		if !strings.Contains(page, line+"\n") {
			t.Errorf("no %s in\n%s", line, page)
		}
	}
	if !strings.Contains(page, "hub_games_followed_age_seconds 3600.") {
		t.Error(page)
	}
	if strings.Contains(page, "G1") {
		t.Error("a game is named")
	}
	away, busAway = errors.New("away"), true
	if page = says(); !strings.Contains(page, "hub_database_up 0\n") || !strings.Contains(page, "hub_bus_up 0\n") || strings.Contains(page, "hub_outbox_rows") {
		t.Error(page)
	}
}
