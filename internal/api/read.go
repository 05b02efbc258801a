package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Read reads JSON strictly: no unknown fields, nothing after the end, and only
// text. The JSON package would put a sign in place of bytes that are no UTF-8,
// and keep something that nobody sent.
func Read(raw []byte, into any) error {
	if !utf8.Valid(raw) {
		return message.New("chain.not_utf8")
	}
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(into); err != nil {
		return err
	}
	if _, after := decoder.Token(); after != io.EOF {
		return message.New("plain_json.more")
	}
	return nil
}

// Drafts reads the drafts of a post or preview. The error says what is wrong with
// the first that cannot be read.
func (e Entries) Drafts() (drafts []entry.Entry, err error) {
	drafts = make([]entry.Entry, len(e.Entries))
	for i, raw := range e.Entries {
		if err := drafts[i].UnmarshalJSON(raw); err != nil {
			return nil, Unread("web.entry_unreadable", "place", strconv.Itoa(i+1), "why", Plain(err))
		}
	}
	return drafts, nil
}

// Plain is what was wrong as it stands in the gap of a sentence. It takes the
// package's name off an error of the JSON decoder and shortens what may quote a stranger.
func Plain(err error) string {
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return "@file.cut_short"
	}
	say := message.Of(err)
	say.Args = slices.Clone(say.Args)
	for i, arg := range say.Args {
		say.Args[i].Text = Clip(strings.TrimPrefix(arg.Text, "json: "))
	}
	return "@" + say.String()
}

// Clip shortens what a stranger wrote before it is shown.
func Clip(text string) string {
	const most = 80
	if len(text) > most {
		return text[:most] + "..."
	}
	return text
}

// Lines writes a ledger as people take it along: one entry a line, with the texts
// that lie beside it.
func Lines(ledger []entry.Entry) (all []byte, err error) {
	lines := entry.Lines{}
	for _, e := range ledger {
		if all, err = lines.Append(all, e); err != nil {
			return nil, err
		}
	}
	return all, nil
}
