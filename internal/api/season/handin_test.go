package season_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
)

type toHandIn struct {
	Hours int
	Games []struct {
		Of            struct{ ID string }
		By            string
		Hours         int
		Late, Changed bool
		Suspensions   int
		Handed        *struct {
			Receipt string
			Late    bool
		}
	}
	Weeks []struct {
		Monday      string
		Games, Open int
	}
}

// played plays a game of the schedule to its seal; with a call somebody is suspended.
func (o *office) played(game, id string, called bool) {
	o.t.Helper()
	if no := o.open(game, id, roster("Ones", "4", "17"), roster("Others", "9", "8"), ""); no != "" {
		o.t.Fatal(no)
	}
	o.post(id, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}, entry.Goal{Side: entry.Home, Scorer: "4"})
	if called {
		o.post(id, entry.Penalty{Side: entry.Home, Player: "17", Call: "boarding", Parts: []entry.Part{entry.Major, entry.GameMisconduct}})
	}
	o.post(id, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}})
	o.seal(id)
}

// What is late comes first, a package is what its receipt says, and what was handed in
// and changed since is to be handed in again.
func TestGamesAreHandedIn(t *testing.T) {
	o := seasoned(t)
	quiet, loud := o.plan("?team=kelp-bay-u12").Games[0], o.plan("?team=millrace-u14").Games[0]
	o.played(quiet.ID, firstID, false)
	o.played(loud.ID, secondID, true)
	list := func() (out toHandIn) {
		if no := o.ask("GET", "/api/season/hand-in", "", &out); no != "" {
			t.Fatal(no)
		}
		return out
	}
	o.now = o.live.Now() + 25*60*60*1000
	out := list()
	if len(out.Games) != 2 || out.Hours != 48 || out.Games[0].Of.ID != loud.ID || !out.Games[0].Late || out.Games[0].Hours != 24 || out.Games[0].Suspensions != 1 ||
		out.Games[1].Late || out.Games[1].Hours != 48 || out.Games[1].By == "" {
		t.Fatalf("%+v", out)
	}
	var receipt struct {
		SHA256 string
		Games  []struct {
			ID   string
			Late bool
		}
	}
	if no := o.ask("GET", "/api/season/hand-in/receipt?game="+loud.ID, "", &receipt); no != "" || len(receipt.Games) != 1 || !receipt.Games[0].Late {
		t.Fatalf("%+v, %s", receipt, no)
	}
	var pack string
	if no := o.ask("GET", "/api/season/hand-in/package.zip?game="+loud.ID, "", &pack); no != "" {
		t.Fatal(no)
	}
	sum := sha256.Sum256([]byte(pack))
	files, err := zip.NewReader(strings.NewReader(pack), int64(len(pack)))
	if err != nil || hex.EncodeToString(sum[:]) != receipt.SHA256 || len(files.File) != 6 {
		t.Fatalf("%v: %x, %+v", err, sum, receipt)
	}
	note := `{"game":"` + loud.ID + `","receipt":" no. 12 ","sha256":"` + receipt.SHA256 + `"}`
	if no := o.ask("POST", "/api/season/hand-in", strings.Replace(note, receipt.SHA256, "00", 1), &out); no != "season.handed_in_other" || o.kept.handed != nil {
		t.Errorf("another package was noted: %q", no)
	}
	o.kept.full = true
	if no := o.ask("POST", "/api/season/hand-in", note, &out); no != "season.not_kept" {
		t.Errorf("a full disk: %q", no)
	}
	o.kept.full = false
	if no := o.ask("POST", "/api/season/hand-in", note, &out); no != "" || out.Games[0].Of.ID != quiet.ID || out.Games[1].Handed == nil || out.Games[1].Handed.Receipt != "no. 12" || !out.Games[1].Handed.Late || out.Games[1].Late {
		t.Errorf("%+v, %s", out, no)
	}
	o.post(secondID, entry.Amended{To: entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}}})
	if out := list(); out.Games[0].Of.ID != loud.ID || !out.Games[0].Changed || !out.Games[0].Late {
		t.Errorf("a changed game: %+v", out)
	}
	week := list().Weeks
	if !slices.ContainsFunc(week, func(one struct {
		Monday      string
		Games, Open int
	}) bool {
		return one.Games > 0 && one.Open == one.Games
	}) {
		t.Errorf("%+v", week)
	}
	if no := o.ask("GET", "/api/season/hand-in/package.zip?week="+quiet.Place.Day, "", &pack); no != "" || !bytes.HasPrefix([]byte(pack), []byte("PK")) {
		t.Error(no)
	}
	for path, want := range map[string]string{
		"?game=u99-001": "season.nothing_to_hand_in", "": "season.hand_in_what", "?week=soon": "season.refused", "?game=a&week=2026-10-05": "season.hand_in_what",
	} {
		if no := o.ask("GET", "/api/season/hand-in/receipt"+path, "", &receipt); no != want {
			t.Errorf("%s: %q, want %q", path, no, want)
		}
	}
	o.kept.handed = []byte(`{"version":2}`)
	if no := o.ask("GET", "/api/season/hand-in", "", &out); no != "season.handed_in_unreadable" {
		t.Error(no)
	}
	o.guest = true
	if no := o.ask("GET", "/api/season/hand-in", "", &out); no != "web.bench_only" {
		t.Error(no)
	}
}
