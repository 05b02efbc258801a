package traces

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"slices"
	"sync/atomic"
	"time"

	common "go.opentelemetry.io/proto/otlp/common/v1"
	wire "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/protobuf/proto"
)

// Allowed are the attributes that leave a hub, by the names that OpenTelemetry's semantic
// conventions have for them. What a library adds one day stays here.
var Allowed = []string{
	"service.name", "http.request.method", "http.route", "http.response.status_code",
	"db.system.name", "db.operation.name",
}

// sendWithin is how long a collector may take, and answerMost how much of its answer is
// read (ours).
const (
	sendWithin = 10 * time.Second
	answerMost = 64 << 10
)

// sender posts traces to a collector. The library's own way brings gRPC with it, a tenth
// of the program; the form of a request is that of a file of traces (OTLP's protocol:
// ExportTraceServiceRequest and TracesData have the same one field).
type sender struct {
	address string
	logger  *slog.Logger
	client  http.Client
	failed  atomic.Bool
}

// Start begins sending: there is nothing to do.
func (s *sender) Start(context.Context) error { return nil }

// Stop ends it.
func (s *sender) Stop(context.Context) error {
	s.client.CloseIdleConnections()
	return nil
}

// UploadTraces sends some. What cannot be sent is given up: it is said once, and once
// when it works again.
func (s *sender) UploadTraces(ctx context.Context, spans []*wire.ResourceSpans) error {
	err := s.post(ctx, spans)
	if was := s.failed.Swap(err != nil); err != nil && !was {
		s.logger.Warn("traces are not taken; the hub goes on without them", "collector", s.address, "error", err)
	} else if err == nil && was {
		s.logger.Info("traces are taken again", "collector", s.address)
	}
	return nil
}

func (s *sender) post(ctx context.Context, spans []*wire.ResourceSpans) error {
	for _, of := range spans {
		of.Resource.Attributes = allowed(of.Resource.GetAttributes())
		for _, scope := range of.ScopeSpans {
			for _, span := range scope.Spans {
				span.Attributes, span.Events, span.Links = allowed(span.Attributes), nil, nil
			}
		}
	}
	body, err := proto.Marshal(&wire.TracesData{ResourceSpans: spans})
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, sendWithin)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, s.address, bytes.NewReader(body))
	if err != nil {
		return err
	}
	r.Header.Set("Content-Type", "application/x-protobuf")
	answer, err := s.client.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if _, err := io.Copy(io.Discard, io.LimitReader(answer.Body, answerMost)); err != nil {
		return err
	}
	if answer.StatusCode/100 != 2 {
		return fmt.Errorf("the collector answered %s", answer.Status)
	}
	return nil
}

func allowed(all []*common.KeyValue) []*common.KeyValue {
	return slices.DeleteFunc(all, func(one *common.KeyValue) bool { return !slices.Contains(Allowed, one.Key) })
}
