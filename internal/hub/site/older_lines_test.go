package site_test

import (
	"bytes"
	"crypto/ed25519"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/sqlite"
	"whistlestop/record/seal"
)

// textMark begins every text about a person in these ledgers, and stands nowhere else.
const textMark = "Zqx"

// olderLedger is a ledger of version 1 from a seed: what carries a text about a person, in
// any order.
func olderLedger(t *testing.T, seed uint64) (ledger []entry.Entry, file []byte) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 1))
	name := func() string {
		if r.IntN(4) == 0 {
			return ""
		}
		return fmt.Sprintf("%s%x é\"<\\", textMark, r.Uint32())
	}
	named := func() string { return textMark + name() }
	team := func() entry.Team {
		out := entry.Team{Name: "Kelp Bay"}
		for n := range r.IntN(20) {
			out.Players = append(out.Players, entry.Player{Number: entry.Jersey(fmt.Sprint(n + 1)), Name: name()})
		}
		if r.IntN(2) == 0 {
			out.Staff = []entry.Official{{Role: entry.HeadCoach, Name: named()}}
		}
		return out
	}
	key := seal.Key(ed25519.NewKeyFromSeed(bytes.Repeat([]byte{7}, ed25519.SeedSize)))
	for seq := range 2 + r.IntN(30) {
		seq++
		e := entry.Entry{
			ID: fmt.Sprintf("01JD00000000000000000%05d", seq), Game: firstGame, Seq: seq, Wall: 1_700_000_000_000 + entry.Millis(seq), Seat: entry.Solo, By: name(),
		}
		if seq > 1 {
			prev, err := ledger[seq-2].Hash()
			if err != nil {
				t.Fatal(err)
			}
			e.Prev = prev
		}
		switch n := r.IntN(7); {
		case seq == 1:
			e.Body = entry.GameOpened{Home: team(), Visitors: team()}
		case n == 0:
			e.Body = entry.RosterSet{Side: entry.Home, Team: team()}
		case n == 1:
			e.Body = entry.CrewSet{Crew: []entry.Official{{Role: entry.Timekeeper, Name: named()}}}
		case n == 2:
			e.Body = entry.Signed{Role: entry.Referee, Name: named()}
		case n == 3:
			e.Body = entry.Note{Text: named()}
		case n == 4:
			e.Of, e.Body = ledger[r.IntN(len(ledger))].ID, entry.Struck{Reason: named()}
		case n == 5:
			e.Of, e.Body = ledger[0].ID, entry.Amended{To: entry.RosterSet{Side: entry.Visitors, Team: team()}}
		default:
			body, err := key.Make(ledger, name())
			if err != nil {
				t.Fatal(err)
			}
			e.Body = body
			if e, err = key.Sign(e); err != nil {
				t.Fatal(err)
			}
		}
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		ledger, file = append(ledger, e), append(append(file, line...), '\n')
	}
	return ledger, file
}

// Whatever a ledger of version 1 has about people, nothing of it comes to lie on the disk;
// the chain holds around what was taken out, as far as every line; and the same lines are
// the same bytes for whoever sends them.
func TestNoNameOfAnOlderLedgerIsStored(t *testing.T) {
	at := ledgers.Where{Association: association, Game: firstGame}
	for seed := range uint64(40) {
		ledger, file := olderLedger(t, seed)
		if !bytes.Contains(file, []byte(textMark)) {
			continue
		}
		if _, err := ledgers.Read(firstGame, file, false); err == nil {
			t.Fatalf("seed %d: names are taken by a hub that nobody told to", seed)
		}
		folder := filepath.Join(t.TempDir(), fmt.Sprint(seed))
		s, err := sqlite.Open(t.Context(), folder)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Found(t.Context(), office.Association{ID: association, Name: "x", Made: 1}, ledgers.Note{At: 1, What: "founded"}); err != nil {
			t.Fatal(err)
		}
		var before []ledgers.Line
		for range 2 {
			lines, err := ledgers.Read(firstGame, file, true)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			for i, line := range before {
				if !bytes.Equal(line.Bytes, lines[i].Bytes) {
					t.Fatalf("seed %d: the same line became another one", seed)
				}
			}
			if head, err := s.Append(t.Context(), at, 1, lines, 7); err != nil || head.Seq != len(ledger) || head.Forked {
				t.Fatalf("seed %d: %+v, %v", seed, head, err)
			}
			before = lines
		}
		kept, err := s.Lines(t.Context(), at, 0, 1000)
		if err != nil {
			t.Fatal(err)
		}
		read, err := ledgers.Entries(kept)
		if err != nil {
			t.Fatalf("seed %d: the chain does not hold: %v", seed, err)
		}
		older, err := s.OlderLines(t.Context(), at)
		if err != nil {
			t.Fatal(err)
		}
		places, err := ledgers.Without(kept, older)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for i, e := range ledger {
			hash, err := e.Hash()
			if err != nil {
				t.Fatal(err)
			}
			if again, err := read[i].Hash(); err != nil || again != hash || e.Kind() != read[i].Kind() {
				t.Errorf("seed %d: line %d is not the one that came", seed, i+1)
			}
			known, is := places[i+1]
			if is != e.Inside() || known.Fingerprint != "" && known.Fingerprint != seal.Fingerprint(e) || is && e.Kind() == entry.KindSealed && known.Fingerprint == "" {
				t.Errorf("seed %d: line %d: %+v", seed, i+1, known)
			}
		}
		damaged := slices.Clone(kept)
		for i := range damaged {
			if _, is := places[i+1]; is {
				damaged[i].Bytes = append(slices.Clone(damaged[i].Bytes), ' ')
				if _, err := ledgers.Without(damaged, older); err == nil {
					t.Errorf("seed %d: a copy that was changed is not noticed", seed)
				}
				break
			}
		}
		search := func() {
			t.Helper()
			files, err := os.ReadDir(folder)
			if err != nil || len(files) == 0 {
				t.Fatal(err)
			}
			for _, f := range files {
				raw, err := os.ReadFile(filepath.Join(folder, f.Name()))
				if err != nil {
					t.Fatal(err)
				}
				if bytes.Contains(raw, []byte(textMark)) {
					t.Errorf("seed %d: a name lies in %s", seed, f.Name())
				}
			}
		}
		search()
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		search()
	}
}
