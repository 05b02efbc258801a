package seal_test

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/base64"
	"fmt"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// A name of a key is the first 80 bits of a SHA-256 in base 32, as another program
// works it out. Names stand on paper: they never change.
func TestShortFormsAreTheFirstBitsOfTheHash(t *testing.T) {
	crockford := base32.NewEncoding("0123456789ABCDEFGHJKMNPQRSTVWXYZ").WithPadding(base32.NoPadding)
	for b := range byte(20) {
		public := keyOf(b).Public()
		raw, err := base64.StdEncoding.DecodeString(public)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(append([]byte("whistlestop key\n"), raw...))
		var want []string
		for four := range slices.Chunk([]byte(crockford.EncodeToString(sum[:10])), 4) {
			want = append(want, string(four))
		}
		if got := seal.KeyName(public); got != strings.Join(want, " ") {
			t.Errorf("key %d is called %s, want %s", b, got, strings.Join(want, " "))
		}
	}
}

// A seal that is signed well and counts wrongly does not hold: a version left out, or
// said to replace another one than it does.
func TestSealsThatCountWrongly(t *testing.T) {
	first := sealed(t, ledger(t, 5), "", key)
	if v := seal.Verify(file(lines(t, first))); v.Game != first[0].Game || len(v.Seals) != 1 {
		t.Fatalf("%+v", v)
	}
	for what, spoil := range map[string]func(*entry.Sealed){
		"a version left out": func(s *entry.Sealed) { s.Version++ },
		"a version twice":    func(s *entry.Sealed) { s.Version-- },
		"replaces nothing":   func(s *entry.Sealed) { s.Replaces = "" },
		"replaces a note":    func(s *entry.Sealed) { s.Replaces = first[2].ID },
	} {
		list := chained(t, first, []entry.Entry{{Body: entry.Note{Text: "after it"}}})
		body, err := key.Make(list, "")
		if err != nil {
			t.Fatal(err)
		}
		spoil(&body)
		list = chained(t, list, []entry.Entry{{Body: body}})
		if list[len(list)-1], err = key.Sign(list[len(list)-1]); err != nil {
			t.Fatal(err)
		}
		v := seal.Verify(file(lines(t, list)))
		if v.First == nil || v.First.Kind != seal.Unsealed || v.First.Seq != len(list) || v.First.Say.Key != "seal.bad_version" || len(v.Seals) != 1 {
			t.Errorf("%s: %+v, %d seals", what, v.First, len(v.Seals))
		}
	}
}

// Without a seal, too, the entry that was touched is named, as far as the others can
// tell.
func TestWhichOfTwoWasTouched(t *testing.T) {
	good := lines(t, ledger(t, 6))
	edit := func(line string) string { return strings.Replace(line, "remark", "milk", 1) }
	ownPrev := func(line string) string { // its content and what it says comes before it
		at := strings.Index(line, `"prev":"`) + len(`"prev":"`)
		return edit(line[:at] + strings.Repeat("0", 64) + line[at+64:])
	}
	says := func(what string, all []string, line int, key string) {
		t.Helper()
		if v := seal.Verify(file(all)); v.First == nil || v.First.Line != line || v.First.Say.Key != key {
			t.Errorf("%s: %+v, want %s on line %d", what, v.First, key, line)
		}
	}
	for n := 2; n <= 6; n++ {
		all := slices.Clone(good)
		all[n-1] = ownPrev(all[n-1])
		key, line := "seal.changed", n
		if n == 6 { // nothing after it says whether it or the one before was changed
			key, line = "seal.changed_or", 5
		}
		says(fmt.Sprintf("%d says something else before it", n), all, line, key)
	}
	all := slices.Clone(good)
	all[4] = edit(all[4])
	says("the last but one is edited", all, 5, "seal.changed_or")
	all = slices.Clone(good)
	all[2] = edit(all[2])
	says("the third is edited", all, 3, "seal.changed")
	says("the third is edited, and lies at the end as it was", append(all, good[2]), 3, "seal.changed")
}
