package web

import (
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"whistlestop/internal/api"
	"whistlestop/internal/web/status"
)

// metrics are what a graph of the program needs. Nothing in them names a game, a
// device or a person: labels are routes, classes of answers and kinds of callers.
type metrics struct {
	registry *prometheus.Registry
	requests *prometheus.CounterVec
	took     *prometheus.HistogramVec
}

func newMetrics(s *Server) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "whistlestop_requests_total", Help: "Requests that were answered.",
		}, []string{"route", "status", "caller"}),
		took: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "whistlestop_request_seconds", Help: "Time until a request was answered; streams not counted.",
			Buckets: []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5},
		}, []string{"route"}),
	}
	gauge := func(name, help string, value func() float64) {
		m.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: name, Help: help}, value))
	}
	gauge("whistlestop_streams_here", "Streams of this computer that are open.", func() float64 { here, _ := s.streams.Open(); return float64(here) })
	gauge("whistlestop_streams_guests", "Streams of guests that are open.", func() float64 { _, guests := s.streams.Open(); return float64(guests) })
	gauge("whistlestop_connections_guests", "Connections of guests that are open.", func() float64 { return float64(s.connections.Open()) })
	m.registry.MustRegister(m.requests, m.took, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return m
}

// measured counts the requests of a route.
func (m *metrics) measured(route string, next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		seen := status.Of(w)
		began := time.Now()
		next(seen, r)
		caller := "guest"
		switch c := from(r); {
		case c.Here:
			caller = "here"
		case c.session != nil:
			caller = "seat"
		}
		m.requests.WithLabelValues(route, strconv.Itoa(seen.Status/100)+"xx", caller).Inc()
		if !lingers(r) {
			m.took.WithLabelValues(route).Observe(time.Since(began).Seconds())
		}
	}
}

// metricsPage answers with the metrics, to programs on this computer only, and
// only over loopback.
func (s *Server) metricsPage(w http.ResponseWriter, r *http.Request) {
	if !from(r).address.IsLoopback() {
		s.problem(w, r, api.NotHere("web.bench_only"))
		return
	}
	promhttp.HandlerFor(s.metrics.registry, promhttp.HandlerOpts{}).ServeHTTP(w, r)
}
