package api

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
)

// Problem is a problem as RFC 9457 writes it, with the refusals of entries
// as an extension.
type Problem struct {
	Type    string          `json:"type"`
	Title   string          `json:"title"`
	Status  int             `json:"status"`
	Detail  string          `json:"detail"`
	Refused []rules.Refusal `json:"refused,omitempty"`
	Stale   *Stale          `json:"stale,omitempty"` // both versions of an entry that two people edited
}

// Stale is both versions of an entry that two people edited.
type Stale struct {
	Of     string          `json:"of"`
	Yours  json.RawMessage `json:"yours" contract:"Entry"`
	Theirs json.RawMessage `json:"theirs" contract:"Entry"`
}

// Kind is the kind of a problem: the last word of its type, and of the key of
// its title.
type Kind string

// The kinds of problem that every bench has.
const (
	Refused     Kind = "refused"
	Missing     Kind = "missing"
	Conflict    Kind = "conflict"
	Unavailable Kind = "unavailable"
	Faulty      Kind = "faulty"
	Unreadable  Kind = "unreadable"
	Outdated    Kind = "stale"
	TooMany     Kind = "too_many"
	Elsewhere   Kind = "not_here" // whoever asks may not
	TooLarge    Kind = "too_large"
	WrongMethod Kind = "method"
)

// Statuses of the answers, as HTTP numbers them.
const (
	StatusOK          = 200
	StatusMade        = 201
	StatusWaits       = 202 // for a person's decision
	StatusUnreadable  = 400
	StatusNotHere     = 403
	StatusMissing     = 404
	StatusConflict    = 409
	StatusGone        = 410
	StatusTooLarge    = 413
	StatusWrongMedia  = 415
	StatusRefused     = 422
	StatusTooMany     = 429
	StatusFaulty      = 500
	StatusUnavailable = 503
)

// No is why a question is not answered, where it is not the bench that says so.
type No struct {
	Status  int
	Kind    Kind
	Say     rules.Say
	Refused []rules.Refusal
	Again   int // seconds after which it may be asked again; 0: nothing is said about it
}

// Error names what is said.
func (n *No) Error() string { return n.Say.Key }

// NewNo is a no with its words; pairs are the names of gaps and what fills them.
func NewNo(status int, k Kind, key string, pairs ...string) *No {
	return &No{Status: status, Kind: k, Say: rules.Say{Key: key, Args: rules.Pairs(pairs...)}}
}

// About says which field of what was sent is refused.
func (n *No) About(field string) *No {
	n.Refused = append(n.Refused, rules.Refusal{Field: field, Say: n.Say})
	return n
}

// NotThere says that something is not there.
func NotThere(key string, pairs ...string) *No { return NewNo(StatusMissing, Missing, key, pairs...) }

// Refuse says why something cannot be done.
func Refuse(key string, pairs ...string) *No { return NewNo(StatusRefused, Refused, key, pairs...) }

// Unread says why a question cannot be read.
func Unread(key string, pairs ...string) *No {
	return NewNo(StatusUnreadable, Unreadable, key, pairs...)
}

// NotHere says that whoever asks may not.
func NotHere(key string, pairs ...string) *No { return NewNo(StatusNotHere, Elsewhere, key, pairs...) }

// NotNow says that something cannot be done at the moment.
func NotNow(key string, pairs ...string) *No {
	return NewNo(StatusUnavailable, Unavailable, key, pairs...)
}

// Words are the texts of a language for people, by their keys.
type Words interface {
	Text(key string, args rules.Args) string
	Language() string // as a tag of BCP 47
}

// Languages finds the words of the first language wanted that there is; of English,
// where there is none of them.
type Languages func(wanted ...string) Words

// Reason puts what is wrong into words.
func Reason(words Words, err error) string {
	say := message.Of(err)
	return words.Text(say.Key, say.Args)
}

// NewProblem is a problem of a kind, in words.
func NewProblem(words Words, status int, k Kind, detail string, refused ...rules.Refusal) Problem {
	return Problem{
		Type: "urn:whistlestop:problem:" + string(k), Title: words.Text("web.title."+string(k), nil),
		Status: status, Detail: detail, Refused: InWords(words, refused),
	}
}

// File is the problem as it travels (RFC 9457).
func (p Problem) File() File {
	raw, err := json.Marshal(p)
	if err != nil {
		panic(err) // strings and numbers can always be written
	}
	return File{Raw: raw, Media: "application/problem+json"}
}

// InWords puts the sentences that stand inside others, in their gaps {why} and
// {detail}, into words. The pages know most sentences that a refusal has, but not all
// that can be wrong with a file or an entry.
func InWords(words Words, refused []rules.Refusal) []rules.Refusal {
	for i, one := range refused {
		for a, arg := range one.Say.Args {
			say, read := message.Read(strings.TrimPrefix(arg.Text, "@"))
			if read && strings.HasPrefix(arg.Text, "@") && (arg.Name == "why" || arg.Name == "detail") {
				refused[i].Say.Args = slices.Clone(refused[i].Say.Args)
				refused[i].Say.Args[a].Text = words.Text(say.Key, say.Args)
			}
		}
	}
	return refused
}

// statuses gives the status of each kind of problem of the bench.
var statuses = map[bench.Kind]struct {
	status int
	kind   Kind
}{
	bench.Refused:     {StatusRefused, Refused},
	bench.Missing:     {StatusMissing, Missing},
	bench.Conflict:    {StatusConflict, Conflict},
	bench.Outdated:    {StatusConflict, Outdated},
	bench.TooMany:     {StatusTooMany, TooMany},
	bench.Unavailable: {StatusUnavailable, Unavailable},
	bench.Faulty:      {StatusFaulty, Faulty},
}

// Why is what was said against a request. It reports false for an error that
// nobody said: the program's own fault, which is for the log.
func Why(words Words, err error) (problem Problem, known bool) {
	var no *No
	if errors.As(err, &no) {
		return NewProblem(words, no.Status, no.Kind, words.Text(no.Say.Key, no.Say.Args), no.Refused...), true
	}
	faulty := NewProblem(words, StatusFaulty, Faulty, words.Text("bench.faulty", nil))
	var p *bench.Problem
	if !errors.As(err, &p) {
		return faulty, false
	}
	as, known := statuses[p.Kind]
	if !known {
		as.status, as.kind = StatusFaulty, Faulty
	}
	details := []string{words.Text(p.Say.Key, p.Say.Args)}
	for _, refusal := range p.Refused {
		if text := words.Text(refusal.Say.Key, refusal.Say.Args); text != details[0] {
			details = append(details, text)
		}
	}
	problem = NewProblem(words, as.status, as.kind, strings.Join(details, " "), p.Refused...)
	if p.Stale != nil {
		yours, errYours := p.Stale.Yours.MarshalJSON()
		theirs, errTheirs := p.Stale.Theirs.MarshalJSON()
		if errYours != nil || errTheirs != nil {
			return faulty, false
		}
		problem.Stale = &Stale{Of: p.Stale.Of, Yours: yours, Theirs: theirs}
	}
	return problem, true
}
