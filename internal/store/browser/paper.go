package browser

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"sync"
)

// Paper is a small content that is written anew as a whole: in turn into one of two
// files, so that a kill leaves the newest or the one before. It is safe for use by
// many goroutines.
type Paper struct {
	mutex  sync.Mutex
	files  [2]Handle
	now    int
	number uint64 // of the newest writing; 0: there is none
	newest []byte
}

// OpenPaper opens the content that lies in two files.
func OpenPaper(first, second Handle) (*Paper, error) {
	p := &Paper{files: [2]Handle{first, second}}
	for i, file := range p.files {
		content, err := file.Read()
		if err != nil {
			return nil, err
		}
		mark, rest, _ := bytes.Cut(content, []byte{'\n'})
		var number uint64
		var sum string
		if _, err := fmt.Sscanf(string(mark), "%d %64s", &number, &sum); err != nil || sum != sumOf(rest) {
			continue // it was cut off, and the other one counts
		}
		if number > p.number {
			p.now, p.number, p.newest = i, number, rest
		}
	}
	return p, nil
}

// Read returns the content; nil: nothing was ever written.
func (p *Paper) Read() ([]byte, error) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return bytes.Clone(p.newest), nil
}

// Write writes a content in place of the one before, and returns when it is safe.
func (p *Paper) Write(content []byte) error {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	to := 1 - p.now
	raw := append(fmt.Appendf(nil, "%d %s\n", p.number+1, sumOf(content)), content...)
	file := p.files[to]
	if err := file.Write(raw, 0); err != nil {
		return err
	}
	if err := file.Truncate(int64(len(raw))); err != nil {
		return err
	}
	if err := file.Flush(); err != nil {
		return err
	}
	p.now, p.number, p.newest = to, p.number+1, bytes.Clone(content)
	return nil
}

func sumOf(content []byte) string {
	sum := sha256.Sum256(content)
	return fmt.Sprintf("%x", sum)
}
