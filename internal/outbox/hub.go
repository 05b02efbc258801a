package outbox

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
)

// What one request may bring. The hub says the same.
const (
	linesMost = 500
	bytesMost = 256 << 10
)

// head is where the hub's ledger of a game ends.
type head struct {
	Epoch int    `json:"epoch"`
	Seq   int    `json:"seq"`
	Hash  string `json:"hash"`
}

// refusal is a hub's no: a problem of RFC 9457 with what a bench needs to go on.
type refusal struct {
	Status int    `json:"status"`
	Type   string `json:"type"`
	Detail string `json:"detail"`
	Want   int    `json:"want"`
	Seq    int    `json:"seq"`
	Kept   int    `json:"kept"`
	Epoch  int    `json:"epoch"`

	after time.Duration // in which to ask again, where it says so
}

// Error is what the hub said.
func (r *refusal) Error() string { return r.Detail }

// kind is the last word of the type.
func (r *refusal) kind() string {
	return r.Type[strings.LastIndexByte(r.Type, ':')+1:]
}

// hub asks the hub over HTTP.
type hub struct {
	link   Link
	client *http.Client
	now    func() entry.Millis
}

// answerMost is the most bytes of an answer that are read.
const answerMost = 64 << 10

// ask asks a question. An error that is no *refusal means that nobody knows whether the
// hub heard it.
func (h *hub) ask(ctx context.Context, method, path string, query url.Values, body []byte, into any) error {
	address := h.link.Hub + path
	if len(query) > 0 {
		address += "?" + query.Encode()
	}
	request, err := http.NewRequestWithContext(ctx, method, address, bytes.NewReader(body))
	if err != nil {
		return err
	}
	request.Header.Set("Authorization", "Bearer "+h.link.Secret)
	if body != nil {
		request.Header.Set("Content-Type", "application/jsonl")
	}
	answer, err := h.client.Do(request)
	if err != nil {
		return err
	}
	raw, err := io.ReadAll(io.LimitReader(answer.Body, answerMost))
	if err = errors.Join(err, answer.Body.Close()); err != nil {
		return err
	}
	if answer.StatusCode == http.StatusOK {
		return json.Unmarshal(raw, into)
	}
	no := &refusal{Status: answer.StatusCode}
	if err := json.Unmarshal(raw, no); err != nil || no.Status != answer.StatusCode || !strings.HasPrefix(no.Type, "urn:whistlestop:") {
		return fmt.Errorf("%s is no hub, or cannot answer: %s", h.link.Hub, answer.Status)
	}
	if seconds, err := strconv.Atoi(answer.Header.Get("Retry-After")); err == nil {
		no.after = time.Duration(seconds) * time.Second
	}
	return no
}

// times says what the bench's clock says now: the clock of the game is anchored in it.
func (h *hub) times() url.Values { return url.Values{"now": {strconv.FormatInt(int64(h.now()), 10)}} }

func (h *hub) head(ctx context.Context, game string) (at head, err error) {
	err = h.ask(ctx, http.MethodGet, "/v1/ledgers/"+game, h.times(), nil, &at)
	return at, err
}

func (h *hub) send(ctx context.Context, game string, epoch int, lines []byte) (at head, err error) {
	query := h.times()
	query.Set("epoch", strconv.Itoa(epoch))
	err = h.ask(ctx, http.MethodPost, "/v1/ledgers/"+game+"/entries", query, lines, &at)
	return at, err
}

func (h *hub) hashAt(ctx context.Context, game string, seq int) (string, error) {
	var answer struct {
		Hashes map[string]string `json:"hashes"`
	}
	at := strconv.Itoa(seq)
	err := h.ask(ctx, http.MethodGet, "/v1/ledgers/"+game+"/hashes", url.Values{"at": {at}}, nil, &answer)
	return answer.Hashes[at], err
}
