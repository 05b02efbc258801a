package traces

import (
	"context"
	"strings"

	"github.com/jackc/pgx/v5"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/trace"
)

// Database lets the questions of a request that is followed be seen in its trace. It
// adjusts how a database is opened.
func (t *Traces) Database(c *pgx.ConnConfig) { c.Tracer = asked{t.tracer} }

// asked is told of every question. Where nobody follows the request it costs a look at the
// context.
type asked struct{ tracer trace.Tracer }

// TraceQueryStart begins a question.
func (a asked) TraceQueryStart(ctx context.Context, _ *pgx.Conn, d pgx.TraceQueryStartData) context.Context {
	return a.begin(ctx, verb(d.SQL))
}

// TraceQueryEnd ends it.
func (a asked) TraceQueryEnd(ctx context.Context, _ *pgx.Conn, d pgx.TraceQueryEndData) {
	end(ctx, d.Err)
}

// TraceBatchStart begins several questions that go together.
func (a asked) TraceBatchStart(ctx context.Context, _ *pgx.Conn, _ pgx.TraceBatchStartData) context.Context {
	return a.begin(ctx, "BATCH")
}

// TraceBatchQuery is told of each of them: what it says belongs to all.
func (a asked) TraceBatchQuery(context.Context, *pgx.Conn, pgx.TraceBatchQueryData) {}

// TraceBatchEnd ends them.
func (a asked) TraceBatchEnd(ctx context.Context, _ *pgx.Conn, d pgx.TraceBatchEndData) {
	end(ctx, d.Err)
}

func (a asked) begin(ctx context.Context, verb string) context.Context {
	if !trace.SpanFromContext(ctx).IsRecording() {
		return ctx
	}
	ctx, _ = a.tracer.Start(ctx, verb, trace.WithSpanKind(trace.SpanKindClient), trace.WithAttributes(
		attribute.String("db.system.name", "postgresql"), attribute.String("db.operation.name", verb)))
	return context.WithValue(ctx, question{}, true)
}

// question marks a context whose span is that of a question.
type question struct{}

func end(ctx context.Context, err error) {
	if ctx.Value(question{}) == nil {
		return
	}
	span := trace.SpanFromContext(ctx)
	if err != nil {
		span.SetStatus(codes.Error, "") // what a server says of an error may quote what it was given
	}
	span.End()
}

// verb is the first word of a question.
func verb(text string) string {
	words := strings.Fields(text)
	if len(words) == 0 {
		return "EMPTY"
	}
	return strings.ToUpper(strings.TrimRight(words[0], "(;"))
}
