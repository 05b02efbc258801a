package main

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"path/filepath"
	"slices"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/mail"
	"whistlestop/internal/mail/queue"
)

// lettersFile is where a hub keeps letters with links to sign in until they are sent. A
// link in it is good for a quarter of an hour, and nobody else reads the file.
const lettersFile = "letters.json"

// signInLetters sends links to sign in.
type signInLetters struct {
	queue     *queue.Queue
	languages api.Languages
}

// SignIn keeps the letter and returns when it is on the disk.
func (l signInLetters) SignIn(_ context.Context, m people.SignInMail) error {
	words, raw := l.languages(m.Language), make([]byte, 12)
	_, _ = rand.Read(raw) // never fails
	args := message.Pairs("name", m.Name, "association", m.AssociationName, "link", m.Link)
	return l.queue.Add(mail.Letter{
		ID: hex.EncodeToString(raw), To: m.Address, Subject: words.Text("hub.letter.subject", args), Text: words.Text("hub.letter.sign_in", args) + "\n", Asked: true,
	}, int64(m.Ends))
}

// signIns sends the links of a hub that has a post; nil: it has none. What cannot be read of
// the letters of before is left out: whoever waits for one asks again.
func (a *association) signIns(p *Program) people.Sender {
	if a.post == nil {
		return nil
	}
	// A hub over a database may have no folder. Its links do not lie in the database: that
	// keeps hashes only, and its copies go to other places. One that waits when such a hub
	// ends is asked for again.
	var file queue.File = &inMemory{}
	if a.folder != "" {
		file = privatefile.At(filepath.Join(a.folder, lettersFile))
	}
	now := func() int64 { return int64(office.Now()) }
	q, err := queue.Open(file, a.post, now, p.logger)
	if err != nil {
		p.logger.Error("the letters that waited cannot be read; whoever waits for one asks again", "error", err)
		if q, err = queue.Open(empty{file}, a.post, now, p.logger); err != nil {
			return nil
		}
	}
	a.letters.group.Go(func() { q.Run(a.letters.ctx, a.letters.cut) })
	return signInLetters{q, p.languages()}
}

// inMemory is a file that ends with the program.
type inMemory struct{ text []byte }

func (m *inMemory) Read() ([]byte, error) { return m.text, nil }

func (m *inMemory) Write(text []byte) error {
	m.text = slices.Clone(text)
	return nil
}

// empty is a file of which nothing is read.
type empty struct{ queue.File }

func (empty) Read() ([]byte, error) { return nil, nil }
