package hubtest

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"testing"
)

func testDesk(t *testing.T, s Store) {
	ctx := t.Context()
	keep := func(association string, after int64, forget bool, texts map[string][]byte) (int64, bool) {
		t.Helper()
		version, kept, err := s.KeepDesk(ctx, association, after, forget, 1, "test", texts)
		if err != nil {
			t.Fatal(err)
		}
		return version, kept
	}
	is := func(association string, version int64, want map[string]string) {
		t.Helper()
		texts, at, err := s.DeskPapers(ctx, association)
		if err != nil || at != version || len(texts) != len(want) {
			t.Fatalf("%d papers at %d, %v; want %d at %d", len(texts), at, err, len(want), version)
		}
		for name, text := range want {
			if string(texts[name]) != text {
				t.Errorf("%s is %q, want %q", name, texts[name], text)
			}
		}
		if alone, err := s.DeskVersion(ctx, association); err != nil || alone != version {
			t.Errorf("version %d, %v, want %d", alone, err, version)
		}
	}
	is(Ours, 0, nil)
	if version, kept := keep(Ours, 0, false, map[string][]byte{"people": []byte("a\xff\x00"), "rota": nil}); version != 1 || !kept {
		t.Fatal(version, kept)
	}
	is(Ours, 1, map[string]string{"people": "a\xff\x00", "rota": ""})
	is(Theirs, 0, nil)
	if version, kept := keep(Ours, 0, false, map[string][]byte{"people": []byte("late")}); version != 1 || kept {
		t.Error("what another one changed was overwritten", version, kept)
	}
	if version, kept := keep(Ours, -1, false, map[string][]byte{"people": []byte("b")}); version != 2 || !kept {
		t.Error(version, kept)
	}
	is(Ours, 2, map[string]string{"people": "b", "rota": ""})
	if version, kept := keep(Theirs, 0, false, map[string][]byte{"people": []byte("theirs")}); version != 1 || !kept {
		t.Error(version, kept)
	}
	// Many versions, then none but the newest; the numbers go on.
	for n := range 25 {
		keep(Ours, int64(n+2), false, map[string][]byte{"people": []byte(strconv.Itoa(n))})
	}
	is(Ours, 27, map[string]string{"people": "24", "rota": ""})
	if version, kept := keep(Ours, 27, true, map[string][]byte{"people": []byte("c")}); version != 28 || !kept {
		t.Error(version, kept)
	}
	is(Ours, 28, map[string]string{"people": "c", "rota": ""})
	is(Theirs, 1, map[string]string{"people": "theirs"})
}

func testDeskRace(t *testing.T, s Store) {
	const many, each = 4, 5
	failed := make(chan error, many)
	for who := range many {
		go func() {
			for n := 0; n < each; {
				texts, version, err := s.DeskPapers(context.Background(), Ours)
				kept := false
				if err == nil {
					added := fmt.Appendf(texts["log"], "%d.%d ", who, n)
					_, kept, err = s.KeepDesk(context.Background(), Ours, version, false, 1, "test", map[string][]byte{"log": added})
				}
				if err != nil {
					failed <- err
					return
				}
				if kept {
					n++
				}
			}
			failed <- nil
		}()
	}
	for range many {
		if err := <-failed; err != nil {
			t.Fatal(err)
		}
	}
	texts, version, err := s.DeskPapers(t.Context(), Ours)
	if err != nil || version != many*each {
		t.Fatal(version, err)
	}
	for who := range many {
		for n := range each {
			if one := fmt.Sprintf("%d.%d ", who, n); strings.Count(string(texts["log"]), one) != 1 {
				t.Errorf("%q is not there once: %q", one, texts["log"])
			}
		}
	}
}
