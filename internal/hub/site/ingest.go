package site

import (
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// entriesMost is how many entries a ledger may have (ours); a long game has some 2,000.
const entriesMost = 20_000

// headJSON is where a ledger ends. A game that nobody sent yet ends at 0.
type headJSON struct {
	Epoch  int    `json:"epoch"`
	Seq    int    `json:"seq"`
	Hash   string `json:"hash"`
	Forked bool   `json:"forked,omitempty"`
	Common int    `json:"common,omitempty"`
	Names  bool   `json:"names,omitempty"` // those of the players are wanted: everybody may be shown them
	Named  string `json:"named,omitempty"` // which of them are here: see markOf

	// Of a bench that is paired for one game: see oneGame.
	OneGame string `json:"one_game,omitempty"`

	// What the association decided about lines of version 1; said where it is asked where a
	// ledger ends.
	Older      bool `json:"older,omitempty"`       // they are taken as they are
	OlderNames bool `json:"older_names,omitempty"` // and with names, of players, where those are wanted

	// What it decided about names at benches, said in the same place: those of a sealed game
	// end. By which time, a bench does not say alone.
	NamesEnd bool         `json:"names_end,omitempty"`
	Now      entry.Millis `json:"now_ms,omitempty"`
}

func headOf(h ledgers.Head) headJSON {
	return headJSON{Epoch: max(1, h.Epoch), Seq: h.Seq, Hash: h.Hash, Forked: h.Forked, Common: h.Common}
}

// benchHandler answers a bench that is paired.
type benchHandler func(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token)

// bearer is the secret that a request shows in its header; empty: none.
func bearer(r *http.Request) string {
	secret, found := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	if !found {
		return ""
	}
	return secret
}

// bench lets paired benches through.
func (s *Site) bench(next benchHandler) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		secret := bearer(r)
		if secret == "" {
			s.problem(w, r, api.NewNo(http.StatusUnauthorized, api.Elsewhere, "hub.no_token"))
			return
		}
		token, err := s.Office.Known(r.Context(), office.Bench, secret)
		if errors.Is(err, office.ErrUnknown) {
			if !s.limits.let("guess "+from(r).String(), followRate, followBurst) {
				s.problem(w, r, tooOften())
				return
			}
			s.problem(w, r, api.NewNo(http.StatusUnauthorized, api.Elsewhere, "hub.token_ended"))
			return
		}
		if err != nil {
			s.fail(w, r, err)
			return
		}
		s.shown(r, token)
		game := r.PathValue("game")
		if game != "" && !entry.ValidID(game) {
			s.problem(w, r, api.NotThere("hub.no_game"))
			return
		}
		if game != "" && token.OneGame && token.Game != "" && token.Game != game {
			s.otherGame(w, r, token.Game)
			return
		}
		next(w, r, ledgers.Where{Association: s.Association, Game: game}, token)
	}
}

// seenEvery is how often it is noted that a bench was heard: each time would cost as
// much as keeping an entry.
const seenEvery = 10 * 60_000

func (s *Site) shown(r *http.Request, token office.Token) {
	now := s.Now()
	s.mutex.Lock()
	due := now-s.seen[token.ID] >= seenEvery
	if due {
		s.seen[token.ID] = now
	}
	s.mutex.Unlock()
	if !due {
		return
	}
	if err := s.Store.Seen(r.Context(), s.Association, token.ID, now); err != nil {
		s.Logger.Warn("when a bench was heard was not kept", "error", err)
	}
}

// whoAmI tells a bench what it is paired with.
func (s *Site) whoAmI(w http.ResponseWriter, r *http.Request, _ ledgers.Where, token office.Token) {
	s.json(w, r, map[string]any{"association": s.name(r), "label": token.Label, "expires_ms": token.Expires})
}

// name is what the association is called.
func (s *Site) name(r *http.Request) string {
	all, err := s.Store.Associations(r.Context())
	if err != nil {
		s.Logger.Error("the association cannot be read", "error", err)
	}
	for _, a := range all {
		if a.ID == s.Association {
			return a.Name
		}
	}
	return ""
}

// head says where a ledger ends, and notes that its bench was heard.
func (s *Site) head(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token) {
	head, err := s.Store.Head(r.Context(), at)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if head.Seq > 0 {
		s.Live.Heard(at.Game, benchNow(r))
	}
	on, err := s.Store.Switches(r.Context(), s.Association)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	older, out := office.OlderOf(on), headOf(head)
	if out.NamesEnd = on[office.NamesEnd]; out.NamesEnd {
		out.Now = s.Now()
	}
	out.Older, out.OlderNames = older != office.OlderRefused, older == office.OlderWith
	s.answerHead(w, r, at, token, out)
}

