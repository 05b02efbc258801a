package seal_test

import (
	"bytes"
	"crypto/ed25519"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

var key = keyOf(7)

func keyOf(b byte) seal.Key {
	return seal.Key(ed25519.NewKeyFromSeed(bytes.Repeat([]byte{b}, ed25519.SeedSize)))
}

// ledger returns a chained ledger of so many entries.
func ledger(t testing.TB, count int) []entry.Entry {
	t.Helper()
	list := []entry.Entry{{Body: entry.GameOpened{
		Division: []byte(`{}`), Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Lanternside"},
	}}}
	for n := 1; n < count; n++ {
		list = append(list, entry.Entry{Body: entry.Note{Text: fmt.Sprintf("remark %d", n)}})
	}
	return chained(t, nil, list)
}

// chained adds entries to the end of a ledger.
func chained(t testing.TB, before, list []entry.Entry) []entry.Entry {
	t.Helper()
	all := append([]entry.Entry{}, before...)
	for _, e := range list {
		e.ID, e.Game, e.Seq = fmt.Sprintf("01JSEAL%019d", len(all)+1), "01JGAME0000000000000000000", len(all)+1
		e.Wall, e.Prev = entry.Millis(1000*len(all)), ""
		if len(all) > 0 {
			hash, err := all[len(all)-1].Hash()
			if err != nil {
				t.Fatal(err)
			}
			e.Prev = hash
		}
		all = append(all, e)
	}
	return all
}

// sealed adds a seal, made with a key.
func sealed(t testing.TB, list []entry.Entry, missing string, key seal.Key) []entry.Entry {
	t.Helper()
	body, err := key.Make(list, missing)
	if err != nil {
		t.Fatal(err)
	}
	list = chained(t, list, []entry.Entry{{Body: body}})
	list[len(list)-1], err = key.Sign(list[len(list)-1])
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// lines writes a ledger as it is exported.
func lines(t testing.TB, list []entry.Entry) []string {
	t.Helper()
	var all []string
	for _, e := range list {
		raw, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, string(raw))
	}
	return all
}

func file(all []string) []byte { return []byte(strings.Join(all, "\n") + "\n") }

func TestGoodLedger(t *testing.T) {
	list := sealed(t, ledger(t, 8), "", key)
	list = chained(t, list, []entry.Entry{{Body: entry.Note{Text: "the assist was 9"}}})
	list = sealed(t, list, "The referee left before signing.", key)
	list = chained(t, list, []entry.Entry{{Body: entry.Note{Text: "after it"}}})
	v := seal.Verify(file(lines(t, list)))
	if v.First != nil {
		t.Fatalf("a good ledger: %+v", v.First)
	}
	if len(v.Seals) != 2 || v.Seals[0].Version != 1 || v.Seals[1].Version != 2 || v.After != 1 || v.Entries != 12 {
		t.Fatalf("%+v", v)
	}
	if v.Seals[1].Missing != "The referee left before signing." || list[10].Body.(entry.Sealed).Replaces != list[8].ID {
		t.Errorf("version 2 does not name version 1: %+v", list[10].Body)
	}
	if found, replaced := v.Printed(v.Seals[0].Fingerprint); found.Version != 1 || !replaced || v.First != nil {
		t.Errorf("the first fingerprint: %+v %v", found, replaced)
	}
	if found, replaced := v.Printed(v.Seals[1].Fingerprint); found.Version != 2 || replaced {
		t.Errorf("the second fingerprint: %+v %v", found, replaced)
	}
	// A spreadsheet's line ends and byte order mark change nothing that was said.
	if v := seal.Verify([]byte("\ufeff" + strings.Join(lines(t, list), "\r\n\r\n"))); v.First != nil || len(v.Seals) != 2 {
		t.Errorf("with other line ends: %+v", v.First)
	}
}

// TestFirstTouchedIsNamed plays the attacks of the plan (an exported entry edited,
// deleted, inserted, moved) on each entry of a sealed game.
func TestFirstTouchedIsNamed(t *testing.T) {
	good := lines(t, sealed(t, ledger(t, 9), "", key))
	clone := func() []string { return append([]string{}, good...) }
	for n := 1; n <= len(good); n++ {
		edited := clone()
		old, by := fmt.Sprintf("remark %d", n-1), "remark of a stranger"
		switch n {
		case 1:
			old, by = "Kelp Bay", "Northmole"
		case len(good):
			old, by = `"version":1`, `"version":2`
		}
		edited[n-1] = strings.Replace(edited[n-1], old, by, 1)
		check(t, "edited", edited, n, n, seal.Changed, seal.Unsealed)

		if n < len(good) {
			deleted := append(clone()[:n-1], good[n:]...)
			check(t, "deleted", deleted, n, n, seal.Missing)

			moved := clone()
			moved[n-1], moved[n] = moved[n], moved[n-1]
			check(t, "moved", moved, n, n+1, seal.Moved)

			renumbered := clone()
			renumbered[n-1] = strings.Replace(renumbered[n-1], fmt.Sprintf(`"seq":%d,`, n), `"seq":77,`, 1)
			check(t, "renumbered", renumbered, n, 0, seal.Changed, seal.Missing)
		}
		foreign := strings.ReplaceAll(good[n-1], "01JSEAL", "01JFAKE")
		foreign = strings.Replace(foreign, "remark", "insult", 1)
		inserted := append(append(clone()[:n-1], foreign), good[n-1:]...)
		check(t, "inserted", inserted, n, n, seal.Inserted)

		twice := append(append(clone()[:n], good[n-1]), good[n:]...)
		check(t, "twice", twice, n+1, n, seal.Inserted)

		broken := clone()
		broken[n-1] = broken[n-1][:len(broken[n-1])-2]
		check(t, "cut off", broken, n, 0, seal.Unreadable)
	}
}

func check(t *testing.T, what string, all []string, line, seq int, kinds ...seal.Kind) {
	t.Helper()
	v := seal.Verify(file(all))
	if v.First == nil {
		t.Fatalf("%s at line %d was not seen", what, line)
	}
	for _, kind := range kinds {
		if v.First.Kind == kind && v.First.Line == line && (seq == 0 || v.First.Seq == seq) {
			return
		}
	}
	t.Errorf("%s: line %d number %d, found %+v", what, line, seq, v.First)
}

// TestWholeChainWrittenAnew: whoever computes every hash again is caught by the
// seal; whoever also signs with another key is caught by the paper.
func TestWholeChainWrittenAnew(t *testing.T) {
	list := sealed(t, ledger(t, 9), "", key)
	printed := seal.Fingerprint(list[9])

	forged := ledger(t, 9)
	forged[4].Body = entry.Note{Text: "a goal that was none"}
	forged = chained(t, nil, forged)
	kept := chained(t, forged, []entry.Entry{{Body: list[9].Body}})
	if v := seal.Verify(file(lines(t, kept))); v.First == nil || v.First.Kind != seal.Unsealed || v.First.Say.Key != "seal.other_head" {
		t.Errorf("the old seal over a new chain: %+v", v.First)
	}
	if v := seal.Verify(file(lines(t, kept))); len(v.Seals) != 0 {
		t.Errorf("it counts as sealed: %+v", v.Seals)
	}

	other := keyOf(8)
	again := file(lines(t, sealed(t, forged, "", other)))
	v := seal.Verify(again)
	if v.First != nil {
		t.Fatalf("a chain of its own holds together: %+v", v.First)
	}
	if v.Printed(printed); v.First == nil || v.First.Say.Key != "seal.not_printed" {
		t.Errorf("the paper does not fit: %+v", v.First)
	}
	v = seal.Verify(again)
	if v.Against(again, file(lines(t, list))); v.First == nil || v.First.Kind != seal.Differs || v.First.Line != 5 {
		t.Errorf("the other copy differs from entry 5 on: %+v", v.First)
	}

	second := sealed(t, list, "", other)
	if v := seal.Verify(file(lines(t, second))); v.First == nil || v.First.Say.Key != "seal.other_key" {
		t.Errorf("version 2 with another key: %+v", v.First)
	}
}

func TestTruncated(t *testing.T) {
	list := sealed(t, ledger(t, 6), "", key)
	whole := lines(t, list)
	printed := seal.Fingerprint(list[6])
	for n := 1; n < len(whole); n++ {
		short := file(whole[:n])
		v := seal.Verify(short)
		if v.First != nil {
			t.Fatalf("the beginning of a ledger holds together: %+v", v.First)
		}
		if v.Printed(printed); v.First == nil || v.First.Kind != seal.Short || v.First.Line != n+1 {
			t.Errorf("%d entries against the paper: %+v", n, v.First)
		}
		v = seal.Verify(short)
		if v.Against(short, file(whole)); v.First == nil || v.First.Kind != seal.Short || v.First.Line != n+1 {
			t.Errorf("%d entries against the other copy: %+v", n, v.First)
		}
		v = seal.Verify(file(whole))
		if v.Against(file(whole), short); v.First != nil {
			t.Errorf("the longer copy is not at fault: %+v", v.First)
		}
	}
	if v := seal.Verify(nil); v.First == nil || v.First.Say.Key != "seal.empty" {
		t.Errorf("nothing: %+v", v.First)
	}
}

func TestReadFingerprint(t *testing.T) {
	list := sealed(t, ledger(t, 3), "", key)
	printed := seal.Fingerprint(list[3])
	if len(printed) != 19 || strings.Count(printed, " ") != 3 {
		t.Fatalf("%q is not four groups of four", printed)
	}
	for _, written := range []string{
		printed, strings.ToLower(printed), strings.ReplaceAll(printed, " ", ""), strings.ReplaceAll(printed, " ", "-"),
		strings.NewReplacer("0", "o", "1", "l").Replace(printed),
	} {
		if read, err := seal.ReadFingerprint(written); err != nil || read != printed {
			t.Errorf("%q reads %q (%v)", written, read, err)
		}
	}
	for _, wrong := range []string{"", printed[1:], printed + "0", strings.Replace(printed, printed[:1], "U", 1), "é"} {
		if read, err := seal.ReadFingerprint(wrong); err == nil {
			t.Errorf("%q reads %q", wrong, read)
		}
	}
}

// TestEverythingIsSigned changes each part of the entry of a seal.
func TestEverythingIsSigned(t *testing.T) {
	list := sealed(t, ledger(t, 3), "the coach left", key)
	good := list[3]
	if !seal.Signed(good) || seal.Signed(list[0]) || seal.Fingerprint(list[0]) != "" {
		t.Error("a seal is a seal, and nothing else is")
	}
	seen := map[string]bool{seal.Fingerprint(good): true}
	for i, change := range []func(*entry.Entry, *entry.Sealed){
		func(_ *entry.Entry, s *entry.Sealed) { s.Version++ },
		func(_ *entry.Entry, s *entry.Sealed) { s.Head = strings.Repeat("0", 64) },
		func(_ *entry.Entry, s *entry.Sealed) { s.Replaces = list[1].ID },
		func(_ *entry.Entry, s *entry.Sealed) { s.Missing = "" },
		func(_ *entry.Entry, s *entry.Sealed) { s.Key = s.Signature },
		func(e *entry.Entry, _ *entry.Sealed) { e.ID = list[1].ID },
		func(e *entry.Entry, _ *entry.Sealed) { e.Game = "01JOTHER00000000000000000" },
		func(e *entry.Entry, _ *entry.Sealed) { e.Seq++ },
		func(e *entry.Entry, _ *entry.Sealed) { e.Wall++ },
		func(e *entry.Entry, _ *entry.Sealed) { e.By = "somebody" },
		func(e *entry.Entry, _ *entry.Sealed) { e.Prev = "" },
	} {
		e, s := good, good.Body.(entry.Sealed)
		change(&e, &s)
		e.Body = s
		if seal.Signed(e) {
			t.Errorf("change %d is not signed", i)
		}
		if f := seal.Fingerprint(e); seen[f] {
			t.Errorf("change %d does not show in the fingerprint", i)
		} else {
			seen[f] = true
		}
	}
	if _, err := key.Make(nil, ""); err == nil {
		t.Error("nothing can be sealed")
	}
	if _, err := key.Sign(list[0]); err == nil {
		t.Error("only a seal is signed")
	}
}

// TestNoByteCanChange flips one character of one line.
func TestNoByteCanChange(t *testing.T) {
	list := sealed(t, ledger(t, 6), "", key)
	whole := file(lines(t, list))
	printed := seal.Fingerprint(list[6])
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(0, len(whole)-1).Draw(t, "at")
		by := rapid.ByteRange(32, 126).Draw(t, "by")
		changed := bytes.Clone(whole)
		changed[at] = by
		same := seal.Verify(whole).Head
		v := seal.Verify(changed)
		v.Printed(printed)
		// A space for a line's end, or a letter of the time's precision, may leave
		// what is said as it was: then the head is the same.
		if v.First == nil && v.Head != same {
			t.Fatalf("%q for %q at %d was not seen", by, whole[at], at)
		}
	})
}

