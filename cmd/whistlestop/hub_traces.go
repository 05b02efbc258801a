package main

import (
	"context"
	"net/http"
	"time"

	"whistlestop/game/message"
	"whistlestop/internal/hub/traces"
)

// tracesWithin is how long the last traces may take when a hub ends (ours).
const tracesWithin = 2 * time.Second

// traces follows some of the requests, where somebody named what takes that; nil: nobody did.
func (p *Program) traces(c hubServeCommand) (*traces.Traces, error) {
	if c.Traces == "" {
		return nil, nil
	}
	followed, err := traces.New(traces.Config{Address: c.Traces, Share: c.TracesShare, Logger: p.logger})
	if err != nil {
		return nil, message.Because(err, "hub.command.traces")
	}
	return followed, nil
}

func around(followed *traces.Traces) func(string, http.HandlerFunc) http.HandlerFunc {
	if followed == nil {
		return nil
	}
	return followed.Around
}

// endTraces sends what is left of them.
func (a *association) endTraces() error {
	if a.traces == nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), tracesWithin)
	defer cancel()
	return a.traces.Close(ctx)
}
