package locale

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Spoken is the languages that a program speaks: the files of each are read when it
// is asked for first, and once.
type Spoken struct {
	files fs.FS

	mutex sync.Mutex
	read  map[string]*Catalogue
}

// From speaks the languages of a file tree, in which messages/<tag> has the files of
// one. English comes with the program and needs not be in it.
func From(files fs.FS) *Spoken { return &Spoken{files: files, read: map[string]*Catalogue{}} }

// Shipped speaks the languages that come with the program.
var Shipped = sync.OnceValue(func() *Spoken { return From(files) })

// Tags lists the languages, as tags of BCP 47.
func (s *Spoken) Tags() []string {
	tags := languages(s.files)
	if !slices.Contains(tags, english) {
		tags = append(tags, english)
	}
	slices.Sort(tags)
	return tags
}

// Best is the catalogue of the first language wanted that there is. A tag that is
// more exact than what there is takes what is left of it without its end, as RFC
// 4647 looks things up: "de-AT" takes "de". It reports false, with English, where
// there is none of them.
func (s *Spoken) Best(wanted ...string) (*Catalogue, bool) {
	for _, tag := range wanted {
		for tag = strings.ReplaceAll(strings.TrimSpace(tag), "_", "-"); tag != ""; tag = shorter(tag) {
			for _, known := range s.Tags() {
				if !strings.EqualFold(known, tag) {
					continue
				}
				if c, err := s.in(known); err == nil { // a test holds that every file can be read
					return c, true
				}
			}
		}
	}
	return English(), false
}

// shorter is a tag without its last part, and without a letter before that, which
// only begins one.
func shorter(tag string) string {
	i := max(strings.LastIndexByte(tag, '-'), 0)
	if i > 1 && tag[i-2] == '-' {
		i -= 2
	}
	return tag[:i]
}

func (s *Spoken) in(tag string) (*Catalogue, error) {
	if tag == english {
		return English(), nil
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if c := s.read[tag]; c != nil {
		return c, nil
	}
	c, err := load(s.files, tag)
	if err == nil {
		s.read[tag] = c
	}
	return c, err
}

// Accepted lists the languages of an Accept-Language header, the most wanted first.
func Accepted(header string) []string {
	type weighed struct {
		tag    string
		weight float64
	}
	var list []weighed
	for one := range strings.SplitSeq(header, ",") {
		tag, rest, _ := strings.Cut(strings.TrimSpace(one), ";")
		weight := 1.0
		if text, found := strings.CutPrefix(strings.ReplaceAll(rest, " ", ""), "q="); found {
			said, err := strconv.ParseFloat(text, 64)
			if err != nil {
				continue
			}
			weight = said
		}
		if tag = strings.TrimSpace(tag); tag != "" && tag != "*" && weight > 0 {
			list = append(list, weighed{tag, weight})
		}
	}
	slices.SortStableFunc(list, func(a, b weighed) int { return cmp.Compare(b.weight, a.weight) })
	tags := make([]string, len(list))
	for i, one := range list {
		tags[i] = one.tag
	}
	return tags
}

// Read makes a catalogue of texts in JSON, as the files of a language have them.
func Read(language string, texts ...[]byte) (*Catalogue, error) {
	all := &Catalogue{language: language, texts: map[string]string{}, counted: map[string]counted{}}
	for i, raw := range texts {
		if err := all.add(raw); err != nil {
			return nil, fmt.Errorf("%d: %w", i+1, err)
		}
	}
	return all, nil
}

// load reads all files of a language into one catalogue.
func load(files fs.FS, language string) (*Catalogue, error) {
	names, err := fs.Glob(files, path.Join(folder, language, "*.json"))
	if err != nil {
		return nil, err
	}
	all, err := Read(language)
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		raw, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		if err := all.add(raw); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return all, nil
}

// add takes the texts of one file.
func (c *Catalogue) add(raw []byte) error {
	var some map[string]string
	if err := json.Unmarshal(raw, &some); err != nil {
		return err
	}
	for _, key := range slices.Sorted(maps.Keys(some)) {
		if err := c.take(key, some[key]); err != nil {
			return fmt.Errorf("%s: %w", key, err)
		}
	}
	return nil
}
