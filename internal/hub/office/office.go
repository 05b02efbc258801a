package office

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"io"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// Kind is what a token is for.
type Kind string

// The kinds of token.
const (
	Bench Kind = "bench" // may send ledgers, and nothing else
	Team  Kind = "team"  // follows the games of one team
	First Kind = "first" // makes an admin, once
)

// How long tokens last, in milliseconds (ours). A bench is paired for a season, or for the
// games of a day, and can be taken off at any time; a team's link lasts until it is made anew.
const (
	BenchLasts = entry.Millis(270 * 24 * time.Hour / time.Millisecond)
	TeamLasts  = entry.Millis(400 * 24 * time.Hour / time.Millisecond)
	FirstLasts = entry.Millis(30 * time.Minute / time.Millisecond)
)

// DayLasts is how long a bench that is paired for the games of a day may send after that
// day has ended everywhere: 24 hours (section 8 of the hub's requirements).
const DayLasts = 24 * time.Hour

// behindMost is how much later than in UTC a day ends where it ends last.
const behindMost = 12 * time.Hour

// LastsForDay is how long from now a bench lasts that is paired for the games of a day,
// such as 2026-12-05. It returns ErrDay where that is no day, or is over, or lies further
// ahead than a bench lasts.
func LastsForDay(day string, now entry.Millis) (entry.Millis, error) {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return 0, ErrDay
	}
	ends := at.Add(24*time.Hour + behindMost)
	if ends.UnixMilli() <= int64(now) || ends.Add(DayLasts).UnixMilli()-int64(now) > int64(BenchLasts) {
		return 0, ErrDay
	}
	return entry.Millis(ends.Add(DayLasts).UnixMilli()) - now, nil
}

// Token is what is kept of a secret.
type Token struct {
	ID    string
	Kind  Kind
	Label string // of a bench: what people call it; of a team's link: the team
	// Division is that of a team's link, by its name; empty: every one that has a team of
	// that name.
	Division string
	// OneGame says that a bench may send one game alone: Game, or, while that is empty, the
	// first that it sends.
	OneGame bool
	Game    string
	Made    entry.Millis // milliseconds of Unix time, like the others
	Expires entry.Millis
	Revoked entry.Millis // 0: it was not taken back
	Used    entry.Millis // when it was shown last; 0: never
}

// Ends is when a token stops being good.
func (t Token) Ends() entry.Millis {
	if t.Revoked != 0 {
		return min(t.Revoked, t.Expires)
	}
	return t.Expires
}

// Association is one that a hub serves.
type Association struct {
	ID, Name string
	Made     entry.Millis
}

// Logged is a line of the log, with the chain of its hashes.
type Logged struct {
	Seq int
	ledgers.Note
	Prev, Hash string
}

