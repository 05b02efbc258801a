package locale

import (
	"encoding/json"
	"os"
	"path/filepath"
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

// TestTheEngineHasItsWords: in a page everything is there but the files that only
// screens read, whose keys begin with "ui.".
func TestTheEngineHasItsWords(t *testing.T) {
	source, err := os.ReadFile("files_js.go")
	if err != nil {
		t.Fatal(err)
	}
	names, err := filepath.Glob("messages/en/*.json")
	if err != nil || len(names) == 0 {
		t.Fatal("no messages", err)
	}
	for _, name := range names {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var texts map[string]string
		if err := json.Unmarshal(raw, &texts); err != nil {
			t.Fatal(err)
		}
		read := false
		for key := range texts {
			read = read || !strings.HasPrefix(key, "ui.")
		}
		if embedded := strings.Contains(string(source), filepath.ToSlash(name)); embedded != read {
			t.Errorf("%s is embedded in the engine: %v; it has texts that Go reads: %v", name, embedded, read)
		}
	}
}
