package traces_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/trace"
	common "go.opentelemetry.io/proto/otlp/common/v1"
	wire "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/protobuf/proto"

	"whistlestop/internal/hub/traces"
)

// collector takes traces, or refuses them.
type collector struct {
	*httptest.Server
	mutex sync.Mutex
	no    bool
	came  [][]byte
}

func newCollector(t *testing.T) *collector {
	c := &collector{}
	c.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		c.mutex.Lock()
		defer c.mutex.Unlock()
		if err != nil || c.no || r.URL.Path != "/v1/traces" || r.Header.Get("Content-Type") != "application/x-protobuf" {
			w.WriteHeader(http.StatusServiceUnavailable)
			return
		}
		c.came = append(c.came, body)
	}))
	t.Cleanup(c.Close)
	return c
}

// spans reads what came, in the form of the standard.
func (c *collector) spans(t *testing.T) (all []*wire.Span) {
	t.Helper()
	for _, body := range c.came {
		var data wire.TracesData
		if err := proto.Unmarshal(body, &data); err != nil {
			t.Fatal(err)
		}
		for _, of := range data.ResourceSpans {
			for _, scope := range of.ScopeSpans {
				all = append(all, scope.Spans...)
			}
		}
	}
	return all
}

func read(all []*common.KeyValue) map[string]any {
	found := map[string]any{}
	for _, one := range all {
		switch v := one.Value.Value.(type) {
		case *common.AnyValue_StringValue:
			found[one.Key] = v.StringValue
		case *common.AnyValue_IntValue:
			found[one.Key] = v.IntValue
		}
	}
	return found
}

const route = "POST /v1/ledgers/{game}/entries"

// asks answers as a hub does: two questions to the database, one of which fails.
func asks(tracer pgx.QueryTracer, status int) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		trace.SpanFromContext(r.Context()).SetAttributes(attribute.String("url.path", r.URL.Path))
		ctx := tracer.TraceQueryStart(r.Context(), nil, pgx.TraceQueryStartData{SQL: "select name FROM person WHERE name = 'Wren'", Args: []any{"Wren"}})
		tracer.TraceQueryEnd(ctx, nil, pgx.TraceQueryEndData{})
		batches := tracer.(pgx.BatchTracer)
		ctx = batches.TraceBatchStart(r.Context(), nil, pgx.TraceBatchStartData{})
		batches.TraceBatchEnd(ctx, nil, pgx.TraceBatchEndData{Err: errors.New("duplicate key (Wren)")})
		w.WriteHeader(status)
	}
}

func TestARequestIsFollowedIntoTheDatabase(t *testing.T) {
	c := newCollector(t)
	followed, err := traces.New(traces.Config{Address: c.URL + "/", Share: 1, Logger: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	var config pgx.ConnConfig
	followed.Database(&config)
	around := followed.Around(route, asks(config.Tracer, http.StatusInternalServerError))
	r := httptest.NewRequest(http.MethodPost, "/v1/ledgers/game-of-wren/entries?token=secret", nil)
	r.Header.Set("traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")
	around(httptest.NewRecorder(), r)
	streams := 0
	followed.Around("GET /v1/follow/{token}/stream", func(w http.ResponseWriter, _ *http.Request) {
		if _, is := w.(*httptest.ResponseRecorder); is {
			streams++
		}
	})(httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, "/v1/follow/x/stream", nil))
	// A question that no request asked, such as the relay's, begins no trace.
	ctx := config.Tracer.TraceQueryStart(context.Background(), nil, pgx.TraceQueryStartData{SQL: "SELECT 1"})
	config.Tracer.TraceQueryEnd(ctx, nil, pgx.TraceQueryEndData{})
	if err := followed.Close(context.Background()); err != nil {
		t.Fatal(err)
	}
	spans := c.spans(t)
	if len(spans) != 3 || streams != 1 {
		t.Fatalf("%d spans, %d streams", len(spans), streams)
	}
	var names []string
	var root *wire.Span
	for _, span := range spans {
		names = append(names, span.Name)
		if span.Name == route {
			root = span
		}
		for key := range read(span.Attributes) {
			if !slices.Contains(traces.Allowed, key) {
				t.Errorf("%s leaves the hub", key)
			}
		}
	}
	slices.Sort(names)
	if !slices.Equal(names, []string{"BATCH", route, "SELECT"}) {
		t.Fatal(names)
	}
	if len(root.ParentSpanId) != 0 || root.Status.Code != wire.Status_STATUS_CODE_ERROR {
		t.Error("a stranger's trace is gone on with, or the failure is not told:", root)
	}
	if got := read(root.Attributes); got["http.request.method"] != "POST" || got["http.route"] != "/v1/ledgers/{game}/entries" || got["http.response.status_code"] != int64(500) {
		t.Error(got)
	}
	for _, span := range spans {
		if span != root && (!bytes.Equal(span.ParentSpanId, root.SpanId) || !bytes.Equal(span.TraceId, root.TraceId)) {
			t.Error("a question is not part of its request:", span)
		}
		if failed := span.Status.GetCode() == wire.Status_STATUS_CODE_ERROR; failed != (span.Name != "SELECT") {
			t.Error(span)
		}
	}
	for _, body := range c.came {
		for _, secret := range []string{"wren", "Wren", "secret", "person"} {
			if bytes.Contains(body, []byte(secret)) {
				t.Errorf("%q leaves the hub", secret)
			}
		}
	}
}

func TestOnlySomeAreFollowedAndACollectorMayBeAway(t *testing.T) {
	c := newCollector(t)
	var log bytes.Buffer
	begin := func(share float64) *traces.Traces {
		followed, err := traces.New(traces.Config{Address: c.URL, Share: share, Logger: slog.New(slog.NewTextHandler(&log, nil))})
		if err != nil {
			t.Fatal(err)
		}
		return followed
	}
	ask := func(followed *traces.Traces, times int) {
		var config pgx.ConnConfig
		followed.Database(&config)
		around := followed.Around(route, asks(config.Tracer, http.StatusOK))
		for range times {
			around(httptest.NewRecorder(), httptest.NewRequest(http.MethodPost, "/v1/ledgers/G1/entries", nil))
		}
		if err := followed.Close(context.Background()); err != nil {
			t.Fatal(err)
		}
	}
	ask(begin(0), 50)
	if len(c.came) != 0 {
		t.Fatal("what nobody wanted was sent")
	}
	// 400 of which a quarter: 5 standard deviations of a binomial are 43.
	ask(begin(0.25), 400)
	if n := len(c.spans(t)) / 3; n < 57 || n > 143 {
		t.Errorf("%d of 400 at a share of a quarter", n)
	}
	c.no = true
	ask(begin(1), 3)
	if strings.Count(log.String(), "level=WARN") != 1 {
		t.Errorf("one warning is wanted: %s", log.String())
	}
}

func TestWhatIsNoCollectorIsRefused(t *testing.T) {
	for _, c := range []traces.Config{
		{Address: "127.0.0.1:4318", Share: 1}, {Address: "ftp://x", Share: 1}, {Address: "http://", Share: 1}, {Address: "::", Share: 1},
		{Address: "http://x", Share: 1.1}, {Address: "http://x", Share: -0.1}, {Address: "http://x", Share: math.NaN()},
	} {
		if _, err := traces.New(c); err == nil {
			t.Errorf("%+v is taken", c)
		}
	}
}
