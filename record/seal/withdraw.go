package seal

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// Withdrawal returns what an entry of the bench says about texts that are taken
// out, and about the lines that take the place of older ones for that; still
// without a signature.
func (k Key) Withdrawal(texts []string, lines []entry.Entry) (entry.Withdrawn, error) {
	public, ok := ed25519.PrivateKey(k).Public().(ed25519.PublicKey)
	if !ok {
		return entry.Withdrawn{}, message.New("seal.no_key")
	}
	w := entry.Withdrawn{Texts: texts, Key: base64.StdEncoding.EncodeToString(public)}
	for _, e := range lines {
		line, err := e.MarshalJSON()
		if err != nil {
			return w, err
		}
		sum := sha256.Sum256(line)
		w.Lines = append(w.Lines, entry.WithdrawnLine{Entry: e.ID, Hash: hex.EncodeToString(sum[:])})
	}
	return w, nil
}

// SignWithdrawal returns the entry of a withdrawal with its signature. The entry
// must have its place in the ledger: everything that it says is signed.
func (k Key) SignWithdrawal(e entry.Entry) (entry.Entry, error) {
	body, text, err := withdrawalText(e)
	if err != nil {
		return e, err
	}
	body.Signature = base64.StdEncoding.EncodeToString(ed25519.Sign(ed25519.PrivateKey(k), text))
	e.Body = body
	return e, nil
}

// withdrawalText is what is signed: the line of the entry without the signature.
func withdrawalText(e entry.Entry) (body entry.Withdrawn, text []byte, err error) {
	body, ok := e.Body.(entry.Withdrawn)
	if !ok {
		return body, nil, message.New("seal.no_withdrawal")
	}
	unsigned := body
	unsigned.Signature = ""
	e.Body = unsigned
	line, err := e.MarshalJSON()
	return body, append([]byte("whistlestop withdrawal 1\n"), line...), err
}

// withdrawals checks the lines that stand in place of older ones: a later entry,
// signed with the key of the seals where there are any, names each as it stands. It
// returns the first for which none does.
func (v *Verdict) withdrawals(items []item) (unvouched *Fault) {
	vouched := map[string]string{} // entry to the hash of its line
	covered := len(items) - v.After
	for i := len(items) - 1; i >= 0; i-- {
		it := items[i]
		if w, is := it.Body.(entry.Withdrawn); is {
			body, text, err := withdrawalText(it.Entry)
			key := body.Key
			if n := len(v.Seals); n > 0 {
				key = v.Seals[n-1].Key
			}
			if err != nil || key != body.Key || !signedBy(body.Key, body.Signature, text) {
				v.fault(fault(Unsealed, it, "seal.bad_withdrawal"))
				continue
			}
			for _, line := range w.Lines {
				if vouched[line.Entry] == "" {
					vouched[line.Entry] = line.Hash
				}
			}
			if i >= covered {
				v.After-- // it says nothing about the game
			}
		}
		switch {
		case it.Was == "":
		case vouched[it.ID] == it.stands && (it.Kind() != entry.KindSealed || Signed(it.Entry)): // its own key would vouch for a seal
			v.Withdrawn = append([]int{it.Seq}, v.Withdrawn...)
		default:
			v.Unvouched = append([]int{it.Seq}, v.Unvouched...)
			unvouched = fault(Changed, it, "seal.not_vouched")
		}
	}
	return unvouched
}

// Vouched reports whether nothing is wrong with the ledger, where others vouch for lines in
// whose place the texts about people were taken out: known are the numbers of such entries.
func (v *Verdict) Vouched(known []int) bool {
	if v.First == nil {
		return true
	}
	return v.Around() && !slices.ContainsFunc(v.Unvouched, func(seq int) bool { return !slices.Contains(known, seq) })
}

// Around reports whether nothing is wrong but that nobody vouches for lines in whose place
// texts about people were taken out. The chain goes around them.
func (v *Verdict) Around() bool {
	return len(v.Unvouched) > 0 && !v.broken
}

// fault takes a fault over if it is before the one that is known.
func (v *Verdict) fault(f *Fault) {
	if v.First == nil || f.Line < v.First.Line {
		v.First = f
	}
}

// count counts the texts that lie beside the entries, and those that do not.
func (v *Verdict) count(items []item, texts map[string]bool) {
	seen := map[string]bool{}
	for _, it := range items {
		for _, kept := range it.Apart {
			if kept.Commitment == "" || seen[kept.Commitment] {
				continue
			}
			seen[kept.Commitment] = true
			if texts[kept.Commitment] {
				v.Beside++
			} else {
				v.Out++
			}
		}
	}
}

// Numbers are entries as people read them.
func Numbers(list []int) string {
	text := ""
	for i, n := range list {
		if i > 0 {
			text += ", "
		}
		text += strconv.Itoa(n)
	}
	return text
}

// Withdraws reports whether the signature of an entry that says what was taken out is
// of this very entry, with the key that it names.
func Withdraws(e entry.Entry) bool {
	body, text, err := withdrawalText(e)
	return err == nil && signedBy(body.Key, body.Signature, text)
}

// Unvouched returns the place, from 0, of the first entry of a ledger that somebody
// else than the bench may have put there by saying that texts were taken out: a line in
// place of another one that nothing vouches for, or a withdrawal with another key than
// that of the newest seal. It returns the ledger's length where there is none.
func Unvouched(ledger []entry.Entry) int {
	key := ""
	for _, e := range ledger {
		if s, is := e.Body.(entry.Sealed); is {
			key = s.Key
		}
	}
	first, vouched := len(ledger), map[string]string{} // entry to the hash of its line
	for i := len(ledger) - 1; i >= 0; i-- {
		e := ledger[i]
		if w, is := e.Body.(entry.Withdrawn); is {
			if key != "" && key != w.Key || !Withdraws(e) {
				first = i
				continue
			}
			for _, line := range w.Lines {
				if vouched[line.Entry] == "" {
					vouched[line.Entry] = line.Hash
				}
			}
		}
		if e.Was == "" {
			continue
		}
		line, err := e.MarshalJSON()
		if sum := sha256.Sum256(line); err != nil || vouched[e.ID] != hex.EncodeToString(sum[:]) {
			first = i
		}
	}
	return first
}
