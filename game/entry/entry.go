package entry

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"whistlestop/game/message"
)

// Entry is a line of the ledger.
type Entry struct {
	ID   string // ULID made where the entry was entered: the idempotency key
	Game string // id of the game
	Seq  int    // place in the ledger from 1; 0 while it is not posted
	At   At     // moment of the game that it belongs to
	Wall Millis // when it was entered or touched, milliseconds of Unix time
	Seat Seat   // from which seat
	By   string // who, as the bench knows them; may be empty
	Of   string // the entry that it amends or strikes
	Prev string // hash of the entry before it; empty for the first
	Body Body

	// Apart has what stands in the line in place of each text about a person, in
	// the order of MapTexts. Nothing: the texts are inside (version 1).
	Apart []Kept
	// Was is the hash of the line that this one was put in place of, when texts
	// about people were taken out of it; empty for a line as it was written.
	Was string
}

// Kind returns the kind of the entry's body.
func (e Entry) Kind() Kind { return e.Body.Kind() }

// typePrefix and a version make the CloudEvents type, such as
// "whistlestop.goal.v1". Version 2 has commitments where version 1 has texts
// about people; every ledger ever written can be read.
const (
	typePrefix  = "whistlestop."
	inside      = ".v1"
	apart       = ".v2"
	specVersion = "1.0"
	sourceGame  = "/game/"
)

// envelope is an entry as a CloudEvent (CloudEvents 1.0, JSON format; from
// memory). seq, seat, by, of, prev and was are extension attributes.
type envelope struct {
	SpecVersion string          `json:"specversion"`
	ID          string          `json:"id"`
	Source      string          `json:"source"`
	Type        string          `json:"type"`
	Time        string          `json:"time"`
	Seq         int             `json:"seq,omitempty"`
	Seat        Seat            `json:"seat,omitempty"`
	By          string          `json:"by,omitempty"`
	Of          string          `json:"of,omitempty"`
	Prev        string          `json:"prev,omitempty"`
	Was         string          `json:"was,omitempty"`
	Data        json.RawMessage `json:"data"`
}

type data struct {
	At   At              `json:"at"`
	Body json.RawMessage `json:"body"`
}

// timeForm has whole milliseconds, so that writing and reading loses nothing.
const timeForm = "2006-01-02T15:04:05.000Z"

// MarshalJSON writes the entry as one CloudEvent on one line. The bytes are the
// same on every machine.
func (e Entry) MarshalJSON() ([]byte, error) {
	if e.Body == nil {
		return nil, message.New("chain.no_body", "entry", e.ID)
	}
	version := inside
	if e.Apart != nil {
		version = apart
		var err error
		if e, err = e.committed(); err != nil {
			return nil, err
		}
	}
	body, err := json.Marshal(e.Body)
	if err != nil {
		return nil, err
	}
	at, err := json.Marshal(e.At)
	if err != nil {
		return nil, err
	}
	// Put together by hand: an envelope with two more inside would be gone through
	// three times, and every start, copy and check writes lines.
	line := make([]byte, 0, lineUsually+len(body))
	line = append(line, `{"specversion":"`+specVersion+`"`...)
	line = appendField(line, "id", e.ID, true)
	line = appendField(line, "source", sourceGame+e.Game, true)
	line = appendField(line, "type", typePrefix+string(e.Body.Kind())+version, true)
	line = appendField(line, "time", time.UnixMilli(int64(e.Wall)).UTC().Format(timeForm), true)
	if e.Seq != 0 {
		line = strconv.AppendInt(append(line, `,"seq":`...), int64(e.Seq), 10)
	}
	line = appendField(line, "seat", string(e.Seat), false)
	line = appendField(line, "by", e.By, false)
	line = appendField(line, "of", e.Of, false)
	line = appendField(line, "prev", e.Prev, false)
	line = appendField(line, "was", e.Was, false)
	line = append(append(line, `,"data":{"at":`...), at...)
	line = append(append(line, `,"body":`...), body...)
	return append(line, "}}"...), nil
}

// lineUsually is how long a line is without its body.
const lineUsually = 400

