package locale

import (
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"whistlestop/game/message"
)

// of makes a catalogue of one file.
func of(t *testing.T, language, json string) *Catalogue {
	t.Helper()
	c, err := load(fstest.MapFS{"messages/" + language + "/a.json": {Data: []byte(json)}}, language)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestTextFillsGaps(t *testing.T) {
	c := of(t, "en", `{"late": "It was {ago} s ago, {most} s count. {ago}!", "plain": "Nothing to fill.", "a.why": "No: {why}.", "a.broken": "{ago"}`)
	inner := message.Say{Key: "a.why", Args: message.Pairs("why", "@plain")}
	for _, test := range []struct {
		key  string
		args message.Args
		want string
	}{
		{"late", message.Pairs("ago", "20", "most", "5"), "It was 20 s ago, 5 s count. 20!"},
		{"late", message.Pairs("ago", "{most}", "most", "{ago}"), "It was {most} s ago, {ago} s count. {most}!"},
		{"late", nil, "It was {ago} s ago, {most} s count. {ago}!"},
		{"plain", message.Pairs("ago", "20"), "Nothing to fill."},
		{"late", message.Pairs("ago", "@plain", "most", "@nobody"), "It was Nothing to fill. s ago, nobody s count. Nothing to fill.!"},
		{"unknown.key", message.Pairs("ago", "20"), "unknown.key"},
		{"a.broken", message.Pairs("ago", "20"), "{ago"},
		// A sentence inside a sentence has one full stop, and its own gaps.
		{"a.why", message.Pairs("why", "@plain"), "No: Nothing to fill."},
		{"a.why", message.Pairs("why", "@"+inner.String()), "No: No: Nothing to fill."},
		{"a.why", message.Pairs("why", `@nobody.knows a="b"`), `No: nobody.knows a="b".`},
	} {
		if got := c.Text(test.key, test.args); got != test.want {
			t.Errorf("Text(%q, %v) = %q, want %q", test.key, test.args, got, test.want)
		}
	}
}

func TestWhatWentWrongIsSaid(t *testing.T) {
	err := message.At("mine.toml", 3, message.Because(fs.ErrNotExist, "division_file.unreadable"))
	if got, want := English().Error(err), "mine.toml, line 3: the division cannot be read: file does not exist"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := English().Error(fs.ErrNotExist); got != "file does not exist" {
		t.Errorf("what is not ours says %q", got)
	}
}

func TestANumberChoosesTheForm(t *testing.T) {
	english := of(t, "en", `{"post": "{n} posts wait.", "post#n=one": "One post waits."}`)
	welsh := of(t, "cy", `{"post": "other {n}", "post#n=zero": "zero", "post#n=one": "one", "post#n=two": "two", "post#n=few": "few", "post#n=many": "many"}`)
	for _, test := range []struct {
		c       *Catalogue
		n, want string
	}{
		{english, "0", "0 posts wait."},
		{english, "1", "One post waits."},
		{english, "21", "21 posts wait."},
		{english, "some", "some posts wait."},
		{welsh, "0", "zero"}, {welsh, "1", "one"}, {welsh, "2", "two"}, {welsh, "3", "few"}, {welsh, "6", "many"}, {welsh, "7", "other 7"},
	} {
		if got := test.c.Text("post", message.Pairs("n", test.n)); got != test.want {
			t.Errorf("%s, %s: %q, want %q", test.c.Language(), test.n, got, test.want)
		}
	}
}

func TestAKeyStandsInOneFile(t *testing.T) {
	for what, wrong := range map[string]string{
		"the key again":            `{"x": "2"}`,
		"a text that is no text":   `{"y": 1}`,
		"a form of no gap":         `{"y": "1", "y#one": "2"}`,
		"forms of two gaps":        `{"y": "1", "y#n=one": "2", "y#m=few": "3"}`,
		"something that ends soon": `{"y": "1"`,
	} {
		_, err := load(fstest.MapFS{
			"messages/en/a.json": {Data: []byte(`{"x": "1"}`)},
			"messages/en/b.json": {Data: []byte(wrong)},
		}, "en")
		if err == nil || !strings.Contains(err.Error(), "b.json") {
			t.Errorf("%s: got %v, want the file named", what, err)
		}
	}
}

func TestALanguageThatIsNotThere(t *testing.T) {
	if c, there := Shipped().Best("tlh", "x-quay"); there || c != English() {
		t.Errorf("got %s, there: %v", c.Language(), there)
	}
}

// gapForm is a gap of a text.
var gapForm = regexp.MustCompile(`\{([a-z0-9_]+)\}`)

// gaps are the names of the gaps of a text.
func gaps(text string) map[string]bool {
	found := map[string]bool{}
	for _, gap := range gapForm.FindAllStringSubmatch(text, -1) {
		found[gap[1]] = true
	}
	return found
}

// faults are what is wrong with a language, held against English: keys that are
// missing or unknown, gaps that nothing fills, and forms that its plurals lack.
func faults(c *Catalogue) (list []string) {
	english := English()
	fault := func(key, what string) { list = append(list, key+": "+what) }
	for _, key := range english.Keys() {
		if !c.Has(key) {
			fault(key, "missing")
		}
	}
	for _, key := range c.Keys() {
		if !english.Has(key) {
			fault(key, "no such key")
			continue
		}
		for gap := range gaps(c.texts[key]) {
			if !gaps(english.texts[key])[gap] {
				fault(key, "nothing fills {"+gap+"}")
			}
		}
	}
	for key, forms := range c.counted {
		for category, text := range forms.forms {
			if !categories(c.language)[category] {
				fault(key, "the language has no form "+category)
			}
			for gap := range gaps(text) {
				if !gaps(english.texts[key])[gap] && gap != forms.gap {
					fault(key, "nothing fills {"+gap+"}")
				}
			}
		}
		if !c.Has(key) {
			fault(key, "forms of a text that is not there")
		}
	}
	for key, forms := range english.counted {
		for category := range categories(c.language) {
			if category != "other" && c.counted[key].forms[category] == "" && c.language != "en" {
				fault(key, "no form "+category+" by "+forms.gap)
			}
		}
	}
	return append(list, faultsOfSheets(c)...)
}

// faultsOfSheets are names of a workbook's sheets that spreadsheets refuse, and names
// of sheets and columns that are given twice: a workbook is read back by them.
func faultsOfSheets(c *Catalogue) (list []string) {
	for _, kind := range []string{"fact.record.", "fact.column."} {
		first := map[string]string{}
		for _, key := range c.Keys() {
			if !strings.HasPrefix(key, kind) {
				continue
			}
			name := strings.ToLower(c.texts[key])
			if before := first[name]; before != "" {
				list = append(list, key+": the same name as "+before)
			}
			first[name] = key
			if kind == "fact.record." && (utf8.RuneCountInString(name) > 31 || strings.ContainsAny(name, `[]:*?/\`)) {
				list = append(list, key+": a sheet has at most 31 letters, and none of []:*?/\\")
			}
		}
	}
	return list
}

// asEnglish lists the keys whose text is that of English, which may be right.
func asEnglish(c *Catalogue) (keys []string) {
	for _, key := range c.Keys() {
		if c.language != english && c.texts[key] == English().texts[key] {
			keys = append(keys, key)
		}
	}
	return keys
}

// categories are the plural categories that whole numbers have in a language.
func categories(language string) map[string]bool {
	found := map[string]bool{}
	for n := range 1000 {
		found[category(language, n)] = true
	}
	return found
}

func TestEveryLanguageIsWhole(t *testing.T) {
	for _, language := range Shipped().Tags() {
		c, err := load(files, language)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range faults(c) {
			t.Errorf("%s: %s", language, fault)
		}
		if same := asEnglish(c); len(same) > 0 {
			t.Logf("%s: %d texts are as in English:\n%s", language, len(same), strings.Join(same, "\n"))
		}
	}
}

// TestALanguageIsAFolder takes a made-up language, which stands in testdata and has
// a few texts only: it is found, it speaks with the plurals of its tag, and what it
// lacks and what it has too much is named.
func TestALanguageIsAFolder(t *testing.T) {
	spoken := From(os.DirFS("testdata")) // testdata/messages is as messages is
	if got := spoken.Tags(); !slices.Equal(got, []string{"cy-x-quay", "en"}) {
		t.Fatalf("the languages are %q", got)
	}
	c, there := spoken.Best("tlh", "cy_X_quay")
	if !there || c.Language() != "cy-x-quay" {
		t.Fatalf("got %s, there: %v", c.Language(), there)
	}
	err := message.At("mine.toml", 3, message.New("division_file.name"))
	if got, want := c.Error(err), "mine.toml (3): dun hath no nom"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	for n, want := range map[string]string{"1": "un pousta", "2": "dau bousta", "3": "3 phousta", "9": "9 pousta"} {
		if got := c.Text("ui.pending.kept", message.Pairs("count", n)); got != want {
			t.Errorf("%s: %q, want %q", n, got, want)
		}
	}
	all := strings.Join(faults(c), "\n")
	for _, want := range []string{"file.in: missing", "quay.own: no such key", "file.plain: nothing fills {nobody}", "ui.pending.kept: no form zero by count"} {
		if !strings.Contains(all, want) {
			t.Errorf("not said: %s", want)
		}
	}
}

func TestSheetsOfALanguageHaveNamesOfTheirOwn(t *testing.T) {
	c := of(t, "fi", `{"fact.record.goal": "Maalit", "fact.record.note": "maalit", "fact.column.a": "A/B", "fact.record.seal": "A/B",
		"fact.record.head": "Ottelu, joka pelattiin tai jota ei pelattu", "fact.column.b": "Maalit"}`)
	got := strings.Join(faultsOfSheets(c), "\n")
	for _, want := range []string{"fact.record.note: the same name as fact.record.goal", "fact.record.seal: a sheet has", "fact.record.head: a sheet has"} {
		if !strings.Contains(got, want) {
			t.Errorf("not said: %s", want)
		}
	}
	if strings.Count(got, "\n") != 2 {
		t.Errorf("said beside it:\n%s", got)
	}
}

func TestEnglishIsWellFormed(t *testing.T) {
	c := English()
	if len(c.Keys()) == 0 {
		t.Fatal("the catalogue is empty")
	}
	key := regexp.MustCompile(`^[a-z0-9_]+(\.[a-z0-9_-]+)+$`)
	for _, k := range c.Keys() {
		text := c.texts[k]
		if !key.MatchString(k) {
			t.Errorf("%q is not a key", k)
		}
		if strings.TrimSpace(text) == "" {
			t.Errorf("%s is empty", k)
		}
		if rest := gapForm.ReplaceAllString(text, ""); strings.ContainsAny(rest, "{}") {
			t.Errorf("%s has a gap that is not one: %q", k, text)
		}
	}
}

// said are the keys, and beginnings of keys, that stand as texts in the packages of
// an engine.
func said(t *testing.T, engine string) (keys map[string]bool, beginnings []string) {
	t.Helper()
	list := exec.Command("go", "list", "-deps", "-f", `{{if not .Standard}}{{$d := .Dir}}{{range .GoFiles}}{{$d}}/{{.}}
{{end}}{{end}}`, engine)
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
// its engine say, and no others, because it has to be small.
func TestTheEngineHasItsWords(t *testing.T) {
	for engine, list := range map[string]string{"whistlestop/cmd/engine": "files_js.go", "whistlestop/cmd/pocket": "files_pocket.go", "whistlestop/cmd/press": "files_press.go"} {
		source, err := os.ReadFile(list)
		if err != nil {
			t.Fatal(err)
		}
		keys, beginnings := said(t, engine)
		names, err := filepath.Glob("messages/en/*.json")
		if err != nil || len(names) == 0 {
			t.Fatal("no messages", err)
		}
		for _, name := range names {
			says := saidOf(t, name, keys, beginnings)
			if embedded := strings.Contains(string(source), "messages/en/"+filepath.Base(name)); embedded != (says != "") {
				t.Errorf("%s has %s: %v; of its texts the engine's packages say %q", list, name, embedded, says)
			}
		}
	}
}

// saidOf is a text of a file that is among the keys, or begins as they do; empty: none is.
func saidOf(t *testing.T, file string, keys map[string]bool, beginnings []string) (says string) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var texts map[string]string
	if err := json.Unmarshal(raw, &texts); err != nil {
		t.Fatal(err)
	}
	for key := range texts {
		if keys[key] || slices.ContainsFunc(beginnings, func(b string) bool { return strings.HasPrefix(key, b) }) {
			says = key
		}
	}
	return says
}
