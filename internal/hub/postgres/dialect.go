package postgres

import (
	"bytes"
	"io"
	"io/fs"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// The words of SQLite in the shared steps, and what PostgreSQL says instead.
var (
	wholeNumber = regexp.MustCompile(`\bINTEGER\b`)
	someBytes   = regexp.MustCompile(`\bBLOB\b`)
	tableKind   = regexp.MustCompile(`\)\s*(STRICT|WITHOUT ROWID)(\s*,\s*(STRICT|WITHOUT ROWID))*\s*;`)
)

// spoken is a step in PostgreSQL's words.
func spoken(step []byte) []byte {
	step = wholeNumber.ReplaceAll(step, []byte("BIGINT"))
	step = someBytes.ReplaceAll(step, []byte("BYTEA"))
	return tableKind.ReplaceAll(step, []byte(");"))
}

// stepFiles is the shared steps in PostgreSQL's words.
type stepFiles struct{ fs.FS }

// Open opens a file of the steps.
func (s stepFiles) Open(name string) (fs.File, error) {
	file, err := s.FS.Open(name)
	if err != nil {
		return nil, err
	}
	if _, is := file.(fs.ReadDirFile); is {
		if info, err := file.Stat(); err != nil || info.IsDir() {
			return file, err
		}
	}
	raw, err := io.ReadAll(file)
	if err != nil {
		return nil, err
	}
	return &stepFile{file, bytes.NewReader(spoken(raw))}, nil
}

type stepFile struct {
	fs.File
	text *bytes.Reader
}

// Read reads what was put in PostgreSQL's words.
func (f *stepFile) Read(into []byte) (int, error) { return f.text.Read(into) }

// numbered keeps statements with $1, $2 for their question marks.
var numbered sync.Map

// number puts $1, $2 and so on in the places of question marks, of which the shared
// statements have none inside quotes.
func number(text string) string {
	if done, is := numbered.Load(text); is {
		return done.(string)
	}
	var out strings.Builder
	count := 0
	for _, c := range text {
		if c != '?' {
			out.WriteRune(c)
			continue
		}
		count++
		out.WriteByte('$')
		out.WriteString(strconv.Itoa(count))
	}
	numbered.Store(text, out.String())
	return out.String()
}

// plain makes values of their plain kinds: yes and no are 1 and 0 in the shared tables.
func plain(args []any) []any {
	out := make([]any, len(args))
	for i, arg := range args {
		out[i] = arg
		if arg == nil {
			continue
		}
		switch value := reflect.ValueOf(arg); {
		case value.Kind() == reflect.Bool && value.Bool():
			out[i] = int64(1)
		case value.Kind() == reflect.Bool:
			out[i] = int64(0)
		case value.Kind() == reflect.String:
			out[i] = value.String()
		case value.CanInt():
			out[i] = value.Int()
		}
	}
	return out
}

// yes reads 1 and 0 as yes and no.
type yes struct{ into *bool }

// Scan takes the number.
func (y yes) Scan(from any) error {
	n, _ := from.(int64)
	*y.into = n != 0
	return nil
}

// places are where a row goes.
func places(into []any) []any {
	out := into
	for i, to := range into {
		if b, is := to.(*bool); is {
			if &out[0] == &into[0] {
				out = append([]any(nil), into...)
			}
			out[i] = yes{b}
		}
	}
	return out
}