// answerHead tells a bench where a ledger ends, and which names of players are here.
func (s *Site) answerHead(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token, out headJSON) {
	var err error
	out.OneGame = oneGame(token)
	if out.Names, out.Named, err = s.named(r.Context(), at); err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, out)
}

// benchNow is what a bench says of its time, in milliseconds of Unix time; 0: nothing.
func benchNow(r *http.Request) entry.Millis {
	now, err := strconv.ParseInt(r.URL.Query().Get("now"), 10, 64)
	if err != nil || now < 0 {
		return 0
	}
	return entry.Millis(now)
}

// sent reads what a bench sends of a game, or says why it is not taken: too often, or too
// much.
func (s *Site) sent(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token) (body []byte, ok bool) {
	if !s.limits.let("game "+token.ID+" "+at.Game, gameRate, gameBurst) || !s.limits.all.AllowN(s.limits.now(), 1) {
		s.problem(w, r, tooOften())
		return nil, false
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, ledgers.BytesMost))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.problem(w, r, tooLarge())
		return nil, false
	case err != nil:
		s.problem(w, r, api.Unread("hub.unreadable"))
		return nil, false
	}
	return body, true
}

// entries takes lines. It answers when they are on the disk, and not before.
func (s *Site) entries(w http.ResponseWriter, r *http.Request, at ledgers.Where, token office.Token) {
	body, ok := s.sent(w, r, at, token)
	if !ok {
		return
	}
	epoch, err := strconv.Atoi(r.URL.Query().Get("epoch"))
	if err != nil || epoch < 1 {
		s.problem(w, r, api.Unread("hub.no_epoch"))
		return
	}
	lines, err := s.readLines(r.Context(), at.Game, body)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	switch {
	case len(lines) == 0:
		s.problem(w, r, api.Unread("hub.nothing"))
		return
	case len(lines) > ledgers.LinesMost:
		s.problem(w, r, tooLarge())
		return
	case lines[len(lines)-1].Seq > entriesMost:
		s.problem(w, r, api.Refuse("hub.too_long", "most", strconv.Itoa(entriesMost)))
		return
	}
	if token.OneGame && token.Game == "" {
		// Before the lines: of two devices with this link only one may have its game kept. Where
		// nothing comes of the lines, the bench sends the same game again.
		if token.Game, err = s.Office.Bind(r.Context(), token, at.Game, origin(r)); err != nil {
			s.fail(w, r, err)
			return
		}
		if token.Game != at.Game {
			s.otherGame(w, r, token.Game)
			return
		}
	}
	s.Live.Coming(at.Game, lines)
	head, err := s.Store.Append(r.Context(), at, epoch, lines, s.Now())
	var forked *ledgers.ForkError
	if err == nil || errors.As(err, &forked) && forked.Kept > 0 {
		if failed := s.forgetNames(r.Context(), at, lines); failed != nil {
			s.fail(w, r, failed)
			return
		}
		s.Live.Heard(at.Game, benchNow(r))
		s.Live.Moved(at.Game)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.answerHead(w, r, at, token, headOf(head))
}

func tooLarge() *api.No {
	return api.NewNo(api.StatusTooLarge, api.TooLarge, "hub.too_large",
		"lines", strconv.Itoa(ledgers.LinesMost), "size", strconv.Itoa(ledgers.BytesMost>>10))
}

// hashesMost is how many places may be asked for at once.
const hashesMost = 32

// hashes tells the hashes of lines at some places, by which a bench finds where its
// ledger and the one here part.
func (s *Site) hashes(w http.ResponseWriter, r *http.Request, at ledgers.Where, _ office.Token) {
	asked := strings.Split(r.URL.Query().Get("at"), ",")
	if len(asked) > hashesMost {
		s.problem(w, r, api.Unread("hub.unreadable"))
		return
	}
	hashes := map[string]string{}
	for _, one := range asked {
		seq, err := strconv.Atoi(one)
		if err != nil {
			s.problem(w, r, api.Unread("hub.unreadable"))
			return
		}
		if hashes[one], err = s.Store.HashAt(r.Context(), at, seq); err != nil {
			s.fail(w, r, err)
			return
		}
	}
	s.json(w, r, map[string]any{"hashes": hashes})
}
