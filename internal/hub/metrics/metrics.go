package metrics

import (
	"context"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"whistlestop/internal/web/status"
)

// Sources are where figures come from that are asked for when somebody looks.
type Sources struct {
	Followers func() int // who follow a game now
	// Rooms says how many benches in browsers have a room here, and how many phones are in
	// rooms by way of here.
	Rooms func() (benches, phones int)
	// Outbox says how many changes wait to be told to other hubs, and since when the
	// oldest does; nil: there are no others.
	Outbox func(ctx context.Context) (rows int, oldest time.Duration, err error)
	// BusAway reports whether hubs cannot tell each other anything at the moment; nil:
	// there are no others.
	BusAway func() bool
	// BackupAge says how old the last copy of the hub is, or for how long it runs without
	// one; nil: nobody knows.
	BackupAge func(ctx context.Context) (time.Duration, error)
	// Forks says how many games wait for somebody to choose between two versions; nil:
	// nobody knows.
	Forks func(ctx context.Context) (int, error)
	// Checked says how many games were followed from their first line to their head the
	// last time, how many did not hold, and when that was; the zero time: never.
	Checked func() (at time.Time, games, bad int)
	// Relay says how many messages were published, and how many tries in a row failed.
	Relay func() (published, failed int64)
}

// Metrics answers with the figures.
type Metrics struct {
	answer http.Handler
	took   *prometheus.HistogramVec
}

// askWithin is how long the database may take to answer whoever looks.
const askWithin = 2 * time.Second

// New returns the metrics of a hub.
func New(s Sources) *Metrics {
	registry := prometheus.NewRegistry()
	m := &Metrics{took: prometheus.NewHistogramVec(prometheus.HistogramOpts{
		Name: "hub_ingest_seconds", Help: "How long a bench waited for the answer to the lines that it sent, by the status of the answer.",
		Buckets: []float64{.001, .002, .005, .01, .02, .05, .1, .2, .5, 1, 5},
	}, []string{"status"})}
	registry.MustRegister(m.took, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}), &asked{s})
	m.answer = promhttp.HandlerFor(registry, promhttp.HandlerOpts{})
	return m
}

// ServeHTTP answers with the figures.
func (m *Metrics) ServeHTTP(w http.ResponseWriter, r *http.Request) { m.answer.ServeHTTP(w, r) }

// Measured measures what benches send to a hub.
func (m *Metrics) Measured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodPost || !strings.HasPrefix(r.URL.Path, "/v1/ledgers/") || !strings.HasSuffix(r.URL.Path, "/entries") {
			next.ServeHTTP(w, r) // a stream stays the connection's own
			return
		}
		seen := status.Of(w)
		began := time.Now()
		next.ServeHTTP(seen, r)
		m.took.WithLabelValues(strconv.Itoa(seen.Status)).Observe(time.Since(began).Seconds())
	})
}

var (
	followers = prometheus.NewDesc("hub_followers", "How many follow a game now.", nil, nil)
	rooms     = prometheus.NewDesc("hub_rooms", "How many benches in browsers have a room for phones at this process.", nil, nil)
	phones    = prometheus.NewDesc("hub_room_phones", "How many phones are in a room by way of this process.", nil, nil)
	database  = prometheus.NewDesc("hub_database_up", "1 where the database answers, otherwise 0.", nil, nil)
	waiting   = prometheus.NewDesc("hub_outbox_rows", "How many changes wait to be told to other hubs.", nil, nil)
	oldest    = prometheus.NewDesc("hub_outbox_oldest_seconds", "How long the oldest of them has waited. More than 5 is worth an alarm.", nil, nil)
	busUp     = prometheus.NewDesc("hub_bus_up", "1 where hubs can tell each other what came in, 0 where they look at the database instead.", nil, nil)
	backup    = prometheus.NewDesc("hub_backup_age_seconds", "How old the last copy of the hub is, or for how long it runs without one. More than 93600 (26 hours) is worth an alarm.", nil, nil)
	forks     = prometheus.NewDesc("hub_forks", "How many games wait for somebody to choose between two versions. Any is worth an alarm.", nil, nil)
	followed  = prometheus.NewDesc("hub_games_followed", "How many games were followed from their first line to their head the last time.", nil, nil)
	bad       = prometheus.NewDesc("hub_games_bad", "How many of them do not hold. Any is worth an alarm.", nil, nil)
	looked    = prometheus.NewDesc("hub_games_followed_age_seconds", "How long ago that was. More than 93600 (26 hours) is worth an alarm.", nil, nil)
	published = prometheus.NewDesc("hub_relay_published_total", "How many messages this hub has told others.", nil, nil)
	failing   = prometheus.NewDesc("hub_relay_failed_tries", "How many tries in a row to tell others failed.", nil, nil)
)

// asked is the figures that are asked for when somebody looks.
type asked struct{ Sources }

// Describe names them.
func (a *asked) Describe(to chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{followers, rooms, phones, database, waiting, oldest, busUp, backup, forks, followed, bad, looked, published, failing} {
		to <- d
	}
}

// Collect asks.
func (a *asked) Collect(to chan<- prometheus.Metric) {
	gauge := func(d *prometheus.Desc, value float64) {
		to <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, value)
	}
	gauge(followers, float64(a.Followers()))
	benches, inRooms := a.Rooms()
	gauge(rooms, float64(benches))
	gauge(phones, float64(inRooms))
	if a.Outbox != nil {
		ctx, cancel := context.WithTimeout(context.Background(), askWithin)
		defer cancel()
		rows, since, err := a.Outbox(ctx)
		if err != nil {
			gauge(database, 0)
		} else {
			gauge(database, 1)
			gauge(waiting, float64(rows))
			gauge(oldest, since.Seconds())
		}
	}
	if a.BackupAge != nil {
		ctx, cancel := context.WithTimeout(context.Background(), askWithin)
		defer cancel()
		if age, err := a.BackupAge(ctx); err == nil {
			gauge(backup, age.Seconds())
		}
	}
	if a.Forks != nil {
		ctx, cancel := context.WithTimeout(context.Background(), askWithin)
		defer cancel()
		if count, err := a.Forks(ctx); err == nil {
			gauge(forks, float64(count))
		}
	}
	if a.Checked != nil {
		if at, games, wrong := a.Checked(); !at.IsZero() {
			gauge(followed, float64(games))
			gauge(bad, float64(wrong))
			gauge(looked, time.Since(at).Seconds())
		}
	}
	if a.BusAway != nil {
		up := 1.0
		if a.BusAway() {
			up = 0
		}
		gauge(busUp, up)
	}
	if a.Relay != nil {
		sent, failed := a.Relay()
		to <- prometheus.MustNewConstMetric(published, prometheus.CounterValue, float64(sent))
		gauge(failing, float64(failed))
	}
}
