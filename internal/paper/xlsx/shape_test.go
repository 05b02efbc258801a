package xlsx

import (
	"io"
	"strings"
	"testing"
)

func TestShapeOfXML(t *testing.T) {
	deep := func(n int) string { return strings.Repeat("<a>", n) + strings.Repeat("</a>", n) }
	for name, test := range map[string]struct {
		text string
		fits bool
	}{
		"as deep as can be":           {deep(depthMost), true},
		"deeper":                      {deep(depthMost + 1), false},
		"many beside one another":     {"<r>" + strings.Repeat(`<c a="/>"/><d></d>`, 10_000) + "</r>", true},
		"a sign within an attribute":  {strings.Repeat(`<c a=">"></c>`, 1000), true},
		"a declaration and a comment": {`<?xml version="1.0"?><!-- a --><r/>`, true},
		"a tag without an end":        {"<a " + strings.Repeat(`b="" `, tagMost/5+1), false},
		"a long text":                 {"<t>" + strings.Repeat("x", 4*tagMost) + "</t>", true},
	} {
		_, err := io.ReadAll(&shaped{in: strings.NewReader(test.text)})
		if (err == nil) != test.fits {
			t.Errorf("%s: %v", name, err)
		}
	}
}