func FuzzVerify(f *testing.F) {
	whole := lines(f, sealed(f, ledger(f, 4), "", key))
	f.Add(file(whole), file(whole[:2]))
	f.Add(file(whole[1:]), []byte("{}"))
	f.Add([]byte("\ufeff\n\n"), []byte(nil))
	f.Fuzz(func(t *testing.T, one, other []byte) {
		v := seal.Verify(one)
		v.Against(one, other)
		if v.First == nil && (v.Entries == 0 || v.Head == "") {
			t.Errorf("nothing was found good: %+v", v)
		}
	})
}

// TestOtherReadersReadTheSame: an edit that this program would read over, and
// another one would not, is named with its line.
func TestOtherReadersReadTheSame(t *testing.T) {
	whole := lines(t, sealed(t, ledger(t, 6), "", key))
	for name, change := range map[string][2]string{
		"a doubled key":         {`"data":`, `"data":{"at":{"period":9,"elapsed_ms":0},"body":{"text":"a goal"}},"data":`},
		"a key in another case": {`"data":`, `"Data":`},
		"both":                  {`"text":`, `"Text":"a goal","text":`},
		"a space":               {`"seq":3`, `"seq": 3`},
		"a number":              {`"seq":3`, `"seq":3.0`},
		"a byte":                {`remark`, "remark \xff"},
	} {
		changed := append([]string{}, whole...)
		if changed[2] = strings.Replace(whole[2], change[0], change[1], 1); changed[2] == whole[2] {
			t.Fatalf("%s: nothing was changed in %s", name, whole[2])
		}
		check(t, name, changed, 3, 0, seal.Unreadable)
	}
}

