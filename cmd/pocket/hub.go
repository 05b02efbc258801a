//go:build js && wasm

package main

import (
	"context"
	"errors"
	"syscall/js"

	"whistlestop/internal/outbox"
)

// askHub asks a hub by what the browser has for that: the worker's function of that name.
type askHub struct{}

// Ask asks, and waits for the answer.
func (askHub) Ask(ctx context.Context, q outbox.Question) (outbox.Answer, error) {
	body := js.Null()
	if q.Body != nil {
		body = js.Global().Get("Uint8Array").New(len(q.Body))
		js.CopyBytesToJS(body, q.Body)
	}
	type ended struct {
		answer outbox.Answer
		err    error
	}
	end := make(chan ended, 1)
	answered := js.FuncOf(func(_ js.Value, a []js.Value) any { // status, Retry-After, body
		raw := make([]byte, min(a[2].Length(), outbox.AnswerMost))
		js.CopyBytesToGo(raw, a[2])
		end <- ended{answer: outbox.Answer{Status: a[0].Int(), RetryAfter: a[1].String(), Body: raw}}
		return nil
	})
	failed := js.FuncOf(func(_ js.Value, a []js.Value) any {
		end <- ended{err: errors.New(a[0].String())}
		return nil
	})
	js.Global().Call("whistlestopAskHub", q.Method, q.Address, q.Secret, body, answered, failed)
	got := <-end // the worker gives up by itself after a while
	answered.Release()
	failed.Release()
	return got.answer, errors.Join(got.err, ctx.Err())
}
