package hubtest

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/internal/hub/ledgers"
)

func testFork(t *testing.T, s Store) {
	ours := Chain("a", nil, 5)
	theirs := then(ours[:2], "b", 4)
	send(t, s, ours)
	forks(t, s, theirs[:4], 3, 4) // the whole ledger of the other bench
	for range 3 {
		forks(t, s, theirs[:4], 3, 4) // the same again makes no second branch
		forks(t, s, theirs[2:4], 3, 4)
	}
	forks(t, s, theirs[4:], 3, 6) // it goes on
	has(t, s, ours)
	branchIs(t, s, branches(t, s, 1)[0], theirs[2:])
	head, err := s.Head(t.Context(), At)
	if err != nil || !head.Forked || head.Common != 2 || head.Shown() != 2 {
		t.Errorf("%+v, %v", head, err)
	}
	more := then(ours, "a", 1)
	send(t, s, more[5:]) // the ledger goes on as well
	has(t, s, more)
	if head, err = s.Head(t.Context(), At); err != nil || head.Shown() != 2 {
		t.Errorf("%+v, %v", head, err)
	}
	// A fork that parted earlier is shown up to there.
	forks(t, s, Chain("c", nil, 1), 1, 1)
	if head, err = s.Head(t.Context(), At); err != nil || head.Shown() != 0 {
		t.Errorf("%+v, %v", head, err)
	}
	branches(t, s, 2)
}

func testUnknownFork(t *testing.T, s Store) {
	ours := Chain("a", nil, 5)
	theirs := then(ours[:2], "b", 4)
	send(t, s, ours)
	forks(t, s, theirs[4:], 4, 0)
	branches(t, s, 0)
	forks(t, s, theirs[2:], 3, 6)
	branchIs(t, s, branches(t, s, 1)[0], theirs[2:])
}

func testBranchOfBranch(t *testing.T, s Store) {
	ours := Chain("a", nil, 5)
	theirs := then(ours[:2], "b", 4)
	third := then(theirs[:4], "c", 3)
	send(t, s, ours)
	forks(t, s, theirs[2:], 3, 6)
	forks(t, s, third[4:], 3, 7)
	list := branches(t, s, 2)
	branchIs(t, s, list[0], theirs[2:])
	branchIs(t, s, list[1], third[2:])
	forks(t, s, third[2:], 3, 7)
	branches(t, s, 2)
	has(t, s, ours)
}

func testChoose(t *testing.T, s Store) {
	ours := Chain("a", nil, 5)
	theirs := then(ours[:2], "b", 5)
	send(t, s, ours)
	forks(t, s, theirs[2:6], 3, 6)
	if _, err := s.Choose(t.Context(), At, 9, note("chose")); !errors.Is(err, ledgers.ErrNoBranch) {
		t.Errorf("a branch that is not there: %v", err)
	}
	head, err := s.Choose(t.Context(), At, 1, note("chose"))
	if err != nil || head.Forked || head.Seq != 6 {
		t.Fatalf("%+v, %v", head, err)
	}
	has(t, s, theirs[:6])
	loser := branches(t, s, 1)[0]
	branchIs(t, s, loser, ours[2:])
	if !loser.Decided {
		t.Error("the fork is not decided")
	}
	send(t, s, theirs[6:])
	// Who lost goes on alone: it is kept, and the game is not held again.
	forks(t, s, then(ours, "a", 2)[5:], 3, 7)
	if head, err = s.Head(t.Context(), At); err != nil || head.Forked || head.Seq != 7 {
		t.Errorf("%+v, %v", head, err)
	}
	branchIs(t, s, branches(t, s, 1)[0], then(ours, "a", 2)[2:])

	// And for the ledger as it stands.
	forks(t, s, Chain("c", nil, 2), 1, 2)
	if head, err = s.Choose(t.Context(), At, 0, note("chose")); err != nil || head.Forked || head.Seq != 7 {
		t.Errorf("%+v, %v", head, err)
	}
	has(t, s, theirs)
	log, err := s.Log(t.Context(), Ours, 0, 100)
	if err != nil || len(log) != 3 {
		t.Errorf("%d lines of the log, %v", len(log), err)
	}
}

