package locale

import (
	"slices"
	"testing"
	"testing/fstest"
)

func TestTheBestLanguageThatThereIs(t *testing.T) {
	spoken := From(fstest.MapFS{
		"messages/fi/a.json":    {Data: []byte(`{"a": "1"}`)},
		"messages/fr-CA/a.json": {Data: []byte(`{"a": "2"}`)},
		"messages/fr/a.json":    {Data: []byte(`{"a": "3"}`)},
	})
	for _, test := range []struct {
		wanted []string
		want   string
		there  bool
	}{
		{nil, "en", false},
		{[]string{"", "-", "x", "C", "POSIX"}, "en", false},
		{[]string{"fi-FI"}, "fi", true},
		{[]string{"fi_FI"}, "fi", true},
		{[]string{"FR-ca-x-quebec", "fi"}, "fr-CA", true},
		{[]string{"fr-BE", "fi"}, "fr", true},
		{[]string{"sv", "fi"}, "fi", true},
		{[]string{"en-GB", "fi"}, "en", true},
		{[]string{"finnish", "frog"}, "en", false},
	} {
		if c, there := spoken.Best(test.wanted...); c.Language() != test.want || there != test.there {
			t.Errorf("%q: %s, %v; want %s, %v", test.wanted, c.Language(), there, test.want, test.there)
		}
	}
	one, _ := spoken.Best("fi")
	again, _ := spoken.Best("fi")
	if one != again {
		t.Error("the files are read more than once")
	}
}

func TestAcceptedLanguages(t *testing.T) {
	for header, want := range map[string][]string{
		"":                                  {},
		"fi":                                {"fi"},
		"en;q=0.5, fi;q=0.9, sv":            {"sv", "fi", "en"},
		"fi ; q=0.8,*;q=0.1,sv;q=0, en;q=x": {"fi"},
		"de-AT,de;q=0.8,en;q=0.8":           {"de-AT", "de", "en"},
		",;,q=1":                            {"q=1"},
	} {
		if got := Accepted(header); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", header, got, want)
		}
	}
}

func TestTextsThatAPageBrings(t *testing.T) {
	c, err := Read("fi", []byte(`{"a.b": "{n} kpl", "a.b#n=one": "yksi"}`), []byte(`{"a.c": "c"}`))
	if err != nil || c.Language() != "fi" || len(c.Keys()) != 2 {
		t.Errorf("got %v, %v", c, err)
	}
	if _, err := Read("fi", []byte(`{"a": "1"}`), []byte(`{"a": "2"}`)); err == nil {
		t.Error("a key stands twice, and nobody says so")
	}
}
