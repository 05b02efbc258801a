package locale

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
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

// said are the keys, and beginnings of keys, that stand as texts in the packages of
// the engine.
func said(t *testing.T) (keys map[string]bool, beginnings []string) {
	t.Helper()
	list := exec.Command("go", "list", "-deps", "-f", `{{if not .Standard}}{{$d := .Dir}}{{range .GoFiles}}{{$d}}/{{.}}
{{end}}{{end}}`, "whistlestop/cmd/engine")
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := list.Output()
	if err != nil {
		t.Fatal(err)
	}
	keys = map[string]bool{}
	literal := regexp.MustCompile(`"([a-z0-9_]+\.[a-z0-9_.]*)"`)
	for file := range strings.FieldsSeq(string(out)) {
		source, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range literal.FindAllStringSubmatch(string(source), -1) {
			keys[found[1]] = true
			if strings.HasSuffix(found[1], ".") || strings.HasSuffix(found[1], "_") {
				beginnings = append(beginnings, found[1])
			}
		}
	}
	return keys, beginnings
}

// TestTheEngineHasItsWords: a page has the files with words that the packages of
// the engine say, and no others, because it has to be small.
func TestTheEngineHasItsWords(t *testing.T) {
	source, err := os.ReadFile("files_js.go")
	if err != nil {
		t.Fatal(err)
	}
	keys, beginnings := said(t)
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
		says := ""
		for key := range texts {
			if keys[key] || slices.ContainsFunc(beginnings, func(b string) bool { return strings.HasPrefix(key, b) }) {
				says = key
			}
		}
		if embedded := strings.Contains(string(source), filepath.ToSlash(name)); embedded != (says != "") {
			t.Errorf("%s is embedded in the engine: %v; of its texts the engine's packages say %q", name, embedded, says)
		}
	}
}
