package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// Table compares the codes: one line for each, with what it does and the rule for
// each setting that is wanted ("policies.one_minor_each"), and the rule for each
// kind of consequence ("goal_awarded").
func Table(wanted []string) (string, error) {
	if len(wanted) == 0 {
		return "", fmt.Errorf("a table of what?")
	}
	head, line := "| book |", "|---|"
	for _, want := range wanted {
		if slices.Contains(rulebook.Topics(), rulebook.Topic(want)) {
			head += " " + words("command.topic."+want) + " |"
			line += "---|"
			continue
		}
		head += " what it does | rule, and where it was read |"
		line += "---|---|"
	}
	var out strings.Builder
	out.WriteString("\n" + head + "\n" + line + "\n")
	for _, code := range rulebook.Codes() {
		out.WriteString("| " + code.Name + " |")
		for _, want := range wanted {
			cells, err := cells(code, want)
			if err != nil {
				return "", err
			}
			for _, text := range cells {
				out.WriteString(" " + strings.ReplaceAll(text, "|", "\\|") + " |")
			}
		}
		out.WriteString("\n")
	}
	return out.String(), nil
}

// cells are what a code has to say about what is wanted.
func cells(code *rulebook.Code, want string) ([]string, error) {
	if c, ok := code.Rules[rulebook.Topic(want)]; ok {
		return []string{citation(c, code.Edition)}, nil
	}
	for _, s := range rulebook.Settings(code.ID) {
		if s.Table+"."+s.Key == want {
			return []string{value(s), citation(s.Cited, code.Edition)}, nil
		}
	}
	return nil, fmt.Errorf("a code has neither a setting nor a topic %q", want)
}

// value is a setting in words, as "whistlestop codes" says it.
func value(s rulebook.Setting) string {
	key := "command." + s.Table + "." + s.Key
	switch v := s.Value.(type) {
	case entry.Millis:
		if v == 0 {
			return words(key + ".none")
		}
		return words(key, "time", v.String())
	case int:
		if v == 0 {
			return words(key + ".none")
		}
		return words(key, "count", strconv.Itoa(v))
	case bool:
		return words(key + "." + strconv.FormatBool(v))
	default:
		return words(fmt.Sprintf("%s.%v", key, v))
	}
}

// citation is a rule with the place where it was read, where that is not the
// book that the code is made from.
func citation(c rulebook.Cited, edition string) string {
	var out []string
	if c.Rule != "" {
		out = append(out, c.Rule)
	}
	if c.Source != edition {
		out = append(out, c.Source)
	}
	return strings.Join(out, "; ")
}

// Memory lists for each code what stands on no page that could be read.
func Memory() string {
	var out strings.Builder
	out.WriteString("\n| book | from memory only |\n|---|---|\n")
	for _, code := range rulebook.Codes() {
		var list []string
		add := func(name string, c rulebook.Cited) {
			if strings.Contains(c.Source, "from memory") {
				list = append(list, strings.ReplaceAll(name, "_", " "))
			}
		}
		for _, s := range rulebook.Settings(code.ID) {
			add(s.Table+": "+s.Key, s.Cited)
		}
		for _, topic := range rulebook.Topics() {
			add("rule: "+string(topic), code.Rules[topic])
		}
		if len(list) == 0 {
			list = []string{"nothing"}
		}
		out.WriteString("| " + code.Name + " | " + strings.Join(list, "; ") + " |\n")
	}
	return out.String()
}
