package bench

import (
	"crypto/ed25519"
	"crypto/sha256"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
	"whistlestop/record/seal"
)

func keyFor(b byte) seal.Key {
	return seal.Key(ed25519.NewKeyFromSeed(slices.Repeat([]byte{b}, ed25519.SeedSize)))
}

// continued is a ledger with one more entry.
func continued(t *testing.T, ledger []entry.Entry, e entry.Entry) []entry.Entry {
	t.Helper()
	last := ledger[len(ledger)-1]
	e.ID, e.Game, e.Seq, e.Wall, e.Seat = "01JF0000000000000000000"+string(rune('A'+len(ledger)/10))+"0"+string(rune('0'+len(ledger)%10)), last.Game, last.Seq+1, last.Wall+1, entry.Program
	hash, err := last.Hash()
	if err != nil {
		t.Fatal(err)
	}
	e.Prev = hash
	return append(slices.Clone(ledger), e)
}

// outTaken is a ledger from which the remark at a place was taken out, as the bench of
// the key does it.
func outTaken(t *testing.T, ledger []entry.Entry, place int, key seal.Key) []entry.Entry {
	t.Helper()
	ledger = slices.Clone(ledger)
	instead, err := entry.Withdraw(ledger[place], func(text string) []byte {
		sum := sha256.Sum256([]byte(text))
		return sum[:]
	})
	if err != nil || instead.Was == "" {
		t.Fatalf("%+v, %v", instead, err)
	}
	text := instead.Names()[0].Commitment
	ledger[place] = entry.Know(instead, func(entry.Text, string) (entry.Name, bool) { return entry.Name{}, false })
	body, err := key.Withdrawal([]string{text}, ledger[place:place+1])
	if err != nil {
		t.Fatal(err)
	}
	ledger = continued(t, ledger, entry.Entry{Body: body})
	last := len(ledger) - 1
	if ledger[last], err = key.SignWithdrawal(ledger[last]); err != nil {
		t.Fatal(err)
	}
	return ledger
}

// What a copy from outside says was taken out is believed where the bench that closed
// the report says so: otherwise a stranger could put other lines in place of those of
// a game, and take names out of it.
func TestForgedWithdrawalsAreNotTaken(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.Note{Text: "Marlow Quist fell", About: entry.InjuryNote})
		plain := slices.Clone(tb.ledger())
		tb.bench.Close()
		for i := range plain { // as a bench of version 1 kept them
			plain[i] = plain[i].Plain()
			plain[i].Prev = ""
			if i > 0 {
				hash, err := plain[i-1].Hash()
				if err != nil {
					t.Fatal(err)
				}
				plain[i].Prev = hash
			}
		}
		ours, theirs := keyFor(1), keyFor(2)
		body, err := ours.Make(plain, "")
		if err != nil {
			t.Fatal(err)
		}
		sealed := continued(t, plain, entry.Entry{Body: body})
		if sealed[3], err = ours.Sign(sealed[3]); err != nil {
			t.Fatal(err)
		}
		forged := outTaken(t, sealed, 2, ours)
		w := forged[4].Body.(entry.Withdrawn)
		w.Texts = append(slices.Clone(w.Texts), w.Texts[0])
		forged[4].Body = w
		swapped := outTaken(t, sealed, 2, ours)
		swapped[2].At.Elapsed = 1
		for name, test := range map[string]struct {
			ledger   []entry.Entry
			refused  bool
			proposed int // from the end
		}{
			"the bench that sealed took it out":      {outTaken(t, sealed, 2, ours), false, 0},
			"nobody sealed yet":                      {outTaken(t, plain, 2, theirs), false, 0},
			"its signature is of something else":     {forged, true, 0},
			"another one than the bench that sealed": {outTaken(t, sealed, 2, theirs), false, 3},
			"nothing vouches for the line":           {outTaken(t, sealed, 2, ours)[:4], false, 2},
			"another line than was vouched for":      {swapped, false, 3},
		} {
			other := &table{t: t, log: memory.New()}
			other.start()
			done, err := other.bench.Restore(t.Context(), test.ledger, Taking{})
			switch {
			case test.refused != isKind(err, Refused) || !test.refused && err != nil:
				t.Errorf("%s: %v", name, err)
			case !test.refused && (done.Proposed != test.proposed || done.Added != len(test.ledger)-test.proposed):
				t.Errorf("%s: %+v", name, done)
			case test.proposed > 0:
				if done, err = other.bench.Restore(t.Context(), test.ledger, Taking{Decided: true}); err != nil || done.Had+done.Added != len(test.ledger) {
					t.Errorf("%s, by a person's word: %+v, %v", name, done, err)
				}
			}
			other.bench.Close()
		}
	})
}
