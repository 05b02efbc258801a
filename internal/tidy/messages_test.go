package tidy

import (
	"encoding/json"
	"go/ast"
	"go/token"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const catalogues = "internal/locale/messages/en/"

// messages reads the English catalogues: key to text.
func messages(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, name := range files(t, ".json") {
		if !strings.HasPrefix(name, catalogues) {
			continue
		}
		one := map[string]string{}
		if err := json.Unmarshal([]byte(read(t, name)), &one); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for key, text := range one {
			if _, twice := all[key]; twice {
				t.Errorf("%s: the key %s stands in another catalogue too", name, key)
			}
			all[key] = text
		}
	}
	if len(all) == 0 {
		t.Fatal("there are no messages")
	}
	return all
}

// mention is a text in the source that is a message key, or the beginning of one
// when it ends in a dot.
type mention struct{ text, where string }

// keyForm is how a key looks: words with dots between them. An @ before it says
// that the catalogue fills a gap.
var keyForm = regexp.MustCompile(`^@?[a-z][a-z0-9_]*(\.[a-z0-9_]+)+\.?$|^@?[a-z][a-z0-9_]*\.$`)

// goMentions lists what the program says that looks like a key.
func goMentions(t *testing.T) []mention {
	t.Helper()
	var list []mention
	for _, file := range goFiles(t) {
		if file.test {
			continue
		}
		ast.Inspect(file.ast, func(node ast.Node) bool {
			literal, ok := node.(*ast.BasicLit)
			if !ok || literal.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(literal.Value)
			if err == nil && keyForm.MatchString(text) {
				list = append(list, mention{strings.TrimPrefix(text, "@"), file.at(literal.Pos())})
			}
			return true
		})
	}
	return list
}

// screens returns the source of the front end without its tests, and of the pages
// that the program writes.
func screens(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	for _, name := range files(t, ".ts", ".svelte", ".html") {
		screen := strings.HasPrefix(name, "ui/src/") && !strings.HasSuffix(name, ".test.ts")
		if screen || strings.HasPrefix(name, "internal/paper/") || strings.HasPrefix(name, "internal/hub/") {
			all.WriteString(read(t, name))
		}
	}
	return all.String()
}

// onScreen reports whether the front end asks for the key: written out in any
// kind of quotes, or put together after one of its dots.
func onScreen(source, key string) bool {
	for _, name := range []string{key, strings.TrimPrefix(key, "ui."), "@" + key} {
		for _, quote := range []string{"'", "\"", "`"} {
			if strings.Contains(source, quote+name+quote) {
				return true
			}
		}
		for i, letter := range name {
			if letter == '.' && strings.Contains(source, "`"+name[:i+1]+"${") {
				return true
			}
		}
	}
	return false
}

// TestEveryMessageIsUsed also holds for keys that are put together: a text that
// ends in a dot or a low line stands for all keys that begin with it.
func TestEveryMessageIsUsed(t *testing.T) {
	used := map[string]bool{}
	var beginnings []string
	for _, one := range goMentions(t) {
		used[one.text] = true
		if strings.HasSuffix(one.text, ".") || strings.HasSuffix(one.text, "_") {
			beginnings = append(beginnings, one.text)
		}
	}
	source := screens(t)
	for _, form := range slices.Sorted(maps.Keys(messages(t))) {
		key, _, _ := strings.Cut(form, "#") // a form is asked for by its key
		built := slices.ContainsFunc(beginnings, func(b string) bool { return strings.HasPrefix(key, b) })
		if !used[key] && !built && !onScreen(source, key) {
			t.Errorf("nothing says %q", key)
		}
	}
}

// TestEveryMessageExists looks at every text in the program that is formed like a
// key and begins with the first word of one.
func TestEveryMessageExists(t *testing.T) {
	all := messages(t)
	first := map[string]bool{}
	for key := range all {
		word, _, _ := strings.Cut(key, ".")
		first[word] = true
	}
	for _, one := range goMentions(t) {
		word, _, _ := strings.Cut(one.text, ".")
		if !first[word] || all[one.text] != "" {
			continue
		}
		begins := strings.ContainsAny(one.text[len(one.text)-1:], "._") && slices.ContainsFunc(
			slices.Collect(maps.Keys(all)), func(key string) bool { return strings.HasPrefix(key, one.text) })
		if !begins {
			t.Errorf("%s: there is no message %q", one.where, one.text)
		}
	}
}

var gap = regexp.MustCompile(`\{[^}]*\}|[{}]`)

func TestGapsAreWritten(t *testing.T) {
	for key, text := range messages(t) {
		if strings.TrimSpace(text) == "" {
			t.Errorf("%s says nothing", key)
		}
		for _, found := range gap.FindAllString(text, -1) {
			if !regexp.MustCompile(`^\{[a-z_0-9]+\}$`).MatchString(found) {
				t.Errorf("%s has the gap %s: a gap is a word in braces", key, found)
			}
		}
	}
}
