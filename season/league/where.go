package league

import (
	"errors"
	"strings"

	"whistlestop/game/message"
)

// fault is what is wrong with a file, with a text that stands on its line.
type fault struct {
	error
	texts []string // the first that the file has
	nth   int      // which line with this text, from nought
}

func (f *fault) Unwrap() error { return f.error }

func near(text string, err error) error { return &fault{err, []string{text}, 0} }

func nth(text string, n int, err error) error { return &fault{err, []string{text}, n} }

// nearSetting looks for the setting that the fault names, or else for its table.
func nearSetting(table string, err error) error {
	return &fault{err, []string{message.Of(err).Args.Get("setting") + " =", table}, 0}
}

// placed says in which line of a file an error is, where that is known.
func placed(text []byte, name string, err error) error {
	var f *fault
	if !errors.As(err, &f) {
		return message.In(name, err)
	}
	for _, want := range f.texts {
		if line, found := lineWith(text, squeeze(want), f.nth); found {
			return message.At(name, line, err)
		}
	}
	return message.In(name, err)
}

// lineWith finds the line, from 1, that has a text for the n-th time, from nought.
func lineWith(text []byte, want string, n int) (int, bool) {
	if want == "=" {
		return 0, false
	}
	for i, line := range strings.Split(string(text), "\n") {
		line, _, _ = strings.Cut(line, "#")
		if !strings.Contains(squeeze(line), want) {
			continue
		}
		if n == 0 {
			return i + 1, true
		}
		n--
	}
	return 0, false
}

// squeeze drops blanks, which people set as they like.
func squeeze(line string) string { return strings.Join(strings.Fields(line), "") }
