package main

import (
	"strings"
	"testing"
)

// TestThePageSaysWhatTheProgramDoes makes the pages and their drawings again and
// compares them with those committed.
func TestThePageSaysWhatTheProgramDoes(t *testing.T) {
	if err := run("../..", true); err != nil {
		t.Error(err)
	}
}

const sample = "# Page\n\n```game short\ngame usah-youth\nbegin 1\n2:00 penalty home 17 minor tripping\n2:54 goal visitors 12\n" +
	"draw 2:00\ndraw 2:54\n```\n\nWords after.\n<!-- table policies.late_window -->\n\nThe end.\n"

func TestMakingTwiceChangesNothing(t *testing.T) {
	once, pictures, err := Make(sample)
	if err != nil {
		t.Fatal(err)
	}
	twice, _, err := Make(once)
	if err != nil || twice != once {
		t.Errorf("%v: made again it became\n%s\nfrom\n%s", err, twice, once)
	}
	for _, want := range []string{
		"- **18:00** Kelp Bay 17, tripping, minor. Kelp Bay 17 sits 2:00, out at 16:00. (402(a)) Four against five.\n",
		"Ends Kelp Bay 17's minor with 1:06 left: let 17 out of the home gate. (402(c)) Five against five. 0–1.\n",
		"![The lanes at 17:06](rules/short-2.svg)\n", "Words after.\n", "The end.\n",
		"| NHL | In the last 5:00 of regulation, and in overtime, a minor against a major is played as the difference. | 19.4 |\n",
	} {
		if !strings.Contains(once, want) {
			t.Errorf("%q is missing from\n%s", want, once)
		}
	}
	if len(pictures) != 2 || !strings.HasPrefix(string(pictures["short.svg"]), "<svg ") {
		t.Errorf("%d drawings", len(pictures))
	}
}

func TestMemoryNamesWhatWasNotRead(t *testing.T) {
	got := Memory()
	for _, want := range []string{"| IIHF | nothing |\n", "| NHL | charges: match;", "rule: goal awarded"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing from\n%s", want, got)
		}
	}
}

func TestAWrongPageIsNamedByItsLine(t *testing.T) {
	for _, test := range []struct{ from, to, want string }{
		{"```\n\nWords", "\nWords", "line 3: the block of short is not closed"},
		{"usah-youth", "beer", "line 3: short: \"game beer\" (line 1 of the game): there is no code \"beer\""},
		{"2:54 goal", "2:54 gaol", "\"gaol\" is not a happening"},
		{"2:54", "2:99", "is not a time"},
		{"begin 1", "begin first", "line 2 of the game"},
		{"goal visitors 12", "goal visitors", "a goal has a side and a scorer"},
		{"draw 2:00\ndraw 2:54\n", "", "nothing is drawn"},
		{"draw 2:00\n", "choose 17\n", "nothing is asked"},
		{"policies.late_window", "policies.colour", "line 13: a code has neither a setting nor a topic \"policies.colour\""},
	} {
		page := strings.Replace(sample, test.from, test.to, 1)
		if _, _, err := Make(page); page == sample || err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%q for %q: %v", test.to, test.from, err)
		}
	}
}
