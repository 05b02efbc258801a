package pocket

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"sync"

	"whistlestop/game/card"
)

// File is a small content that is written as a whole. Read returns nil where nothing
// was written; Write returns when it is safe.
type File interface {
	Read() ([]byte, error)
	Write(content []byte) error
}

// papers are small contents by their names, all in one file.
type papers struct {
	file  File
	mutex sync.Mutex
}

// paper is one of them.
type paper struct {
	in   *papers
	name string
}

func (p *papers) named(name string) paper { return paper{p, name} }

// all reads the contents. The caller holds the mutex.
func (p *papers) all() (map[string][]byte, error) {
	raw, err := p.file.Read()
	all := map[string][]byte{}
	if err == nil && raw != nil {
		err = json.Unmarshal(raw, &all)
	}
	return all, err
}

// Read returns the content; nil: there is none.
func (p paper) Read() ([]byte, error) {
	p.in.mutex.Lock()
	defer p.in.mutex.Unlock()
	all, err := p.in.all()
	return all[p.name], err
}

// Write keeps a content in place of the one before.
func (p paper) Write(content []byte) error {
	p.in.mutex.Lock()
	defer p.in.mutex.Unlock()
	all, err := p.in.all()
	if err != nil {
		return err
	}
	all[p.name] = content
	raw, err := json.Marshal(all)
	if err != nil {
		return err
	}
	return p.in.file.Write(raw)
}

// cardMark begins the name of a paper with a rink card.
const cardMark = "card "

// cards are the rink cards of the papers, and the one that comes with the program.
type cards struct {
	in   *papers
	more func() card.File
}

// All lists the cards, those that were kept first.
func (c cards) All() ([]card.File, error) {
	c.in.mutex.Lock()
	all, err := c.in.all()
	c.in.mutex.Unlock()
	if err != nil {
		return nil, err
	}
	var files []card.File
	own := map[string]bool{}
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if id, is := strings.CutPrefix(name, cardMark); is {
			own[id] = true
			files = append(files, card.NewFile(id+".toml", all[name]))
		}
	}
	if file := c.more(); !own[file.Card.ID] {
		files = append(files, file)
	}
	return files, nil
}

// Keep keeps a card that was checked.
func (c cards) Keep(id string, text []byte) error { return c.in.named(cardMark + id).Write(text) }