// appendField appends a text to an object, unless it is empty and not always there.
func appendField(line []byte, name, text string, always bool) []byte {
	if text == "" && !always {
		return line
	}
	line = append(append(append(line, `,"`...), name...), `":`...)
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' || strings.IndexByte(`"\<>&`, c) >= 0 {
			quoted, _ := json.Marshal(text) // a text can always be written
			return append(line, quoted...)
		}
	}
	return append(append(append(line, '"'), text...), '"')
}

// UnmarshalJSON reads one CloudEvent. It refuses unknown fields, kinds and
// versions: a misspelt field must not be dropped in silence.
func (e *Entry) UnmarshalJSON(line []byte) error {
	if !utf8.Valid(line) {
		return message.New("chain.not_utf8")
	}
	var env envelope
	if err := strict(line, &env); err != nil {
		return err
	}
	if env.SpecVersion != specVersion {
		return message.New("chain.specversion", "found", message.Plain(env.SpecVersion), "wanted", message.Plain(specVersion))
	}
	game, found := strings.CutPrefix(env.Source, sourceGame)
	if !found {
		return message.New("chain.source", "found", message.Plain(env.Source), "wanted", sourceGame)
	}
	name, found := strings.CutPrefix(env.Type, typePrefix)
	if !found {
		return message.New("chain.type", "type", message.Plain(env.Type))
	}
	name, first := strings.CutSuffix(name, inside)
	name, second := strings.CutSuffix(name, apart)
	if first == second {
		return message.New("chain.type_version", "type", message.Plain(env.Type))
	}
	wall, err := time.Parse(time.RFC3339Nano, env.Time)
	if err != nil {
		return message.New("chain.time", "time", message.Plain(env.Time))
	}
	var inner data
	if err := strict(env.Data, &inner); err != nil {
		return err
	}
	body, err := unmarshalBody(Kind(name), inner.Body)
	if err != nil {
		return err
	}
	*e = Entry{
		ID: env.ID, Game: game, Seq: env.Seq, At: inner.At, Wall: Millis(wall.UnixMilli()),
		Seat: env.Seat, By: env.By, Of: env.Of, Prev: env.Prev, Body: body, Was: env.Was,
	}
	if second {
		*e, err = fromCommitted(*e)
		return err
	}
	if e.Was != "" {
		return message.New("chain.stands_for")
	}
	return nil
}

// amendedJSON is how an Amended is written: the kind of the entry that it
// amends, and the body that takes its place.
type amendedJSON struct {
	Kind Kind            `json:"kind"`
	Body json.RawMessage `json:"body"`
}

// MarshalJSON writes the kind of the entry that is amended with the body.
func (a Amended) MarshalJSON() ([]byte, error) {
	if a.To == nil {
		return nil, message.New("chain.empty_amendment")
	}
	inner, err := json.Marshal(a.To)
	if err != nil {
		return nil, err
	}
	return json.Marshal(amendedJSON{Kind: a.To.Kind(), Body: inner})
}

func strict(raw []byte, into any) error {
	if len(raw) == 0 {
		return message.New("chain.missing")
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return err
	}
	if dec.More() {
		return message.New("chain.more")
	}
	return nil
}

// Hash returns the SHA-256 of the entry's bytes in hexadecimal, as they were
// written first. The next entry of the ledger carries it as Prev, so that a
// changed, missing or moved entry can be named.
func (e Entry) Hash() (string, error) {
	if e.Was != "" {
		return e.Was, nil
	}
	line, err := e.MarshalJSON()
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(line)
	return hex.EncodeToString(sum[:]), nil
}

// VerifyChain returns an error that names the first entry whose place in the
// ledger or whose link to the entry before it is wrong.
func VerifyChain(ledger []Entry) error {
	prev := ""
	for i, e := range ledger {
		if e.Seq != i+1 {
			return message.New("chain.says_number", "place", i+1, "number", e.Seq)
		}
		if e.Prev != prev {
			return message.New("chain.link", "place", e.Seq, "entry", e.ID)
		}
		var err error
		if prev, err = e.Hash(); err != nil {
			return message.Because(err, "chain.entry", "place", e.Seq, "entry", e.ID)
		}
		for _, name := range e.Names() {
			if !name.Valid() {
				return message.New("chain.entry_text_other", "place", e.Seq, "entry", e.ID)
			}
		}
	}
	return nil
}
