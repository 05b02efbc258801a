package main

import (
	"os"
	"strings"
	"testing"
	"unicode"

	"github.com/alecthomas/kong"

	"whistlestop/internal/locale"
	"whistlestop/internal/locale/pseudo"
)

func lineOfCommands(t *testing.T) *kong.Kong {
	t.Helper()
	var line commands
	parser, err := kong.New(&line, kong.Name("whistlestop"), lists())
	if err != nil {
		t.Fatal(err)
	}
	return parser
}

// TestEveryCommandAndFlagHasHelp: each has a key in the catalogue, and no key of the
// help is left over.
func TestEveryCommandAndFlagHasHelp(t *testing.T) {
	used := map[string]bool{}
	helpKeys(lineOfCommands(t).Model.Node, func(_ *string, keys ...string) {
		for _, key := range keys {
			if locale.English().Has(key) {
				used[key] = true
				return
			}
		}
		t.Errorf("the catalogue has no help under %s", strings.Join(keys, " or "))
	})
	for _, key := range locale.English().Keys() {
		if strings.HasPrefix(key, helpOf) && !strings.HasPrefix(key, "help.heading.") && !used[key] {
			t.Errorf("nothing has the help of %s", key)
		}
	}
}

// namesOfCommands are the words that are typed: they are the same in every language.
func namesOfCommands(t *testing.T) string {
	var names strings.Builder
	var visit func(*kong.Node)
	visit = func(node *kong.Node) {
		names.WriteString(" " + node.Name + " " + strings.Join(node.Aliases, " "))
		for _, flag := range node.Flags {
			names.WriteString(" " + flag.Name + " " + strings.ToUpper(flag.Name) + " " + flag.Default + " " + flag.Enum)
		}
		for _, argument := range node.Positional {
			names.WriteString(" " + argument.Name)
		}
		for _, child := range node.Children {
			visit(child)
		}
	}
	visit(lineOfCommands(t).Model.Node)
	return names.String() + " flags command STRING INT UINT" // as the library writes how a command is typed
}

// TestHelpAndFaultsOfTheLineSpeakTheLanguage also holds that every fault of a command
// line that people make has words of ours.
func TestHelpAndFaultsOfTheLineSpeakTheLanguage(t *testing.T) {
	known := stays + namesOfCommands(t)
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"--help", "crew --help", "crew make --help", "report --help", "practice script --help", "season schedule --help", "demo --help",
		"", "crew", "nothing", "benhc", "report", "report x", "report x --owt y", "why x y z", "season figures /nowhere", "why x 1 2:00 more",
		"report x --out y --paper big", "bench --nonsense", "crew missing a b c d",
	} {
		t.Run(line, func(t *testing.T) {
			said := quay(t, strings.Fields(line)...)
			if line == "" {
				said = quay(t, "--no-such")
			}
			if said = strings.ReplaceAll(said, here, ""); !strings.ContainsFunc(said, func(r rune) bool { return r > unicode.MaxASCII }) {
				t.Errorf("it says nothing in the language:\n%s", said)
			}
			if left := pseudo.Left(said, known, line); len(left) > 0 {
				t.Errorf("English is left: %q in\n%s", left, said)
			}
		})
	}
}

func TestHelpInEnglishIsAsTheLibraryLaysItOut(t *testing.T) {
	out := must(t, "card", "print", "--help")
	for _, want := range []string{
		"Usage: whistlestop card print --out=STRING <file> [flags]\n", "\nArguments:\n  <file>    Card file.\n", "\nFlags:\n",
		"Print a card on one page, as PDF.", "Paper: a4 or letter.",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if out, failed := runs(t, "report", "x", "--owt", "y"); !failed || !strings.Contains(out, "unknown flag --owt, did you mean") {
		t.Errorf("%s", out)
	}
}
