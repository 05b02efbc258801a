package mail_test

import (
	"errors"
	other "net/mail"
	"strings"
	"testing"
	"time"

	"whistlestop/internal/mail"
)

func TestAddresses(t *testing.T) {
	for reach, want := range map[string]string{
		"maren@example.org":              "maren@example.org",
		"Maren Holt <maren@example.org>": "maren@example.org",
		"555 0100, maren@example.org":    "maren@example.org",
		"maren+crew@mail.example.org":    "maren+crew@mail.example.org",
		"555 0100":                       "",
		"":                               "",
		"maren@example":                  "",
		"@example.org":                   "",
		"maren@":                         "",
		"a@example.org b@example.org":    "", // whom to write to is not ours to guess
		"maren@example.org\r\nBcc: x@example.org": "",
		strings.Repeat("m", 250) + "@example.org": "",
	} {
		if got, found := mail.Address(reach); got != want || found != (want != "") {
			t.Errorf("%q: %q, %v", reach, got, found)
		}
	}
}

// What is taken for an address is one to another reader of them too.
func FuzzAddress(f *testing.F) {
	f.Add("Maren <maren@example.org>, 555 0100")
	f.Fuzz(func(t *testing.T, reach string) {
		got, found := mail.Address(reach)
		if !found {
			return
		}
		if read, err := other.ParseAddress(got); err != nil || read.Address != got {
			t.Errorf("%q: %q, %v", reach, got, err)
		}
	})
}

func TestWhenToTryAgain(t *testing.T) {
	last, sum, tries := time.Duration(0), time.Duration(0), 1
	for ; ; tries++ {
		wait, again := mail.Again(tries)
		if !again {
			break
		}
		if wait < last {
			t.Errorf("after %d tries %s, before it %s", tries, wait, last)
		}
		last, sum = wait, sum+wait
	}
	if tries != 7 || sum < 10*time.Hour || sum > 24*time.Hour {
		t.Errorf("%d tries in %s", tries, sum)
	}
	if mail.Came(nil) != mail.Sent || mail.Came(errors.New("no route")) != mail.Closed || mail.Came(&mail.Fault{Outcome: mail.Perhaps}) != mail.Perhaps {
		t.Error("an outcome is another one")
	}
}
