package traces

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"strings"

	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace"
	"go.opentelemetry.io/otel/sdk/resource"
	sdk "go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/trace"

	"whistlestop/internal/web/status"
)

// Config is what traces need.
type Config struct {
	// Address of a collector that takes OTLP over HTTP, such as http://127.0.0.1:4318; the
	// path of traces is put behind it (OTLP specification 1.x, "OTLP/HTTP Request").
	Address string
	Share   float64 // of requests that are followed, 0 to 1
	Logger  *slog.Logger
}

// Traces follows requests. It is safe for use by many goroutines.
type Traces struct {
	provider *sdk.TracerProvider
	tracer   trace.Tracer
}

// New returns what follows requests. Nothing is asked of the collector yet: one that is
// away holds nothing up. Close it when the hub ends.
func New(c Config) (*Traces, error) {
	at, err := url.Parse(c.Address)
	if err != nil || at.Host == "" || at.Scheme != "http" && at.Scheme != "https" {
		return nil, fmt.Errorf("%q is no http address", c.Address)
	}
	if !(c.Share >= 0 && c.Share <= 1) {
		return nil, fmt.Errorf("%v is no share from 0 to 1", c.Share)
	}
	out, err := otlptrace.New(context.Background(), &sender{address: strings.TrimRight(c.Address, "/") + "/v1/traces", logger: c.Logger})
	if err != nil {
		return nil, err
	}
	provider := sdk.NewTracerProvider(
		sdk.WithBatcher(out),
		sdk.WithSampler(sdk.ParentBased(sdk.TraceIDRatioBased(c.Share))),
		sdk.WithResource(resource.NewSchemaless(attribute.String("service.name", "whistlestop-hub"))),
	)
	return &Traces{provider: provider, tracer: provider.Tracer("whistlestop")}, nil
}

// Close sends what is left, for as long as the context lasts.
func (t *Traces) Close(ctx context.Context) error { return t.provider.Shutdown(ctx) }

// Around follows the requests of a route, by which they are named. One that streams for an
// hour is not followed: its length says nothing.
func (t *Traces) Around(route string, next http.HandlerFunc) http.HandlerFunc {
	if strings.HasSuffix(route, "/stream") {
		return next
	}
	method, path, both := strings.Cut(route, " ")
	if !both {
		method, path = "", route
	}
	return func(w http.ResponseWriter, r *http.Request) {
		// What a stranger says of a trace of its own is not taken over: it would choose what is followed.
		ctx, span := t.tracer.Start(r.Context(), route, trace.WithNewRoot(), trace.WithSpanKind(trace.SpanKindServer), trace.WithAttributes(
			attribute.String("http.request.method", method), attribute.String("http.route", path)))
		defer span.End()
		if !span.IsRecording() {
			next(w, r)
			return
		}
		seen := status.Of(w)
		next(seen, r.WithContext(ctx))
		span.SetAttributes(attribute.Int("http.response.status_code", seen.Status))
		if seen.Status >= http.StatusInternalServerError {
			span.SetStatus(codes.Error, "")
		}
	}
}
