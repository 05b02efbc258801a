package hubtest

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// Store is all that a hub needs of its database.
type Store interface {
	ledgers.Store
	office.Store
	Title(ctx context.Context, at ledgers.Where, seq int, hash string) ([]byte, error)
	KeepTitle(ctx context.Context, at ledgers.Where, seq int, hash string, title []byte) error
	Reopened(ctx context.Context, association string) (map[string]int, error)
	Reopen(ctx context.Context, at ledgers.Where, versions int, note ledgers.Note) error
	Switches(ctx context.Context, association string) (map[office.Switch]bool, error)
	Turn(ctx context.Context, association string, what office.Switch, on bool, note ledgers.Note) error
	Stamp(ctx context.Context, association string) (string, error)
	Names(ctx context.Context, at ledgers.Where) ([]ledgers.Name, error)
	NamedGames(ctx context.Context, association string) ([]string, error)
	KeepNames(ctx context.Context, at ledgers.Where, list []ledgers.Name) error
	ForgetNames(ctx context.Context, at ledgers.Where, commitments []string) error
	ForgetNaming(ctx context.Context, association, naming string) ([]string, error)
	ForgetOlder(ctx context.Context, association string) ([]string, error)
	DeskVersion(ctx context.Context, association string) (int64, error)
	DeskPapers(ctx context.Context, association string) (map[string][]byte, int64, error)
	KeepDesk(ctx context.Context, association string, after int64, forget bool, at entry.Millis, why string, texts map[string][]byte) (int64, bool, error)
	Close() error
}

// Two associations, and a game that both could have.
const (
	Ours   = "harbour"
	Theirs = "elsewhere"
	Game   = "01JD0000000000000000GAME01"
)

// At is the game in our association.
var At = ledgers.Where{Association: Ours, Game: Game}

// Run runs the suite. open returns a new, empty store for each test.
func Run(t *testing.T, open func(t *testing.T) Store) {
	for _, test := range []struct {
		name string
		run  func(t *testing.T, s Store)
	}{
		{"a game that nobody sent has the zero head", testEmpty},
		{"lines come back byte for byte", testRoundTrip},
		{"the same again is there, for ever", testAgain},
		{"lines that miss some before them are refused", testGap},
		{"of a fork both branches are kept", testFork},
		{"a fork whose beginning is not here is asked for from the parting", testUnknownFork},
		{"a branch of a branch keeps all its lines", testBranchOfBranch},
		{"a person decides a fork, and nothing is lost", testChoose},
		{"a branch that parted from lines that go keeps them", testChooseEarlier},
		{"who wrote under an earlier epoch is fenced off", testFenced},
		{"an id stands once", testTwice},
		{"a cancelled append writes nothing", testCancelled},
		{"of many at one place one wins and all are kept", testRace},
		{"any series of sends keeps every line that was taken", testAnySeries},
		{"the wrong association finds nothing", testWrongAssociation},
		{"a token is good for one thing in one association", testTokens},
		{"a team's link keeps its division", testTeamsLink},
		{"a bench for one game gets the first that it sends", testOneGame},
		{"of two games at one moment a bench for one gets one", testOneGameRace},
		{"a token that is taken is taken once", testTake},
		{"the log is a chain", testLog},
		{"a desk's papers are kept by number, for one association", testDesk},
		{"of many who change a desk at once nobody overwrites another", testDeskRace},
		{"a title counts while the game ends so", testTitle},
		{"what was reopened is known by game, of one association", testReopened},
		{"what an association turned on is its own", testSwitches},
		{"names go when they are taken out, and are one association's", testNames},
		{"what was taken out of older lines is known by game, of one association", testOlder},
		{"names from older lines go together", testOlderNames},
		{"a stamp changes with what is ours, and with nothing else", testStamp},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := open(t)
			t.Cleanup(func() {
				if err := s.Close(); err != nil {
					t.Errorf("close: %v", err)
				}
			})
			for _, id := range []string{Ours, Theirs} {
				if err := s.Found(t.Context(), office.Association{ID: id, Name: id, Made: 1}, note("founded")); err != nil {
					t.Fatal(err)
				}
			}
			test.run(t, s)
		})
	}
}

func note(what string) ledgers.Note { return ledgers.Note{At: 1, Who: "test", What: what} }

