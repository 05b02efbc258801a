package message

import (
	"errors"
	"io/fs"
	"slices"
	"testing"
)

func TestASentenceIsReadAsItWasWritten(t *testing.T) {
	for _, say := range []Say{
		{Key: "file.plain"},
		{Key: "file.at", Args: Pairs("file", `a "b" = c.toml`, "line", "3", "why", `@invalid.seat seat="x\"y"`)},
		{Key: "invalid.name_long", Args: Pairs("name", "tab\tline\nend\\ <&> \u2028 \u202e Ålesund")},
	} {
		got, read := Read(say.String())
		if !read || got.Key != say.Key || !slices.Equal(got.Args, say.Args) {
			t.Errorf("%s came back as %v, %v", say, got, read)
		}
	}
	for _, text := range []string{
		"", "plain", "a team's name", "home game", "file.at file", `file.at file="x`, `file.at file="x"y="z"`,
		`file.at file="x"  line="y"`, ".at", "file.", "File.at", `file.at file='x'`,
	} {
		if say, read := Read(text); read {
			t.Errorf("%q was read as %v", text, say)
		}
	}
}

func TestACauseStandsInside(t *testing.T) {
	err := At("mine.toml", 3, Because(fs.ErrNotExist, "division_file.unreadable"))
	want := `file.at file="mine.toml" line="3" why="@division_file.unreadable why=\"file does not exist\""`
	if err.Error() != want {
		t.Errorf("got  %s\nwant %s", err, want)
	}
	if !errors.Is(err, fs.ErrNotExist) {
		t.Error("the cause is out of reach")
	}
	if got := Of(fs.ErrNotExist); got.Key != "file.plain" || got.Args.Get("text") != "file does not exist" {
		t.Errorf("what is not ours says %v", got)
	}
	if got := Plain("a\u202e\"b\n"); got != `a\u202e\"b\n` {
		t.Errorf("between quotes stands %s", got)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(`file.at file="mine.toml" line="3" why="@a.b c=\"d\""`)
	f.Fuzz(func(t *testing.T, text string) {
		say, read := Read(text)
		if !read {
			return
		}
		again, read := Read(say.String())
		if !read || again.Key != say.Key || !slices.Equal(again.Args, say.Args) {
			t.Fatalf("%q is %v, and then %v", text, say, again)
		}
	})
}
