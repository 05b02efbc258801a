package handin_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"testing"

	"whistlestop/record/report"
	"whistlestop/season/handin"
	"whistlestop/season/league"
	"whistlestop/season/tally"
)

// A package holds what its manifest says, by the sums; the same games make the same
// bytes in any order; the hours count from the final horn, fewer where something happened.
func TestAPackageIsWhatItsManifestSays(t *testing.T) {
	const hour = 60 * 60 * 1000
	quiet := handin.Game{ID: "u14-002", Report: report.Document{Game: "B", Head: report.Head{Finished: 1000 * hour}}, Ledger: []byte("{}\n")}
	loud := handin.Game{ID: "u14-001", Report: report.Document{Game: "A", Head: report.Head{Finished: 1000 * hour}, Notes: []report.NoteLine{{Text: "a fight"}}, Seals: []report.Seal{{Fingerprint: "AB-CD"}}}, Ledger: []byte("{}\n{}\n"), Suspensions: []tally.Suspension{{Who: "x", Games: 1}}}
	rules := league.HandIn{Hours: 48, IncidentHours: 24}
	pack, receipt, err := handin.Pack([]handin.Game{quiet, loud}, rules, 1030*hour)
	if err != nil {
		t.Fatal(err)
	}
	again, other, err := handin.Pack([]handin.Game{loud, quiet}, rules, 1020*hour)
	if err != nil || !bytes.Equal(pack, again) || other.SHA256 != receipt.SHA256 {
		t.Errorf("the same games make other bytes: %v", err)
	}
	if len(receipt.Games) != 2 || receipt.Games[0].ID != "u14-001" || receipt.Games[0].Hours != 24 || !receipt.Games[0].Late || receipt.Games[1].Late || receipt.Games[1].By != 1048*hour || other.Games[0].Late {
		t.Errorf("%+v %+v", receipt, other)
	}
	files, err := zip.NewReader(bytes.NewReader(pack), int64(len(pack)))
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string][]byte{}
	for _, f := range files.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if texts[f.Name], err = io.ReadAll(in); err != nil {
			t.Fatal(err)
		}
	}
	var manifest handin.Manifest
	if err := json.Unmarshal(texts["manifest.json"], &manifest); err != nil {
		t.Fatal(err)
	}
	if len(manifest.Files) != len(texts)-1 || len(manifest.Games) != 2 || manifest.Games[0].Fingerprint != "AB-CD" || manifest.Games[0].Incidents != 1 {
		t.Errorf("%+v", manifest)
	}
	for _, f := range manifest.Files {
		sum := sha256.Sum256(texts[f.Name])
		if f.SHA256 != hex.EncodeToString(sum[:]) || f.Bytes != len(texts[f.Name]) {
			t.Errorf("%s is not what the manifest says", f.Name)
		}
	}
}