// Chain returns count lines of a bench that follow others.
func Chain(bench string, before []ledgers.Line, count int) []ledgers.Line {
	var lines []ledgers.Line
	seq, prev := len(before), ""
	if seq > 0 {
		prev = before[seq-1].Hash
	}
	for range count {
		seq++
		raw := fmt.Appendf(nil, "%s %d %s \xff", bench, seq, prev) // bytes, whatever they say
		sum := sha256.Sum256(raw)
		line := ledgers.Line{Seq: seq, ID: fmt.Sprintf("%s-%d", bench, seq), Prev: prev, Hash: hex.EncodeToString(sum[:]), Bytes: raw}
		lines, prev = append(lines, line), line.Hash
	}
	return lines
}

// then is lines and others after them.
func then(lines []ledgers.Line, bench string, count int) []ledgers.Line {
	return append(lines[:len(lines):len(lines)], Chain(bench, lines, count)...)
}

func send(t testing.TB, s Store, lines []ledgers.Line) ledgers.Head {
	t.Helper()
	head, err := s.Append(t.Context(), At, 1, lines, 7)
	if err != nil {
		t.Fatal(err)
	}
	return head
}

// forks sends lines that others stand in the places of.
func forks(t testing.TB, s Store, lines []ledgers.Line, seq, kept int) {
	t.Helper()
	_, err := s.Append(t.Context(), At, 1, lines, 7)
	var fork *ledgers.ForkError
	if !errors.As(err, &fork) || fork.Seq != seq || fork.Kept != kept {
		t.Fatalf("%v, want a fork at %d that is kept up to %d", err, seq, kept)
	}
}

func same(t testing.TB, got, want []ledgers.Line) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d lines, want %d", len(got), len(want))
	}
	for i := range want {
		if got[i].Seq != want[i].Seq || got[i].ID != want[i].ID || got[i].Prev != want[i].Prev ||
			got[i].Hash != want[i].Hash || !bytes.Equal(got[i].Bytes, want[i].Bytes) {
			t.Fatalf("line %d: %+v, want %+v", i, got[i], want[i])
		}
	}
}

func has(t testing.TB, s Store, want []ledgers.Line) {
	t.Helper()
	lines, err := s.Lines(t.Context(), At, 0, 1000)
	if err != nil {
		t.Fatal(err)
	}
	same(t, lines, want)
	head, err := s.Head(t.Context(), At)
	if err != nil || head.Seq != len(want) || len(want) > 0 && head.Hash != want[len(want)-1].Hash {
		t.Fatalf("%+v, %v, want the end of %d lines", head, err, len(want))
	}
	newsIs(t, s, head, want)
}

// newsIs asks for what is new behind several places, and for fewer lines than there are.
func newsIs(t testing.TB, s Store, head ledgers.Head, want []ledgers.Line) {
	t.Helper()
	beside, err := s.Branches(t.Context(), At)
	if err != nil {
		t.Fatal(err)
	}
	want = want[:head.Shown()]
	for _, after := range []int{0, 1, max(0, len(want)-1), len(want), len(want) + 1} {
		for _, most := range []int{1, 1000} {
			news, err := s.News(t.Context(), At, after, most)
			if err != nil || news.Head != head || news.Branches != len(beside) || len(want) > 0 && news.First != want[0].Hash {
				t.Fatalf("behind %d: %+v, %v", after, news, err)
			}
			behind := want[min(after, len(want)):]
			same(t, news.Lines, behind[:min(most, len(behind))])
		}
	}
}

func branches(t testing.TB, s Store, want int) []ledgers.Branch {
	t.Helper()
	list, err := s.Branches(t.Context(), At)
	if err != nil || len(list) != want {
		t.Fatalf("%d branches, %v, want %d", len(list), err, want)
	}
	return list
}

func branchIs(t testing.TB, s Store, b ledgers.Branch, want []ledgers.Line) {
	t.Helper()
	lines, err := s.BranchLines(t.Context(), At, b.Number)
	if err != nil {
		t.Fatal(err)
	}
	same(t, lines, want)
	if b.Base != want[0].Seq || b.Seq != want[len(want)-1].Seq || b.Hash != want[len(want)-1].Hash {
		t.Fatalf("%+v", b)
	}
}

func testEmpty(t *testing.T, s Store) {
	has(t, s, nil)
	if games, err := s.Games(t.Context(), Ours); err != nil || len(games) != 0 {
		t.Errorf("%v, %v", games, err)
	}
	if _, err := s.Choose(t.Context(), At, 0, note("chose")); !errors.Is(err, ledgers.ErrNoGame) {
		t.Errorf("chosen: %v", err)
	}
	if _, err := s.Raise(t.Context(), At, note("raised")); !errors.Is(err, ledgers.ErrNoGame) {
		t.Errorf("raised: %v", err)
	}
	if head, err := s.Append(t.Context(), At, 1, nil, 7); err != nil || head != (ledgers.Head{}) {
		t.Errorf("nothing appended: %+v, %v", head, err)
	}
}