// Sum is the hash of a line of the log after another one.
func (l Logged) Sum() string {
	sum := sha256.New()
	for _, text := range []string{l.Prev, strconv.FormatInt(int64(l.At), 10), l.Who, l.What, l.Object, l.From} {
		_, _ = io.WriteString(sum, text) // a hash takes everything
		_, _ = sum.Write([]byte{0})
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// Store keeps all that. What it changes survives a power cut once it returns.
type Store interface {
	// Associations returns those that are there, the oldest first.
	Associations(ctx context.Context) ([]Association, error)
	// Found makes an association, or gives one another name.
	Found(ctx context.Context, a Association, note ledgers.Note) error
	// Keep keeps a token under the hash of its secret.
	Keep(ctx context.Context, association string, t Token, hash string, note ledgers.Note) error
	// Token finds one by the hash of its secret; the zero token where there is none.
	Token(ctx context.Context, association string, kind Kind, hash string) (Token, error)
	// Take is Token, and no other call gets that one: it ends with this.
	Take(ctx context.Context, association string, kind Kind, hash string, note ledgers.Note) (Token, error)
	// Tokens returns those of a kind, the newest first.
	Tokens(ctx context.Context, association string, kind Kind) ([]Token, error)
	// Revoke takes a token back and reports whether there was one to take.
	Revoke(ctx context.Context, association, id string, note ledgers.Note) (bool, error)
	// Bind gives a bench for one game the game that it is for, where it has none yet, and
	// returns the one that it is for.
	Bind(ctx context.Context, association, id, game string, note ledgers.Note) (bound string, err error)
	// Seen notes when a token was shown.
	Seen(ctx context.Context, association, id string, at entry.Millis) error
	// Log returns lines of the log after a place, the oldest first.
	Log(ctx context.Context, association string, after, most int) ([]Logged, error)
}

// ErrUnknown is the one answer to a secret that is good for nothing.
var ErrUnknown = errors.New("no such token")

// ErrDay says that no bench can be paired for a day.
var ErrDay = errors.New("not a day to come")

// Here is who acts when somebody at the hub's own computer gives a command.
const Here = "command"

// Office is one association's.
type Office struct {
	store       Store
	association string
	now         func() entry.Millis
	random      io.Reader
}

// New returns the office of an association. now tells the time in milliseconds of
// Unix time; random cannot be guessed.
func New(store Store, association string, now func() entry.Millis, random io.Reader) *Office {
	return &Office{store, association, now, random}
}

// Now is the time of this computer in milliseconds of Unix time.
func Now() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }

// HashOf is how a secret is kept. It is random, so it needs no salt and no slow hash.
func HashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// secretBytes is 192 bits, which nobody guesses and a QR code still carries easily.
const secretBytes = 24

// bytes are random ones. The system's randomness does not fail; if it did, going on
// would be worse than to stop.
func (o *Office) bytes(count int) []byte {
	raw := make([]byte, count)
	if _, err := io.ReadFull(o.random, raw); err != nil {
		panic("no randomness: " + err.Error())
	}
	return raw
}

// Note is a line of the log, now.
func (o *Office) Note(who, what, object, from string) ledgers.Note {
	return ledgers.Note{At: o.now(), Who: who, What: what, Object: object, From: from}
}

// By is who does something, and from where.
type By struct{ Who, From string }

// Issue makes a token. The secret is nowhere else: it is shown now or never. It begins
// with the association for which it is good; those of older hubs do not.
func (o *Office) Issue(ctx context.Context, kind Kind, label string, lasts entry.Millis, by By) (secret string, t Token, err error) {
	return o.issue(ctx, Token{Kind: kind, Label: label}, lasts, by)
}

// IssueTeam makes the link of a team: of its games in one division, or, where that is
// empty, of every team with this name.
func (o *Office) IssueTeam(ctx context.Context, team, division string, by By) (secret string, t Token, err error) {
	return o.issue(ctx, Token{Kind: Team, Label: team, Division: division}, TeamLasts, by)
}

// IssueOneGame pairs a bench that may send one game alone, the first that it sends.
func (o *Office) IssueOneGame(ctx context.Context, label string, lasts entry.Millis, by By) (secret string, t Token, err error) {
	return o.issue(ctx, Token{Kind: Bench, Label: label, OneGame: true}, lasts, by)
}

func (o *Office) issue(ctx context.Context, t Token, lasts entry.Millis, by By) (string, Token, error) {
	secret := o.association + "." + base64.RawURLEncoding.EncodeToString(o.bytes(secretBytes))
	now := o.now()
	t.ID, t.Made, t.Expires = hex.EncodeToString(o.bytes(8)), now, now+lasts
	err := o.store.Keep(ctx, o.association, t, HashOf(secret), o.Note(by.Who, "made_"+string(t.Kind), t.ID, by.From))
	return secret, t, err
}

// Known finds the token of a secret that is still good, or returns ErrUnknown.
func (o *Office) Known(ctx context.Context, kind Kind, secret string) (Token, error) {
	t, err := o.store.Token(ctx, o.association, kind, HashOf(secret))
	return o.good(t, err)
}

// Take uses up the token of a secret: the second who tries gets ErrUnknown.
func (o *Office) Take(ctx context.Context, kind Kind, secret string, by By) (Token, error) {
	t, err := o.store.Take(ctx, o.association, kind, HashOf(secret), o.Note(by.Who, "used_"+string(kind), "", by.From))
	return o.good(t, err)
}

func (o *Office) good(t Token, err error) (Token, error) {
	if err == nil && (t.ID == "" || t.Ends() <= o.now()) {
		err = ErrUnknown
	}
	return t, err
}

// List returns the tokens of a kind that are still good, the newest first.
func (o *Office) List(ctx context.Context, kind Kind) ([]Token, error) {
	all, err := o.store.Tokens(ctx, o.association, kind)
	var good []Token
	for _, t := range all {
		if t.Ends() > o.now() {
			good = append(good, t)
		}
	}
	return good, err
}

// Revoke takes a token back.
func (o *Office) Revoke(ctx context.Context, id string, by By) error {
	there, err := o.store.Revoke(ctx, o.association, id, o.Note(by.Who, "took_back", id, by.From))
	if err == nil && !there {
		err = ErrUnknown
	}
	return err
}

// Bind returns the game that a bench for one game is for: this one, where it had none.
// Whoever sends at one moment, at whichever hub, gets the same answer.
func (o *Office) Bind(ctx context.Context, t Token, game, from string) (bound string, err error) {
	return o.store.Bind(ctx, o.association, t.ID, game, o.Note(t.ID, "bound_bench", game, from))
}

// Seen notes that a token was shown.
func (o *Office) Seen(ctx context.Context, t Token) error {
	return o.store.Seen(ctx, o.association, t.ID, o.now())
}
