//go:build js && wasm

package main

import (
	"context"
	"errors"
	"syscall/js"

	"whistlestop/internal/outbox"
	"whistlestop/internal/worker"
)

// askHub asks a hub by what the browser has for that: the worker's function of that name.
type askHub struct{}

// Ask asks, and waits for the answer.
func (askHub) Ask(ctx context.Context, q outbox.Question) (outbox.Answer, error) {
	body := js.Null()
	if q.Body != nil {
		body = worker.Array(q.Body)
	}
	came, err := worker.Call("whistlestopAskHub", q.Method, q.Address, q.Secret, body) // the worker gives up by itself after a while
	if err != nil {
		return outbox.Answer{}, errors.Join(err, ctx.Err())
	}
	raw := worker.Bytes(came[2]) // behind status and Retry-After
	raw = raw[:min(len(raw), outbox.AnswerMost)]
	return outbox.Answer{Status: came[0].Int(), RetryAfter: came[1].String(), Body: raw}, ctx.Err()
}
