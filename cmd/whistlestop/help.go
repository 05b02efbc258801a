package main

import (
	"bytes"
	"regexp"
	"strings"

	"github.com/alecthomas/kong"
)

// helpOf is the beginning of the keys of the help: help.<command>, with the words of
// the command in turn, and help.<command>.<flag or argument>. What several commands
// have in common stands once, as help.any.<flag or argument>.
const (
	helpOf  = "help."
	helpAny = helpOf + "any."
)

// helpKeys visits what has help on a command line, with the keys under which it may
// stand, the more exact first.
func helpKeys(node *kong.Node, visit func(help *string, keys ...string)) {
	own := helpOf + "program"
	path := helpOf
	for at := node; at.Type != kong.ApplicationNode; at = at.Parent {
		path = helpOf + at.Name + "." + strings.TrimPrefix(path, helpOf)
		own = strings.TrimSuffix(path, ".")
	}
	visit(&node.Help, own)
	for _, flag := range node.Flags {
		visit(&flag.Help, path+flag.Name, helpAny+flag.Name)
	}
	for _, argument := range node.Positional {
		visit(&argument.Help, path+argument.Name, helpAny+argument.Name)
	}
	for _, child := range node.Children {
		helpKeys(child, visit)
	}
}

// explainCommands gives a command line its help, in words.
func (w words) explainCommands(parser *kong.Kong) {
	helpKeys(parser.Model.Node, func(help *string, keys ...string) {
		for _, key := range keys {
			if w.in().Has(key) {
				*help = w.say(key)
				return
			}
		}
	})
}

// more is how the library of the command line says where there is more help.
var more = regexp.MustCompile(`(?m)^Run "([^"]*)" for more information.*$`)

// printHelp prints the help as the library lays it out, with its headings in words.
func (w words) printHelp(options kong.HelpOptions, ctx *kong.Context) error {
	out := ctx.Stdout
	var page bytes.Buffer
	ctx.Stdout = &page
	err := kong.DefaultHelpPrinter(options, ctx)
	ctx.Stdout = out
	if err != nil {
		return err
	}
	text := more.ReplaceAllStringFunc(page.String(), func(line string) string {
		return w.say("help.heading.more", "command", more.FindStringSubmatch(line)[1])
	})
	for english, key := range map[string]string{"Usage:": "help.heading.usage", "Arguments:": "help.heading.arguments", "Flags:": "help.heading.flags", "Commands:": "help.heading.commands"} {
		text = regexp.MustCompile(`(?m)^`+english).ReplaceAllLiteralString(text, w.say(key))
	}
	_, err = out.Write([]byte(text))
	return err
}

// lineFaults are what the library says against a command line: the pattern, the key,
// and what its gaps are called.
var lineFaults = []struct {
	says *regexp.Regexp
	key  string
	gaps []string
}{
	{regexp.MustCompile(`^unknown flag (\S+), did you mean (?:one of )?(.*)\?$`), "command.line.flag_like", []string{"flag", "like"}},
	{regexp.MustCompile(`^unknown flag (\S+)$`), "command.line.flag", []string{"flag"}},
	{regexp.MustCompile(`^unexpected argument (.*), did you mean (?:one of )?(.*)\?$`), "command.line.argument_like", []string{"argument", "like"}},
	{regexp.MustCompile(`^unexpected argument (.*)$`), "command.line.argument", []string{"argument"}},
	{regexp.MustCompile(`^missing flags: (.*)$`), "command.line.missing_flags", []string{"flags"}},
	{regexp.MustCompile(`^expected one of (.*)$`), "command.line.one_of", []string{"list"}},
	{regexp.MustCompile(`^(\S+) must be one of (.*) but got (.*)$`), "command.line.value", []string{"flag", "list", "value"}},
	{regexp.MustCompile(`^(\S+): (?:stat|open) (.*): .*$`), "command.line.no_file", []string{"flag", "file"}},
	{regexp.MustCompile(`^(\S+): expected an? .*but got (.*?)(?: \(.*\))?$`), "command.line.number", []string{"flag", "value"}},
	{regexp.MustCompile(`^expected (.*)$`), "command.line.expected", []string{"what"}},
}

// lineFault is what the library says against a command line, in words; what is not
// known here is said as it says it.
func (w words) lineFault(err *kong.ParseError) string {
	said := err.Error()
	for _, fault := range lineFaults {
		if found := fault.says.FindStringSubmatch(said); found != nil {
			var pairs []string
			for i, gap := range fault.gaps {
				pairs = append(pairs, gap, found[i+1])
			}
			return w.say(fault.key, pairs...)
		}
	}
	return w.say("command.line.other", "why", said)
}
