package people

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"slices"
)

// ErrNoList says that a text is no list of deletions.
var ErrNoList = errors.New("not a list of deletions")

// ReadDeletions reads a list of deletions as it lies beside a hub: one in a line. It
// returns ErrNoList: whoever restores a copy must know that the list was read whole.
func ReadDeletions(text []byte) (list []Deletion, err error) {
	read := json.NewDecoder(bytes.NewReader(text))
	read.DisallowUnknownFields()
	for {
		var d Deletion
		err := read.Decode(&d)
		switch {
		case errors.Is(err, io.EOF):
			return list, nil
		case err != nil || d.Association == "" || d.Person == "" || len(d.Association) > textMost || len(d.Person) > textMost:
			return nil, ErrNoList
		}
		list = append(list, d)
	}
}

// WriteDeletions writes a list as ReadDeletions reads it.
func WriteDeletions(list []Deletion) []byte {
	var out bytes.Buffer
	for _, d := range list {
		raw, err := json.Marshal(d)
		if err != nil {
			panic(err) // two texts and a number can always be written
		}
		out.Write(append(raw, '\n'))
	}
	return out.Bytes()
}

// WithDeletions is a list and those of another that are not in it.
func WithDeletions(list, more []Deletion) []Deletion {
	list = slices.Clone(list)
	for _, d := range more {
		if !slices.ContainsFunc(list, func(one Deletion) bool { return one.Association == d.Association && one.Person == d.Person }) {
			list = append(list, d)
		}
	}
	return list
}