func testRoundTrip(t *testing.T, s Store) {
	all := Chain("a", nil, 7)
	send(t, s, all[:3])
	head := send(t, s, all[3:])
	if want := (ledgers.Head{Epoch: 1, Seq: 7, Hash: all[6].Hash}); head != want {
		t.Errorf("%+v, want %+v", head, want)
	}
	has(t, s, all)
	some, err := s.Lines(t.Context(), At, 2, 3)
	if err != nil {
		t.Fatal(err)
	}
	same(t, some, all[2:5])
	for seq, want := range map[int]string{0: "", 1: all[0].Hash, 7: all[6].Hash, 8: ""} {
		if got, err := s.HashAt(t.Context(), At, seq); err != nil || got != want {
			t.Errorf("hash at %d: %q, %v", seq, got, err)
		}
	}
	games, err := s.Games(t.Context(), Ours)
	if err != nil || len(games) != 1 || games[0] != (ledgers.Game{ID: Game, Heard: 7, Head: head}) {
		t.Errorf("%+v, %v", games, err)
	}
}

func testAgain(t *testing.T, s Store) {
	all := Chain("a", nil, 6)
	send(t, s, all[:4])
	for range 50 {
		send(t, s, all[:4])
		send(t, s, all[1:3])
	}
	has(t, s, all[:4])
	send(t, s, all[2:]) // some are there, some are not
	has(t, s, all)
	branches(t, s, 0)
}

func testGap(t *testing.T, s Store) {
	all := Chain("a", nil, 6)
	for _, sent := range []int{0, 3} {
		send(t, s, all[:sent])
		_, err := s.Append(t.Context(), At, 1, all[sent+1:], 7)
		var gap *ledgers.GapError
		if !errors.As(err, &gap) || gap.Want != sent+1 {
			t.Errorf("after %d: %v, want a gap at %d", sent, err, sent+1)
		}
	}
	has(t, s, all[:3])
}

func testFenced(t *testing.T, s Store) {
	all := Chain("a", nil, 4)
	send(t, s, all[:2])
	head, err := s.Raise(t.Context(), At, note("raised"))
	if err != nil || head.Epoch != 2 || head.Seq != 2 {
		t.Fatalf("%+v, %v", head, err)
	}
	_, err = s.Append(t.Context(), At, 1, all[2:3], 7)
	var fenced *ledgers.FencedError
	if !errors.As(err, &fenced) || fenced.Epoch != 2 {
		t.Errorf("%v, want it fenced off", err)
	}
	has(t, s, all[:2])
	if head, err = s.Append(t.Context(), At, 2, all[2:], 7); err != nil || head.Seq != 4 || head.Epoch != 2 {
		t.Errorf("%+v, %v", head, err)
	}
	// A hub that was restored from an older copy has forgotten an epoch; the bench has not.
	if head, err = s.Append(t.Context(), At, 5, Chain("a", all, 1), 7); err != nil || head.Epoch != 5 {
		t.Errorf("%+v, %v", head, err)
	}
}

func testTwice(t *testing.T, s Store) {
	all := Chain("a", nil, 3)
	send(t, s, all[:2])
	all[2].ID = all[0].ID
	_, err := s.Append(t.Context(), At, 1, all[2:], 7)
	var twice *ledgers.TwiceError
	if !errors.As(err, &twice) || twice.ID != all[0].ID {
		t.Errorf("%v, want the id named", err)
	}
	has(t, s, all[:2])
}

func testCancelled(t *testing.T, s Store) {
	all := Chain("a", nil, 3)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Append(ctx, At, 1, all, 7); err == nil {
		t.Error("a cancelled append was reported as done")
	}
	has(t, s, nil)
	send(t, s, all)
	has(t, s, all)
}

func testTitle(t *testing.T, s Store) {
	all := Chain("a", nil, 1)
	send(t, s, all)
	for _, title := range []string{`{"a":1}`, `{"a":2}`} {
		if err := s.KeepTitle(t.Context(), At, 1, all[0].Hash, []byte(title)); err != nil {
			t.Fatal(err)
		}
		if got, err := s.Title(t.Context(), At, 1, all[0].Hash); err != nil || string(got) != title {
			t.Errorf("%q, %v", got, err)
		}
	}
	if got, err := s.Title(t.Context(), At, 2, all[0].Hash); err != nil || len(got) != 0 {
		t.Errorf("another end: %q, %v", got, err)
	}
}

