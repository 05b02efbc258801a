package entry

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"whistlestop/game/message"
)

// LineMost is the longest line of a ledger that is read, in bytes. The longest
// entry, a rink card or two full rosters, stays far below it.
const LineMost = 1 << 20

// ReadLine reads one line of a ledger that may have been written by anybody. It
// takes a line only in the one form in which this program writes it, byte for
// byte: a key that stands there twice or in another case, a number written in
// another way or a byte that is no text would say one thing here and another to
// the next program that reads the file. What it returns is within Bounds.
func ReadLine(line []byte) (Entry, error) {
	if len(line) > LineMost {
		return Entry{}, message.New("chain.too_long", "most", LineMost>>10)
	}
	var e Entry
	if err := e.UnmarshalJSON(line); err != nil {
		return Entry{}, err
	}
	if err := e.Bounds(); err != nil {
		return e, err
	}
	again, err := e.MarshalJSON()
	if err != nil {
		return e, err
	}
	if !bytes.Equal(again, line) {
		return e, message.New("chain.unusual_from", "byte", differsAt(again, line))
	}
	return e, nil
}

// differsAt is the place, from 1, of the first byte in which two texts differ.
func differsAt(one, other []byte) int {
	n := 0
	for n < len(one) && n < len(other) && one[n] == other[n] {
		n++
	}
	return n + 1
}

// ValidID reports whether an id has the form of a ULID as the program writes
// them: 26 digits and capital letters. So no id is ever a path.
func ValidID(id string) bool {
	if len(id) != idLength {
		return false
	}
	for _, r := range id {
		if (r < '0' || r > '9') && (r < 'A' || r > 'Z') {
			return false
		}
	}
	return true
}

// Limits of the entries of a ledger. They are wider than those of a post where
// the bench fills in what its clocks show.
const (
	idLength   = 26
	hashLength = 64
	seqMost    = 1_000_000
	clockMost  = 1000 * 3600_000 // a clock that nobody stopped for weeks
)

// Bounds reports what no bench could have put into a ledger, whatever the rules
// say: an id that is a path, a number that no game reaches. Whatever is read from
// a file or a disk is held against it before anything is worked out of it.
func (e Entry) Bounds() error {
	switch {
	case !ValidID(e.ID):
		return invalid("id", "invalid.id", "id", quoted(e.ID))
	case !ValidID(e.Game):
		return invalid("source", "invalid.game_id", "id", quoted(e.Game))
	case e.Of != "" && !ValidID(e.Of):
		return invalid("of", "invalid.of_id", "id", quoted(e.Of))
	case e.Seq < 1 || e.Seq > seqMost:
		return invalid("seq", "invalid.seq", "seq", e.Seq)
	case e.Wall < 0 || e.Wall > lastInstant:
		return invalid("time", "invalid.wall")
	case e.Was != "" && !hexadecimal(e.Was):
		return invalid("was", "invalid.was")
	case e.Prev != "" && !hexadecimal(e.Prev):
		return invalid("prev", "invalid.prev")
	case e.At.Elapsed < 0 || e.At.Elapsed > clockMost:
		return invalid("at.elapsed_ms", "invalid.at", "time", e.At.Elapsed)
	}
	// What the bench fills in from its clocks may be more than anybody may post:
	// it is held against its own limits and left out of the rest.
	e.At.Elapsed = 0
	within := func(field string, values ...Millis) error {
		for _, v := range values {
			if v < 0 || v > lastInstant || field == "elapsed_ms" && v > clockMost {
				return invalid(field, "invalid.clock_shows", "time", v)
			}
		}
		return nil
	}
	var err error
	switch b := e.Body.(type) {
	case ClockStarted:
		err = errors.Join(within("elapsed_ms", b.Elapsed), within("error_ms", b.Error))
		e.Body = ClockStarted{}
	case ClockStopped:
		err = errors.Join(within("elapsed_ms", b.Elapsed), within("error_ms", b.Error))
		e.Body = ClockStopped{}
	case ClockDoubted:
		err = errors.Join(within("elapsed_ms", b.Elapsed), within("asleep_ms", b.Asleep),
			within("kept_wall_ms", b.Kept), within("found_wall_ms", b.Found), within("step_ms", max(b.Step, -b.Step)))
		rest := ClockDoubted{Why: b.Why}
		for _, r := range b.Readings {
			err = errors.Join(err, within("elapsed_ms", r.Elapsed))
			rest.Readings = append(rest.Readings, ClockReading{By: r.By})
		}
		e.Body = rest
	default: // the other entries say nothing here
	}
	if err != nil {
		return err
	}
	return e.Validate()
}

