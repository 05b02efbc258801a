package site

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/web/files"
	"whistlestop/internal/web/sse"
)

const (
	// beatEvery is how often a stream says that it is alive: the page says that it lost
	// the hub when it hears nothing for three seconds.
	beatEvery = 2 * time.Second
	// writeWithin is how long one message may take. Who does not read is cut off, and
	// comes back for the newest state.
	writeWithin = 10 * time.Second
	// streamLasts is how long a stream lives, and a fifth more or less: so many who came
	// together do not come back together.
	streamLasts = time.Hour
)

// How those come back whose hub ended (ours): each takes half a millisecond of the processor,
// so those of one hub take a quarter of a core, and all are back within 90 seconds.
const (
	backAfter  = time.Second
	spreadEach = 2 * time.Millisecond
	spreadMost = time.Minute
)

// spread is over how long so many come back, each at a moment of its own.
func spread(followers int) time.Duration {
	return min(time.Duration(followers)*spreadEach, spreadMost)
}

// backIn says to a browser when to come back. The hub's own pages draw a moment each
// time, by what a beat says.
func (s *Site) backIn() sse.Chunk {
	in := backAfter + time.Duration(rand.Float64()*float64(spread(s.Live.Followers())))
	return sse.Stored(fmt.Appendf(nil, "retry: %d\n\n", in.Milliseconds()))
}

// beat says that the stream is alive, what the clock of the bench says, and over how long
// all would come back.
func (s *Site) beat(follower *live.Follower) []byte {
	said := strconv.AppendInt([]byte(`{"now_ms":`), int64(follower.BenchNow()), 10)
	said = strconv.AppendInt(append(said, `,"spread_ms":`...), spread(s.Live.Followers()).Milliseconds(), 10)
	return append(said, '}')
}

// team lets through who has the link of a team.
func (s *Site) team(next func(w http.ResponseWriter, r *http.Request, token office.Token)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		s.letRead(w, r)
		// A page asks for the time some times a minute, and many pages share an address.
		let := s.limits.let("ask "+from(r).String(), askRate, askBurst)
		if strings.HasSuffix(r.Pattern, "/stream") {
			let = s.limits.let("follow "+from(r).String(), followRate, followBurst)
		}
		if !let {
			s.problem(w, r, tooOften())
			return
		}
		var token office.Token
		err := apart(func() (err error) {
			token, err = s.Office.Known(r.Context(), office.Team, r.PathValue("token"))
			return err
		})
		switch {
		case errors.Is(err, office.ErrUnknown):
			s.problem(w, r, api.NewNo(api.StatusGone, api.Missing, "hub.link_ended"))
		case err != nil:
			s.fail(w, r, err)
		default:
			next(w, r, token)
		}
	}
}

// gameJSON is a game of a team.
type gameJSON struct {
	ID string `json:"id"`
	live.Title
	Live   bool         `json:"live"`               // it was begun and is not over
	Held   bool         `json:"held,omitempty"`     // two benches differ: it is shown up to where they do not
	Heard  entry.Millis `json:"heard_ms,omitempty"` // when its bench was heard last, by the hub's time
	Silent bool         `json:"silent,omitempty"`   // it is on, and its bench was not heard for a while
}

// silentAfter is for how long a bench whose game is on may say nothing before
// followers are told: it asks every 20 seconds as long as it reaches the hub.
const silentAfter = 60_000

// follows reports whether a game is one of those that a team's link shows.
func follows(token office.Token, game live.Title) bool {
	return game.Of(token.Label) && (token.Division == "" || token.Division == oneLine(game.Division))
}

