package handin

import (
	"archive/zip"
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"time"

	"whistlestop/game/entry"
	"whistlestop/record/report"
	"whistlestop/season/league"
	"whistlestop/season/tally"
)

// Game is a game to be handed in.
type Game struct {
	ID          string // of the schedule
	Report      report.Document
	Ledger      []byte // as the bench exports it
	Suspensions []tally.Suspension
}

// File is a file of a package.
type File struct {
	Name   string `json:"name"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// Manifest is what a package holds.
type Manifest struct {
	Version int        `json:"version"` // of this form: 1
	Games   []HandedIn `json:"games"`
	Files   []File     `json:"files"`
}

// HandedIn is a game of a package.
type HandedIn struct {
	ID          string       `json:"id"`
	Ledger      string       `json:"ledger"`
	Sealed      bool         `json:"sealed"`
	Fingerprint string       `json:"fingerprint,omitempty"` // of the newest seal
	Over        entry.Millis `json:"over_ms"`               // the final horn, or the first seal: the hours count from there
	Incidents   int          `json:"incidents"`
	Suspensions int          `json:"suspensions"`
}

// Receipt says what was handed in, and whether in time.
type Receipt struct {
	SHA256 string       `json:"sha256"` // of the package
	At     entry.Millis `json:"at_ms"`
	Games  []Due        `json:"games"`
}

// Due is a game's deadline.
type Due struct {
	ID    string       `json:"id"`
	By    entry.Millis `json:"by_ms"` // nought: the league sets none
	Hours int          `json:"hours"`
	Late  bool         `json:"late"`
}

// Pack packs some games. Now is the time of the receipt.
func Pack(games []Game, rules league.HandIn, now entry.Millis) ([]byte, Receipt, error) {
	games = slices.Clone(games)
	slices.SortFunc(games, func(a, b Game) int { return cmp.Or(cmp.Compare(a.ID, b.ID), cmp.Compare(a.Report.Game, b.Report.Game)) })
	p := packer{}
	p.zip = zip.NewWriter(&p.out)
	var receipt Receipt
	for _, g := range games {
		one := About(g)
		p.manifest.Games = append(p.manifest.Games, one)
		receipt.Games = append(receipt.Games, DueOf(one, rules, now))
		p.json(g.ID+"/report.json", g.Report)
		p.file(g.ID+"/ledger.jsonl", g.Ledger)
		p.json(g.ID+"/incidents.json", incidents(g.Report))
		p.json(g.ID+"/suspensions.json", append([]tally.Suspension{}, g.Suspensions...))
		p.json(g.ID+"/seals.json", g.Report.Seals)
	}
	p.manifest.Version = 1
	p.json("manifest.json", p.manifest)
	if p.err == nil {
		p.err = p.zip.Close()
	}
	sum := sha256.Sum256(p.out.Bytes())
	receipt.SHA256, receipt.At = hex.EncodeToString(sum[:]), now
	return p.out.Bytes(), receipt, p.err
}

func incidents(d report.Document) []report.NoteLine { return append([]report.NoteLine{}, d.Notes...) }

// About is what a package says of a game.
func About(g Game) HandedIn {
	one := HandedIn{
		ID: g.ID, Ledger: g.Report.Game, Sealed: g.Report.Sealed, Over: g.Report.Head.Finished,
		Incidents: len(g.Report.Notes), Suspensions: len(g.Suspensions),
	}
	if n := len(g.Report.Seals); n > 0 {
		one.Fingerprint = g.Report.Seals[n-1].Fingerprint
		one.Over = cmp.Or(one.Over, g.Report.Seals[0].Wall)
	}
	return one
}

const hour = entry.Millis(60 * 60 * 1000)

// DueOf is when a game has to be handed in: sooner where something happened.
func DueOf(one HandedIn, rules league.HandIn, now entry.Millis) Due {
	d := Due{ID: one.ID, Hours: rules.Hours}
	if one.Incidents+one.Suspensions > 0 && rules.IncidentHours > 0 {
		d.Hours = rules.IncidentHours
	}
	if d.Hours > 0 && one.Over > 0 {
		d.By = one.Over + entry.Millis(d.Hours)*hour
		d.Late = now > d.By
	}
	return d
}

// packer writes a package; after an error it writes nothing more.
type packer struct {
	out      bytes.Buffer
	zip      *zip.Writer
	manifest Manifest
	err      error
}

func (p *packer) json(name string, v any) {
	text, err := json.MarshalIndent(v, "", " ")
	p.err = cmp.Or(p.err, err)
	p.file(name, append(text, '\n'))
}

// when is the time of every file: the same games make the same bytes.
var when = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

func (p *packer) file(name string, text []byte) {
	if p.err != nil {
		return
	}
	to, err := p.zip.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store, Modified: when})
	if err == nil {
		_, err = to.Write(text)
	}
	p.err = err
	sum := sha256.Sum256(text)
	p.manifest.Files = append(p.manifest.Files, File{Name: name, Bytes: len(text), SHA256: hex.EncodeToString(sum[:])})
}
