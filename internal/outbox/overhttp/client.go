package overhttp

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"time"

	"whistlestop/internal/outbox"
)

// answerWithin is how long a hub may take (ours).
const answerWithin = 20 * time.Second

// New returns a client for one hub. What leads elsewhere is not followed: the secret
// goes to the hub and to nobody else.
func New() outbox.Client {
	return Over(&http.Client{Timeout: answerWithin, CheckRedirect: func(*http.Request, []*http.Request) error {
		return http.ErrUseLastResponse
	}})
}

// Over returns a client that asks by another one.
func Over(client *http.Client) outbox.Client { return asker{client} }

type asker struct{ client *http.Client }

// Ask asks, and reads what the hub says.
func (a asker) Ask(ctx context.Context, q outbox.Question) (outbox.Answer, error) {
	request, err := http.NewRequestWithContext(ctx, q.Method, q.Address, bytes.NewReader(q.Body))
	if err != nil {
		return outbox.Answer{}, err
	}
	request.Header.Set("Authorization", "Bearer "+q.Secret)
	if q.Body != nil {
		request.Header.Set("Content-Type", "application/jsonl")
	}
	got, err := a.client.Do(request)
	if err != nil {
		return outbox.Answer{}, err
	}
	raw, err := io.ReadAll(io.LimitReader(got.Body, outbox.AnswerMost))
	if err = errors.Join(err, got.Body.Close()); err != nil {
		return outbox.Answer{}, err
	}
	return outbox.Answer{Status: got.StatusCode, RetryAfter: got.Header.Get("Retry-After"), Body: raw}, nil
}
