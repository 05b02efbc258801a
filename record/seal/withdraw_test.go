package seal_test

import (
	"crypto/sha256"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// hiding gives bytes that stand in for random ones.
func hiding(text string) []byte {
	sum := sha256.Sum256([]byte(text))
	return sum[:]
}

// withdrawn is a sealed ledger in which the texts of its third entry were taken
// out: a line with commitments stands in its place, and an entry after the last
// one says so.
func withdrawn(t *testing.T, k seal.Key) []entry.Entry {
	t.Helper()
	list := chained(t, sealed(t, ledger(t, 5), "", key), []entry.Entry{{Body: entry.Note{Text: "after it"}}})
	instead, err := entry.Withdraw(list[2], hiding)
	if err != nil {
		t.Fatal(err)
	}
	none := func(entry.Text, string) (entry.Name, bool) { return entry.Name{}, false }
	list[2] = entry.Know(instead, none)
	body, err := k.Withdrawal([]string{instead.Names()[0].Commitment}, []entry.Entry{list[2]})
	if err != nil {
		t.Fatal(err)
	}
	list = chained(t, list, []entry.Entry{{Body: body}})
	last := len(list) - 1
	if list[last], err = k.SignWithdrawal(list[last]); err != nil {
		t.Fatal(err)
	}
	return list
}

// A line in place of an older one is good where the bench's key vouches for it,
// and the seal before it holds.
func TestWithdrawalIsVouchedFor(t *testing.T) {
	v := seal.Verify(file(lines(t, withdrawn(t, key))))
	if v.First != nil {
		t.Fatalf("%+v", v.First)
	}
	if !slices.Equal(v.Withdrawn, []int{3}) || v.Out != 1 || v.Beside != 0 || len(v.Seals) != 1 {
		t.Errorf("%+v", v)
	}
	if v.After != 1 { // the remark; a withdrawal says nothing about the game
		t.Errorf("%d entries are after the seal", v.After)
	}
	if text := seal.Numbers([]int{3, 12}); text != "3, 12" {
		t.Errorf("entries as people read them: %q", text)
	}
}

// Nobody else can put a line in place of another one.
func TestForgedWithdrawalIsNamed(t *testing.T) {
	for name, test := range map[string]struct {
		forge func(list []entry.Entry) []entry.Entry
		key   string
		seq   int
	}{
		"nothing vouches": {func(list []entry.Entry) []entry.Entry { return list[:len(list)-1] }, "seal.not_vouched", 3},
		"another line stands there": {func(list []entry.Entry) []entry.Entry {
			other := func(text string) []byte { return hiding("other " + text) }
			was := list[2].Was
			list[2] = list[2].Plain()
			list[2].Body = entry.Note{Text: "remark of a stranger"}
			list[2] = entry.KeepApart(list[2], other)
			list[2].Was = was
			return list
		}, "seal.not_vouched", 3},
		"it vouches for more than was signed": {func(list []entry.Entry) []entry.Entry {
			last := len(list) - 1
			body := list[last].Body.(entry.Withdrawn)
			body.Texts = append(slices.Clone(body.Texts), body.Texts[0])
			list[last].Body = body
			return list
		}, "seal.not_vouched", 3},
		"another key signs": {func([]entry.Entry) []entry.Entry { return withdrawn(t, keyOf(8)) }, "seal.not_vouched", 3},
	} {
		t.Run(name, func(t *testing.T) {
			v := seal.Verify(file(lines(t, test.forge(withdrawn(t, key)))))
			if v.First == nil || v.First.Say.Key != test.key || v.First.Seq != test.seq || len(v.Withdrawn) != 0 {
				t.Errorf("%+v", v)
			}
		})
	}
}

// A withdrawal that the bench did not sign is named where it vouches for no line.
func TestUnsignedWithdrawalIsNamed(t *testing.T) {
	list := chained(t, sealed(t, ledger(t, 5), "", key), []entry.Entry{{Body: entry.Withdrawn{}}})
	if _, err := key.SignWithdrawal(list[0]); err == nil {
		t.Error("another entry is signed as a withdrawal")
	}
	body, err := keyOf(8).Withdrawal([]string{entry.KeepApart(list[2], hiding).Names()[0].Commitment}, nil)
	if err != nil {
		t.Fatal(err)
	}
	last := len(list) - 1
	list[last].Body = body
	if list[last], err = keyOf(8).SignWithdrawal(list[last]); err != nil {
		t.Fatal(err)
	}
	v := seal.Verify(file(lines(t, list)))
	if v.First == nil || v.First.Say.Key != "seal.bad_withdrawal" || v.First.Seq != list[last].Seq {
		t.Errorf("%+v", v.First)
	}
}

// Whoever puts a seal with a key of their own in the place of the bench's, by the hash of
// what stood there, cannot vouch for it with that key.
func TestASealInPlaceOfAnotherIsNotBelieved(t *testing.T) {
	other := keyOf(8)
	list := withdrawn(t, other)
	at := slices.IndexFunc(list, func(e entry.Entry) bool { return e.Kind() == entry.KindSealed })
	was, err := list[at].Hash()
	if err != nil {
		t.Fatal(err)
	}
	body := list[at].Body.(entry.Sealed)
	body.Key, body.Missing = other.Public(), "a reason"
	list[at].Body = body
	list[at] = entry.KeepApart(list[at], hiding)
	list[at].Was = was
	list[at] = entry.Know(list[at], func(entry.Text, string) (entry.Name, bool) { return entry.Name{}, false })
	last := len(list) - 1
	said, err := other.Withdrawal(list[last].Body.(entry.Withdrawn).Texts, []entry.Entry{list[2], list[at]})
	if err != nil {
		t.Fatal(err)
	}
	list[last].Body = said
	if list[last], err = other.SignWithdrawal(list[last]); err != nil {
		t.Fatal(err)
	}
	v := seal.Verify(file(lines(t, list)))
	if v.First == nil || v.First.Say.Key != "seal.not_vouched" || v.First.Seq != at+1 || !slices.Equal(v.Unvouched, []int{at + 1}) || v.Vouched(nil) || !v.Around() {
		t.Errorf("%+v", v)
	}
	if !v.Vouched([]int{at + 1}) { // somebody who read the line
		t.Error("nobody can vouch for it")
	}
	if len(v.Seals) != 1 || v.Seals[0].Fingerprint != "" {
		t.Errorf("%+v", v.Seals)
	}
}