func testChooseEarlier(t *testing.T, s Store) {
	ours := Chain("a", nil, 6)
	early, late := then(ours[:2], "b", 3), then(ours[:4], "c", 3)
	send(t, s, ours)
	forks(t, s, early[2:], 3, 5)
	forks(t, s, late[4:], 5, 7)
	if _, err := s.Choose(t.Context(), At, 1, note("chose")); err != nil {
		t.Fatal(err)
	}
	has(t, s, early)
	list := branches(t, s, 2)
	branchIs(t, s, list[0], late[2:])
	branchIs(t, s, list[1], ours[2:])
	// Back again, by what was the ledger at first.
	if _, err := s.Choose(t.Context(), At, list[1].Number, note("chose")); err != nil {
		t.Fatal(err)
	}
	has(t, s, ours)
	forks(t, s, late[2:], 3, 7)
	forks(t, s, early[2:], 3, 5)
	branches(t, s, 2)
}

func testRace(t *testing.T, s Store) {
	start := Chain("a", nil, 2)
	send(t, s, start)
	const racers = 8
	var group sync.WaitGroup
	for i := range racers {
		group.Go(func() {
			for range 3 {
				_, err := s.Append(t.Context(), At, 1, then(start, fmt.Sprint("r", i), 3), 7)
				var fork *ledgers.ForkError
				if err != nil && (!errors.As(err, &fork) || fork.Kept != 5) {
					t.Errorf("racer %d: %v", i, err)
				}
			}
		})
	}
	group.Wait()
	branches(t, s, racers-1)
}

// testAnySeries has benches that know each other's lines up to some place send parts
// of their ledgers in any order, with choices between. Whatever was taken is kept.
func testAnySeries(t *testing.T, s Store) {
	round := 0
	rapid.Check(t, func(r *rapid.T) {
		round++
		at := ledgers.Where{Association: Ours, Game: fmt.Sprintf("G%d", round)}
		benches := [][]ledgers.Line{Chain("a", nil, 2)}
		taken := map[string]bool{}
		for step := range rapid.IntRange(4, 24).Draw(r, "steps") {
			i := rapid.IntRange(0, len(benches)-1).Draw(r, "bench")
			switch lines := benches[i]; rapid.IntRange(0, 9).Draw(r, "act") {
			case 0: // another bench goes on from a copy
				cut := rapid.IntRange(0, len(lines)).Draw(r, "cut")
				benches = append(benches, then(lines[:cut], fmt.Sprint("b", step), 1))
			case 1, 2, 3:
				benches[i] = then(lines, fmt.Sprint("s", step), rapid.IntRange(1, 3).Draw(r, "more"))
			case 4:
				chooseAny(r, s, at)
			default:
				from := rapid.IntRange(0, len(lines)-1).Draw(r, "from")
				sendSome(r, s, at, lines[from:], taken)
			}
		}
		everyLineIsThere(r, s, at, taken)
	})
}

func chooseAny(r *rapid.T, s Store, at ledgers.Where) {
	list, err := s.Branches(r.Context(), at)
	if err != nil {
		r.Fatal(err)
	}
	if len(list) == 0 {
		return
	}
	if _, err := s.Choose(r.Context(), at, list[rapid.IntRange(0, len(list)-1).Draw(r, "choice")].Number, note("chose")); err != nil {
		r.Fatal(err)
	}
}

func sendSome(r *rapid.T, s Store, at ledgers.Where, lines []ledgers.Line, taken map[string]bool) {
	_, err := s.Append(r.Context(), at, 1, lines, 7)
	var fork *ledgers.ForkError
	var gap *ledgers.GapError
	switch {
	case errors.As(err, &gap):
		return
	case errors.As(err, &fork):
	case err != nil:
		r.Fatal(err)
	}
	for _, line := range lines {
		if fork == nil || line.Seq <= fork.Kept {
			taken[line.Hash] = true
		}
	}
}

// everyLineIsThere also holds every branch to be a ledger together with what stands
// before its base.
func everyLineIsThere(r *rapid.T, s Store, at ledgers.Where, taken map[string]bool) {
	ledger, err := s.Lines(r.Context(), at, 0, 1000)
	if err != nil {
		r.Fatal(err)
	}
	there := map[string]bool{}
	follows := func(lines []ledgers.Line) {
		for i, line := range lines {
			there[line.Hash] = true
			if line.Seq != i+1 || i > 0 && line.Prev != lines[i-1].Hash {
				r.Fatalf("line %d does not follow", i+1)
			}
		}
	}
	follows(ledger)
	list, err := s.Branches(r.Context(), at)
	if err != nil {
		r.Fatal(err)
	}
	for _, b := range list {
		lines, err := s.BranchLines(r.Context(), at, b.Number)
		if err != nil {
			r.Fatal(err)
		}
		follows(append(ledger[:b.Base-1:b.Base-1], lines...))
	}
	for hash := range taken {
		if !there[hash] {
			r.Fatalf("a line that was taken is lost")
		}
	}
}
