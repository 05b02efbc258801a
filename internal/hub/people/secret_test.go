package people_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"whistlestop/internal/hub/people"
)

func TestNamesAndAddresses(t *testing.T) {
	for typed, want := range map[string]string{
		" Robin   Ashdown ": "Robin Ashdown", "Zoë Šafářová": "Zoë Šafářová", "": "", " \t ": "", "a\x00b": "", "a\u202eb": "", strings.Repeat("x", 61): "",
		"<script>": "<script>", "a\xffb": "",
	} {
		if got, err := people.ReadName(typed); got != want || (err == nil) != (want != "") {
			t.Errorf("%q: %q, %v", typed, got, err)
		}
	}
	for typed, want := range map[string]string{
		"": "", " Robin@Club.Example ": "robin@club.example", "a+b@club.example": "a+b@club.example",
	} {
		if got, err := people.ReadAddress(typed); got != want || err != nil {
			t.Errorf("%q: %q, %v", typed, got, err)
		}
	}
	for _, typed := range []string{"robin", "Robin <robin@club.example>", "a@b\r\nBcc: c@d.example", "@club.example", "a@", "a b@club.example", strings.Repeat("x", 250) + "@club.example"} {
		if got, err := people.ReadAddress(typed); err == nil {
			t.Errorf("%q: %q", typed, got)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, text := range []string{"Robin Ashdown", "robin@club.example", "harbour.AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA", "\"a b\"@club.example", "a\u202eb"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if name, err := people.ReadName(text); err == nil {
			if again, err := people.ReadName(name); again != name || err != nil || !utf8.ValidString(name) {
				t.Fatalf("%q: %q, %q, %v", text, name, again, err)
			}
		}
		if address, err := people.ReadAddress(text); err == nil {
			if again, err := people.ReadAddress(address); again != address || err != nil || strings.ContainsAny(address, "\r\n\x00") || len(address) > 254 {
				t.Fatalf("%q: %q, %q, %v", text, address, again, err)
			}
		}
		association, hash := people.Split(text)
		if (association == "") != (hash == "") {
			t.Fatalf("%q: %q, %q", text, association, hash)
		}
		if hash != "" && (!strings.HasPrefix(text, association+".") || len(text)-len(association) != 33) {
			t.Fatalf("%q is a secret of %q", text, association)
		}
	})
}