// quoted is what a stranger wrote, short enough for a message.
func quoted(text string) string {
	const most = 40
	if len(text) > most {
		return strconv.Quote(text[:most]) + "..."
	}
	return strconv.Quote(text)
}

func hexadecimal(text string) bool {
	return len(text) == hashLength && strings.Trim(text, "0123456789abcdef") == ""
}

// exactMost is the largest number that every program reads alike: many keep
// numbers with 53 bits.
const exactMost = 1 << 53

// nestMost is how deep lists and objects may stand in one another.
const nestMost = 20

// plainJSON checks a piece of JSON that an entry carries as it is, a division or
// a rink card: that every program reads it alike. No key stands twice or has
// capital letters, numbers are whole, and texts are written the usual way.
func plainJSON(raw json.RawMessage) error {
	in := json.NewDecoder(bytes.NewReader(raw))
	in.UseNumber()
	var again bytes.Buffer
	if err := copyPlain(in, &again, 0); err != nil {
		return err
	}
	if _, err := in.Token(); err != io.EOF {
		return message.New("plain_json.more")
	}
	var compact bytes.Buffer
	if err := json.Compact(&compact, raw); err != nil {
		return err
	}
	var ours, theirs bytes.Buffer
	json.HTMLEscape(&ours, again.Bytes())
	json.HTMLEscape(&theirs, compact.Bytes())
	if !bytes.Equal(ours.Bytes(), theirs.Bytes()) {
		return message.New("plain_json.text")
	}
	return nil
}

// copyPlain writes the next value as the program would.
func copyPlain(in *json.Decoder, out *bytes.Buffer, deep int) error {
	if deep > nestMost {
		return message.New("plain_json.deep")
	}
	token, err := in.Token()
	if err != nil {
		return err
	}
	open, ok := token.(json.Delim)
	if !ok {
		return copyScalar(token, out)
	}
	out.WriteByte(byte(open))
	seen := map[string]bool{}
	for n := 0; in.More(); n++ {
		if n > 0 {
			out.WriteByte(',')
		}
		if open == '{' {
			key, err := in.Token()
			if err != nil {
				return err
			}
			name, _ := key.(string)
			if seen[name] || !plainKey(name) {
				return message.New("plain_json.key", "key", quoted(name))
			}
			seen[name] = true
			if err := copyScalar(name, out); err != nil {
				return err
			}
			out.WriteByte(':')
		}
		if err := copyPlain(in, out, deep+1); err != nil {
			return err
		}
	}
	shut, err := in.Token()
	if err != nil {
		return err
	}
	if end, ok := shut.(json.Delim); ok {
		out.WriteByte(byte(end))
	}
	return nil
}

func copyScalar(token any, out *bytes.Buffer) error {
	if number, ok := token.(json.Number); ok {
		n, err := strconv.ParseInt(number.String(), 10, 64)
		if err != nil || n < -exactMost || n > exactMost || strconv.FormatInt(n, 10) != number.String() {
			return message.New("plain_json.number", "number", quoted(number.String()))
		}
	}
	text, err := json.Marshal(token)
	out.Write(text)
	return err
}

// plainKey reports whether a key cannot be taken for another one: some programs,
// this one among them, read keys without regard to case.
func plainKey(name string) bool {
	for _, r := range name {
		if r >= utf8.RuneSelf || r < ' ' || r >= 'A' && r <= 'Z' {
			return false
		}
	}
	return true
}