// teamGames lists the games of a team, and says which one is on.
func (s *Site) teamGames(w http.ResponseWriter, r *http.Request, token office.Token) {
	list, err := s.Live.List(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	games, now := []gameJSON{}, s.Now()
	for _, one := range list {
		if !one.Shown || !follows(token, one.Title) {
			continue
		}
		g := gameJSON{ID: one.ID, Title: one.Title, Held: one.Forked, Heard: max(one.Heard, one.Game.Heard)}
		g.Live = !one.Sealed && one.Stage.Kind != entry.Over
		g.Silent = g.Live && now-g.Heard > silentAfter
		if g.NoScore {
			g.Score = [2]int{}
		}
		games = append(games, g)
	}
	s.json(w, r, map[string]any{"association": s.name(r), "team": token.Label, "division": token.Division, "games": games, "now_ms": now})
}

// time answers what the clock of the game's bench says, by which a page draws the
// clock of the game.
func (s *Site) time(w http.ResponseWriter, r *http.Request, _ office.Token) {
	game := r.PathValue("game")
	received := s.Live.BenchNow(game)
	s.json(w, r, map[string]any{"received_ms": received, "sent_ms": s.Live.BenchNow(game)})
}

// stream sends the state of a game now and what changed after every entry.
func (s *Site) stream(w http.ResponseWriter, r *http.Request, token office.Token) {
	game := r.PathValue("game")
	if !entry.ValidID(game) {
		s.problem(w, r, api.NotThere("hub.no_game"))
		return
	}
	if s.Live.Followers() >= followersMost {
		s.problem(w, r, tooOften())
		return
	}
	var follower *live.Follower
	err := apart(func() (err error) {
		run, had := resumes(r)
		follower, err = s.Live.Follow(r.Context(), game, run, had)
		return err
	})
	switch {
	case errors.Is(err, live.ErrNothing):
		s.problem(w, r, api.NotThere("hub.no_game"))
		return
	case err != nil:
		s.fail(w, r, err)
		return
	}
	if !follows(token, follower.Title()) { // a link of one team opens no other team's games
		follower.Close()
		s.problem(w, r, api.NotThere("hub.no_game"))
		return
	}
	w.Header().Set("X-Accel-Buffering", "no") // said to proxies that gather answers
	if out, taken := sse.Take(w, r, files.TakesGzip(r), writeWithin); taken {
		s.streams.Go(func() { s.sends(context.Background(), follower, out) })
		return
	}
	out, streams := sse.New(w, files.TakesGzip(r), writeWithin)
	if !streams {
		follower.Close()
		s.problem(w, r, api.NewNo(api.StatusFaulty, api.Faulty, "web.no_streaming"))
		return
	}
	s.sends(r.Context(), follower, out)
}

// sends sends all of a stream.
func (s *Site) sends(ctx context.Context, follower *live.Follower, out *sse.Out) {
	defer follower.Close()
	err := rescued(func() error {
		err := apart(func() error {
			if err := out.Begin(); err != nil {
				return err
			}
			return out.Send(s.backIn())
		})
		if err != nil {
			return err
		}
		if err := s.follow(ctx, follower, out); err != nil {
			return err
		}
		return out.End()
	})
	if err = errors.Join(err, out.Close()); err != nil {
		s.Logger.Debug("a stream ended", "error", err)
	}
}

// apart does something on a stack of its own. Asking the database takes a deep one, and so
// does writing headers (8 kB with what is above it), and what a stream once took it keeps
// for the hour that it lives, a thousand times over.
func apart(do func() error) error {
	done := make(chan error, 1)
	go func() { done <- rescued(do) }()
	return <-done
}

// rescued turns a panic beside the server's own work into an error.
func rescued(do func() error) (err error) {
	defer func() {
		if caught := recover(); caught != nil {
			err = fmt.Errorf("a request failed inside the program: %v\n%s", caught, debug.Stack())
		}
	}()
	return do()
}

// resumes is the state that a page has, by what a browser says when it comes back:
// epoch, number of the newest entry, run.
func resumes(r *http.Request) (run string, had int) {
	parts := strings.Split(r.Header.Get("Last-Event-ID"), "-")
	if len(parts) != 3 {
		return "", 0
	}
	had, err := strconv.Atoi(parts[1])
	if err != nil {
		return "", 0
	}
	return parts[2], had
}

// follow sends until the client or the hub ends, the stream is old, or what was sent
// no longer holds.
func (s *Site) follow(ctx context.Context, follower *live.Follower, out *sse.Out) error {
	beat := time.NewTicker(beatEvery)
	defer beat.Stop()
	lasts := time.NewTimer(streamLasts + time.Duration((rand.Float64()-0.5)*0.4*float64(streamLasts)))
	defer lasts.Stop()
	for {
		select {
		case <-follower.News():
			frame, on, err := follower.Next()
			if err != nil || !on {
				return err // the page comes back and begins anew
			}
			if frame.Seq == 0 {
				continue
			}
			if err := out.Send(frame.Begin, sse.Stored(append(strconv.AppendInt(make([]byte, 0, 24), int64(follower.BenchNow()), 10), "}\n\n"...))); err != nil {
				return err
			}
		case <-beat.C:
			if err := out.Event("beat", s.beat(follower)); err != nil {
				return err
			}
		case <-lasts.C:
			return nil
		case <-ctx.Done():
			return nil
		case <-s.ending.Done():
			return out.Send(s.backIn()) // by how many there are now
		}
	}
}
