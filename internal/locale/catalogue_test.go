package locale

import (
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"whistlestop/game/rules"
)

func TestTextFillsGaps(t *testing.T) {
	c := Catalogue{"late": "It was {ago} s ago, {most} s count. {ago}!", "plain": "Nothing to fill."}
	for _, test := range []struct {
		key  string
		args rules.Args
		want string
	}{
		{"late", rules.Pairs("ago", "20", "most", "5"), "It was 20 s ago, 5 s count. 20!"},
		{"late", rules.Pairs("ago", "{most}", "most", "{ago}"), "It was {most} s ago, {ago} s count. {most}!"},
		{"late", nil, "It was {ago} s ago, {most} s count. {ago}!"},
		{"plain", rules.Pairs("ago", "20"), "Nothing to fill."},
		{"late", rules.Pairs("ago", "@plain", "most", "@nobody"), "It was Nothing to fill. s ago, nobody s count. Nothing to fill.!"},
		{"unknown.key", rules.Pairs("ago", "20"), "unknown.key"},
	} {
		if got := c.Text(test.key, test.args); got != test.want {
			t.Errorf("Text(%q, %v) = %q, want %q", test.key, test.args, got, test.want)
		}
	}
}

func TestAKeyStandsInOneFile(t *testing.T) {
	_, err := load(fstest.MapFS{
		"en/a.json": {Data: []byte(`{"x": "1"}`)},
		"en/b.json": {Data: []byte(`{"x": "2"}`)},
	}, "en")
	if err == nil || !strings.Contains(err.Error(), `"x"`) {
		t.Errorf("got %v, want the key named", err)
	}
	if _, err := load(fstest.MapFS{"en/a.json": {Data: []byte(`{"x": 1}`)}}, "en"); err == nil {
		t.Error("a text that is no text was read")
	}
}

func TestEnglishIsWellFormed(t *testing.T) {
	c := English()
	if len(c) == 0 {
		t.Fatal("the catalogue is empty")
	}
	key := regexp.MustCompile(`^[a-z0-9_]+(\.[a-z0-9_-]+)+$`)
	gap := regexp.MustCompile(`\{[a-z0-9_]+\}`)
	for k, text := range c {
		if !key.MatchString(k) {
			t.Errorf("%q is not a key", k)
		}
		if strings.TrimSpace(text) == "" {
			t.Errorf("%s is empty", k)
		}
		if rest := gap.ReplaceAllString(text, ""); strings.ContainsAny(rest, "{}") {
			t.Errorf("%s has a gap that is not one: %q", k, text)
		}
	}
}
