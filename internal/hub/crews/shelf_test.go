package crews_test

import (
	"context"
	"errors"
	"maps"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/crews"
)

// database is the papers of one desk in memory, for several processes.
type database struct {
	texts   map[string][]byte
	version int64
	before  func() // once, before the next texts are read
}

func (d *database) DeskVersion(context.Context, string) (int64, error) { return d.version, nil }

func (d *database) DeskPapers(context.Context, string) (map[string][]byte, int64, error) {
	texts, version := maps.Clone(d.texts), d.version
	if act := d.before; act != nil {
		d.before = nil
		act()
		return d.DeskPapers(context.Background(), "")
	}
	return texts, version, nil
}

func (d *database) KeepDesk(_ context.Context, _ string, after int64, _ bool, _ entry.Millis, _ string, texts map[string][]byte) (int64, bool, error) {
	if after >= 0 && after != d.version {
		return d.version, false, nil
	}
	d.version++
	maps.Copy(d.texts, texts)
	return d.version, true, nil
}

func now() entry.Millis { return 1 }

// Of two hubs that save the season at the same moment the slower one is told so, and what
// the other kept stays. Whatever else changes in the desk meanwhile is in nobody's way.
func TestTwoHubsSaveTheSeasonAtOnce(t *testing.T) {
	db := &database{texts: map[string][]byte{}}
	here, there := crews.NewShelf(db, own, now), crews.NewShelf(db, own, now)
	if err := here.After(nil, nil, nil).KeepLeague([]byte("first")); err != nil {
		t.Fatal(err)
	}
	// Both have read the same; the other one keeps its schedule just before.
	db.before = func() {
		if err := there.After([]byte("first"), nil, nil).KeepSchedule([]byte("theirs")); err != nil {
			t.Error(err)
		}
	}
	err := here.After([]byte("first"), nil, nil).KeepSchedule([]byte("ours"))
	var no *api.No
	if !errors.As(err, &no) || no.Kind != api.Conflict || no.Say.Key != "season.changed_elsewhere" {
		t.Fatal(err)
	}
	if kept, err := here.Schedule(); err != nil || string(kept) != "theirs" {
		t.Errorf("%q, %v", kept, err)
	}
	// A league file that was worked out beside the schedule of before is refused too.
	if err := here.After([]byte("first"), nil, nil).KeepLeague([]byte("second")); !errors.As(err, &no) {
		t.Error(err)
	}
	// Somebody answers meanwhile; and one change may keep several files.
	db.before = func() {
		if _, kept, err := there.KeepAfter(t.Context(), db.version, false, 2, "answer", map[string][]byte{"log": []byte("yes")}); !kept || err != nil {
			t.Error(kept, err)
		}
	}
	change := here.After([]byte("first"), []byte("theirs"), nil)
	for _, err := range []error{change.KeepScheduleBefore([]byte("theirs")), change.KeepDecisions([]byte{}), change.KeepSchedule([]byte("new"))} {
		if err != nil {
			t.Error(err)
		}
	}
	if papers, err := there.All(t.Context()); err != nil || string(papers["log"]) != "yes" {
		t.Errorf("%q, %v", papers, err)
	}
	if kept, err := there.Schedule(); err != nil || string(kept) != "new" {
		t.Errorf("%q, %v", kept, err)
	}
}