// TestPinnedKeys: a whole ledger written anew and sealed with another key holds
// together, and is not fine where the bench's key is known.
func TestPinnedKeys(t *testing.T) {
	ours, theirs := key.Public(), keyOf(8).Public()
	whole := file(lines(t, sealed(t, ledger(t, 5), "", key)))
	forged := file(lines(t, sealed(t, ledger(t, 5), "", keyOf(8))))
	for _, test := range []struct {
		name   string
		file   []byte
		pins   []seal.Pin
		signer string
		bad    bool
	}{
		{"nothing is known", forged, nil, "", false},
		{"our key", whole, []seal.Pin{{Name: "Saltworks Arena", Key: ours}}, "Saltworks Arena", false},
		{"our key in short", whole, []seal.Pin{{Name: "us", Key: strings.ToLower(seal.KeyName(ours))}}, "us", false},
		{"another key", forged, []seal.Pin{{Name: "us", Key: ours}}, "", true},
		{"another key, known", forged, []seal.Pin{{Name: "us", Key: ours}, {Name: "them", Key: theirs}}, "them", false},
		{"no key", forged, []seal.Pin{{Name: "us", Key: ""}}, "", true},
		{"no seal", file(lines(t, ledger(t, 5))), []seal.Pin{{Name: "us", Key: ours}}, "", false},
	} {
		v := seal.Verify(test.file)
		v.Pinned(test.pins)
		if (v.First != nil) != test.bad || test.bad && (v.First.Say.Key != "seal.unknown_key" || v.First.Line != 6) {
			t.Errorf("%s: %+v", test.name, v.First)
		}
		if len(v.Seals) > 0 && v.Seals[0].Signer != test.signer {
			t.Errorf("%s: signed by %q", test.name, v.Seals[0].Signer)
		}
	}
	if seal.KeyName(ours) == seal.KeyName(theirs) || seal.KeyName("milk") != "" {
		t.Error("keys have no names of their own")
	}
}