// testWrongAssociation asks every question about our game as somebody else's.
func testWrongAssociation(t *testing.T, s Store) {
	all := Chain("a", nil, 3)
	send(t, s, all)
	forks(t, s, Chain("b", all[:1], 1), 2, 2)
	if err := s.KeepTitle(t.Context(), At, 3, all[2].Hash, []byte(`{}`)); err != nil {
		t.Fatal(err)
	}
	token := office.Token{ID: "t1", Kind: office.Bench, Label: "a", Made: 1, Expires: 9, OneGame: true}
	if err := s.Keep(t.Context(), Ours, token, "hash", note("made")); err != nil {
		t.Fatal(err)
	}
	before, err := s.Log(t.Context(), Ours, 0, 100)
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	nothing := func(what string, found bool, err error) {
		t.Helper()
		if asked++; err != nil || found {
			t.Errorf("%s: something is found, or %v", what, err)
		}
	}
	other := ledgers.Where{Association: Theirs, Game: Game}
	ctx := t.Context()
	head, err := s.Head(ctx, other)
	nothing("head", head != ledgers.Head{}, err)
	lines, err := s.Lines(ctx, other, 0, 100)
	nothing("lines", len(lines) > 0, err)
	hash, err := s.HashAt(ctx, other, 1)
	nothing("hash", hash != "", err)
	news, err := s.News(ctx, other, 0, 100)
	nothing("news", news.First != "" || len(news.Lines) > 0 || news.Branches > 0 || news.Head != ledgers.Head{}, err)
	list, err := s.Branches(ctx, other)
	nothing("branches", len(list) > 0, err)
	lines, err = s.BranchLines(ctx, other, 1)
	nothing("lines of a branch", len(lines) > 0, err)
	games, err := s.Games(ctx, Theirs)
	nothing("games", len(games) > 0, err)
	title, err := s.Title(ctx, other, 3, all[2].Hash)
	nothing("title", len(title) > 0, err)
	found, err := s.Token(ctx, Theirs, office.Bench, "hash")
	nothing("token", found.ID != "", err)
	found, err = s.Take(ctx, Theirs, office.Bench, "hash", note("took"))
	nothing("taken token", found.ID != "", err)
	tokens, err := s.Tokens(ctx, Theirs, office.Bench)
	nothing("tokens", len(tokens) > 0, err)
	there, err := s.Revoke(ctx, Theirs, token.ID, note("revoked"))
	nothing("revoked token", there, err)
	nothing("seen token", false, s.Seen(ctx, Theirs, token.ID, 5))
	bound, err := s.Bind(ctx, Theirs, token.ID, Game, note("bound"))
	nothing("bound token", bound != "", err)
	log, err := s.Log(ctx, Theirs, 0, 100)
	nothing("log", len(log) != 1, err) // that it was founded
	_, err = s.Choose(ctx, other, 1, note("chose"))
	nothing("choice", !errors.Is(err, ledgers.ErrNoGame), nil)
	_, err = s.Raise(ctx, other, note("raised"))
	nothing("raised epoch", !errors.Is(err, ledgers.ErrNoGame), nil)

	// And what they send stands apart from ours.
	theirs := Chain("c", nil, 1)
	if _, err := s.Append(ctx, other, 1, theirs, 7); err != nil {
		t.Fatal(err)
	}
	has(t, s, all)
	branches(t, s, 1)
	if mine, err := s.Token(ctx, Ours, office.Bench, "hash"); err != nil || mine != token {
		t.Errorf("%+v, %v", mine, err)
	}
	after, err := s.Log(ctx, Ours, 0, 100)
	if err != nil || len(after) != len(before) || asked != 17 {
		t.Errorf("%d lines of the log, %v; %d questions", len(after), err, asked)
	}
}

func testLog(t *testing.T, s Store) {
	send(t, s, Chain("a", nil, 1))
	for range 3 {
		if _, err := s.Raise(t.Context(), At, note("raised")); err != nil {
			t.Fatal(err)
		}
	}
	log, err := s.Log(t.Context(), Ours, 0, 100)
	if err != nil || len(log) != 4 {
		t.Fatalf("%d lines, %v", len(log), err)
	}
	prev := ""
	for i, line := range log {
		if line.Seq != i+1 || line.Prev != prev || line.Hash != line.Sum() {
			t.Errorf("line %d does not follow: %+v", i, line)
		}
		prev = line.Hash
	}
	some, err := s.Log(t.Context(), Ours, 1, 2)
	if err != nil || len(some) != 2 || some[0] != log[1] {
		t.Errorf("%+v, %v", some, err)
	}
}
