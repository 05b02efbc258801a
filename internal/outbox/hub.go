package outbox

import (
	"context"
	"encoding/json"
	"fmt"
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
	Names bool   `json:"names"` // those of the players are wanted: everybody may be shown them
	Named string `json:"named"` // which of them the hub has; see markOf

	Older      bool `json:"older"`       // lines of version 1 are taken as they are
	OlderNames bool `json:"older_names"` // and such lines are wanted for the names of players in them

	NamesEnd bool         `json:"names_end"` // those of a sealed game end at benches
	Now      entry.Millis `json:"now_ms"`    // the hub's time, where they do

	OneGame string `json:"one_game"` // of a link for one game: see firstGame and thisGame; else empty
}

// What a hub says of a link for one game.
const (
	firstGame = "first"    // it is for the game that is sent first, and none was
	thisGame  = "this"     // it is for this game
	otherGame = "one_game" // the problem that says that it is for another
)

// refusal is a hub's no: a problem of RFC 9457 with what a bench needs to go on.
type refusal struct {
	Status int    `json:"status"`
	Type   string `json:"type"`
	Detail string `json:"detail"`
	Want   int    `json:"want"`
	Seq    int    `json:"seq"`
	Kept   int    `json:"kept"`
	Epoch  int    `json:"epoch"`
	Game   string `json:"game"` // the one game that the link is for
	Called string `json:"called"`

	after time.Duration // in which to ask again, where it says so
}

// Error is what the hub said.
func (r *refusal) Error() string { return r.Detail }

// kind is the last word of the type.
func (r *refusal) kind() string {
	return r.Type[strings.LastIndexByte(r.Type, ':')+1:]
}

// hub asks the hub.
type hub struct {
	link   Link
	client Client
	now    func() entry.Millis
}

// ask asks a question. An error that is no *refusal means that nobody knows whether the
// hub heard it.
func (h *hub) ask(ctx context.Context, method, path string, query url.Values, body []byte, into any) error {
	address := h.link.Hub + path
	if len(query) > 0 {
		address += "?" + query.Encode()
	}
	answer, err := h.client.Ask(ctx, Question{Method: method, Address: address, Secret: h.link.Secret, Body: body})
	if err != nil {
		return err
	}
	if answer.Status == statusOK {
		return json.Unmarshal(answer.Body, into)
	}
	no := &refusal{Status: answer.Status}
	if err := json.Unmarshal(answer.Body, no); err != nil || no.Status != answer.Status || !strings.HasPrefix(no.Type, "urn:whistlestop:") {
		return fmt.Errorf("%s is no hub, or cannot answer: %d", h.link.Hub, answer.Status)
	}
	if seconds, err := strconv.Atoi(answer.RetryAfter); err == nil {
		no.after = time.Duration(seconds) * time.Second
	}
	return no
}

// times says what the bench's clock says now: the clock of the game is anchored in it.
func (h *hub) times() url.Values { return url.Values{"now": {strconv.FormatInt(int64(h.now()), 10)}} }

func (h *hub) head(ctx context.Context, game string) (at head, err error) {
	err = h.ask(ctx, "GET", "/v1/ledgers/"+game, h.times(), nil, &at)
	return at, err
}

func (h *hub) send(ctx context.Context, game string, epoch int, lines []byte) (at head, err error) {
	query := h.times()
	query.Set("epoch", strconv.Itoa(epoch))
	err = h.ask(ctx, "POST", "/v1/ledgers/"+game+"/entries", query, lines, &at)
	return at, err
}

func (h *hub) name(ctx context.Context, game string, lines []byte) (at head, err error) {
	err = h.ask(ctx, "PUT", "/v1/ledgers/"+game+"/names", h.times(), lines, &at)
	return at, err
}

func (h *hub) hashAt(ctx context.Context, game string, seq int) (string, error) {
	var answer struct {
		Hashes map[string]string `json:"hashes"`
	}
	at := strconv.Itoa(seq)
	err := h.ask(ctx, "GET", "/v1/ledgers/"+game+"/hashes", url.Values{"at": {at}}, nil, &answer)
	return answer.Hashes[at], err
}
