package people_test

import (
	"bytes"
	"reflect"
	"testing"

	"whistlestop/internal/hub/people"
)

func TestSomebodyIsDeleted(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	crew := c.invited(first, coordinator, "Jo Winslade")
	helper := c.invited(first, volunteer, "Alex Marlowe")
	other := c.invited(first, volunteer, "Sage Thornley")
	is(t, c.Forget(ctx, crew, first.Person), people.ErrRefused)
	is(t, c.Forget(ctx, helper, other.Person), people.ErrRefused)
	is(t, c.Forget(ctx, first, first.Person), people.ErrLastAdmin)
	stale := crew
	stale.Fresh = false
	is(t, c.Forget(ctx, stale, helper.Person), people.ErrStale)
	stale = helper
	stale.Fresh = false
	is(t, c.Forget(ctx, stale, helper.Person), people.ErrStale)
	is(t, c.Forget(ctx, crew, helper.Person), nil)
	is(t, c.Forget(ctx, other, other.Person), nil)
	is(t, c.Forget(ctx, first, helper.Person), people.ErrGone)
	all, err := c.Everybody(ctx)
	if err != nil || len(all) != 2 {
		t.Error(all, err)
	}
	// Their names are nowhere in the log, and it holds.
	log, err := c.store.Log(ctx, "harbour", 0, 100)
	is(t, err, nil)
	prev := ""
	for _, line := range log {
		for _, text := range []string{line.Who, line.What, line.Object, line.From} {
			if text == "Alex Marlowe" || text == "Sage Thornley" {
				t.Errorf("%+v", line)
			}
		}
		if line.Prev != prev || line.Sum() != line.Hash {
			t.Errorf("line %d does not follow", line.Seq)
		}
		prev = line.Hash
	}
}

// An older copy has somebody who was deleted since: the list deletes them once more.
func TestTheListIsAppliedToAnOlderCopy(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	helper := c.invited(first, volunteer, "Alex Marlowe")
	copied := t.TempDir() + "/copy.db"
	is(t, c.store.BackUp(ctx, copied), nil)
	is(t, c.Forget(ctx, first, helper.Person), nil)
	list, err := c.Deletions(ctx)
	is(t, err, nil)
	again, err := c.Reapply(ctx, list)
	if again != 0 || err != nil {
		t.Error(again, err)
	}
	older := reopened(t, c, copied)
	if p, err := older.Everybody(ctx); err != nil || len(p) != 2 {
		t.Fatal(p, err)
	}
	read, err := people.ReadDeletions(people.WriteDeletions(list))
	is(t, err, nil)
	for want := 1; want >= 0; want-- {
		if again, err = older.Reapply(ctx, read); again != want || err != nil {
			t.Error(again, err)
		}
	}
	if p, err := older.Everybody(ctx); err != nil || len(p) != 1 || p[0].ID != first.Person {
		t.Error(p, err)
	}
	kept, err := older.Deletions(ctx)
	if err != nil || len(kept) != 1 || kept[0].Person != helper.Person {
		t.Error(kept, err)
	}
}

// Only what is 24 months old goes from the log.
func TestTheLogIsKeptFor24Months(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	c.invited(first, volunteer, "Alex Marlowe")
	before, err := c.store.Log(ctx, "harbour", 0, 100)
	is(t, err, nil)
	c.now += people.LogKept // founded in 1970, the others just now
	is(t, c.Prune(ctx), nil)
	after, err := c.store.Log(ctx, "harbour", 0, 100)
	if err != nil || after[0].Seq != 2 || after[len(after)-1].What != "pruned" || len(after) != len(before) {
		t.Fatalf("%+v %v", after, err)
	}
	is(t, c.Prune(ctx), nil)
	if again, err := c.store.Log(ctx, "harbour", 0, 100); err != nil || len(again) != len(after) {
		t.Errorf("where nothing goes nothing is written: %d, %v", len(again), err)
	}
	c.now++
	is(t, c.Prune(ctx), nil)
	if after, err = c.store.Log(ctx, "harbour", 0, 100); err != nil || after[0].What != "pruned" {
		t.Errorf("%+v %v", after, err)
	}
}

func TestWithDeletions(t *testing.T) {
	a, b := people.Deletion{Association: "x", Person: "a", At: 1}, people.Deletion{Association: "y", Person: "a", At: 2}
	later := a
	later.At = 9
	if got := people.WithDeletions([]people.Deletion{a}, []people.Deletion{later, b, b}); !reflect.DeepEqual(got, []people.Deletion{a, b}) {
		t.Error(got)
	}
}

func FuzzReadDeletions(f *testing.F) {
	f.Add([]byte(`{"association":"harbour","person":"0011","at_ms":7}` + "\n"))
	f.Add([]byte(`{"association":"harbour","person":"0011","at_ms":7}` + "\n" + `{"association":"har`))
	f.Add([]byte(`{"association":"","person":"x"}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := people.ReadDeletions(text)
		if err != nil {
			return
		}
		written := people.WriteDeletions(list)
		again, err := people.ReadDeletions(written)
		if err != nil || !bytes.Equal(people.WriteDeletions(again), written) || len(again) != len(list) {
			t.Fatalf("%q: %v %v", text, list, err)
		}
	})
}
