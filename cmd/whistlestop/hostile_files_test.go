package main

import (
	"archive/zip"
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/seal"
)

// hostileKey is the key of a bench in the hostile files. It seals nothing else.
func hostileKey(b byte) seal.Key {
	return seal.Key(ed25519.NewKeyFromSeed(bytes.Repeat([]byte{b}, ed25519.SeedSize)))
}

// hostileGame is the game that the hostile files are about, and hostileOther one
// that is kept beside it and must not notice.
const hostileGame, hostileOther = "01JD000000000000000H0ST11E", "01JD000000000000000000THER"

// hostileHere is how many entries of the game are here when a file comes, of the
// game under way and of the sealed one.
const hostileHere, hostileSealed = 5, 9

// hostileLedger returns so many entries of the game, sealed with the bench's key
// as its ninth.
func hostileLedger(t testing.TB, game string, count int) []entry.Entry {
	t.Helper()
	// The division as it was when the files were made: they stay as they are when
	// the one that comes with the program is put right.
	kept, err := os.ReadFile(filepath.Join(hostileFolder, "control.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := bytes.Cut(kept, []byte("\n"))
	opening, err := entry.ReadLine(first)
	if err != nil {
		t.Fatal(err)
	}
	opened, _ := opening.Body.(entry.GameOpened)
	division := opened.Division
	bodies := []entry.Body{
		entry.GameOpened{Division: division, Home: entry.Team{Name: "Kelp Bay"}, Visitors: entry.Team{Name: "Lanternside"}},
		entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)},
		entry.ClockStarted{}, entry.ClockStopped{Elapsed: entry.Clock(1, 0)},
		entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}},
		entry.Goal{Side: entry.Visitors, Scorer: "9", Unassisted: true},
		entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}},
		entry.Signed{Role: entry.Scorer, Name: "S. Example"},
	}
	var ledger []entry.Entry
	for _, body := range bodies[:min(count, len(bodies))] {
		ledger = followed(t, ledger, game, body)
	}
	if count >= hostileSealed {
		ledger = sealedBy(t, ledger, hostileKey(1))
	}
	return ledger
}

// followed adds an entry to a ledger, chained as the program chains.
func followed(t testing.TB, ledger []entry.Entry, game string, body entry.Body) []entry.Entry {
	t.Helper()
	n := len(ledger)
	e := entry.Entry{
		ID: fmt.Sprintf("01JD%s%06d", game[10:], n), Game: game, Seq: n + 1, Seat: entry.Solo,
		Wall: 1_760_000_000_000 + entry.Millis(n)*20_000, At: entry.At{Period: 1, Elapsed: entry.Clock(1, 0)}, Body: body,
	}
	if n > 0 {
		prev, err := ledger[n-1].Hash()
		if err != nil {
			t.Fatal(err)
		}
		e.Prev = prev
	}
	return append(slices.Clone(ledger), e)
}

func sealedBy(t testing.TB, ledger []entry.Entry, key seal.Key) []entry.Entry {
	t.Helper()
	body, err := key.Make(ledger, "")
	if err != nil {
		t.Fatal(err)
	}
	ledger = followed(t, ledger, ledger[0].Game, body)
	if ledger[len(ledger)-1], err = key.Sign(ledger[len(ledger)-1]); err != nil {
		t.Fatal(err)
	}
	return ledger
}

func lineList(t testing.TB, ledger []entry.Entry) []string {
	t.Helper()
	var list []string
	for _, e := range ledger {
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, string(line))
	}
	return list
}

// chainedAnew gives every line the hash of the bytes of the line before it, as
// somebody does who knows how: the chain of such a file says nothing.
func chainedAnew(lines []string) string {
	for i := 1; i < len(lines); i++ {
		sum := sha256.Sum256([]byte(lines[i-1]))
		before, rest, found := strings.Cut(lines[i], `"prev":"`)
		if found {
			lines[i] = before + `"prev":"` + hex.EncodeToString(sum[:]) + rest[64:]
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

// hostileFiles are the files of testdata/hostile that are about ledgers.
func hostileFiles(t testing.TB) map[string]string {
	t.Helper()
	here, sealed := hostileLedger(t, hostileGame, hostileHere), hostileLedger(t, hostileGame, hostileSealed)
	next := func(body entry.Body) []string { return lineList(t, followed(t, here, hostileGame, body)) }
	goal := entry.Goal{Side: entry.Visitors, Scorer: "9", Unassisted: true}
	files := map[string]string{
		"control.jsonl":        chainedAnew(next(entry.Note{Text: "what a colleague entered"})),
		"invented-goal.jsonl":  chainedAnew(next(goal)),
		"after-the-seal.jsonl": chainedAnew(lineList(t, followed(t, sealed, hostileGame, goal))),
		"other-line-ends.jsonl": "\ufeff" + strings.ReplaceAll(
			chainedAnew(next(entry.Note{Text: "saved by a text editor"})), "\n", "\r\n"),
		"second-opening.jsonl": chainedAnew(next(here[0].Body)),
		"forged-seal.jsonl": func() string {
			list := lineList(t, sealed)
			list[8] = strings.Replace(list[8], `"version":1`, `"version":2`, 1)
			return chainedAnew(list)
		}(),
	}
	// The whole game anew, with a goal more, sealed with a key of its own.
	forged := hostileLedger(t, hostileGame, 6)
	for _, body := range []entry.Body{goal, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}}, entry.Signed{Role: entry.Scorer, Name: "S. Example"}} {
		forged = followed(t, forged, hostileGame, body)
	}
	files["rechained.jsonl"] = chainedAnew(lineList(t, sealedBy(t, forged, hostileKey(2))))
	// A game that nobody here knows.
	files["stranger.jsonl"] = chainedAnew(lineList(t, hostileLedger(t, "01JD0000000000000STRANGE00", 4)))

	stage, note := next(entry.StageBegun{Stage: entry.Stage{Kind: entry.Overtime, Number: 7}, Length: entry.Clock(1, 9)}), next(entry.Note{Text: "remark"})
	for name, change := range map[string]struct {
		lines    []string
		from, to string
	}{
		"doubled-key":        {note, `"text":"remark"`, `"text":"a goal","text":"remark"`},
		"recased-key":        {note, `"text":"remark"`, `"text":"remark","Text":"a goal"`},
		"doubled-data":       {note, `"data":`, `"data":{"at":{"period":1,"elapsed_ms":0},"body":{"text":"a goal"}},"data":`},
		"recased-data":       {note, `"data":`, `"Data":`},
		"long-s":             {note, `"seq":6`, `"ſeq":6`},
		"reordered":          {note, `"period":1,"elapsed_ms":60000`, `"elapsed_ms":60000,"period":1`},
		"number-form":        {note, `"seq":6`, `"seq":6.0`},
		"a-space":            {note, `"seq":6`, `"seq": 6`},
		"invalid-utf8":       {note, `remark`, "rem\xffark"},
		"half-a-pair":        {note, `remark`, `rem\ud800ark`},
		"no-such-kind":       {note, `whistlestop.note.v1`, `whistlestop.touchdown.v1`},
		"path-for-a-game":    {note, `/game/` + hostileGame, `/game/../../` + hostileGame},
		"path-for-an-id":     {note, `"id":"01JD`, `"id":"../../../../../../etc`},
		"stage-2-62":         {stage, `"number":7`, `"number":4611686018427387904`},
		"stage-2-31":         {stage, `"number":7`, `"number":2147483648`},
		"period-of-ages":     {stage, `"length_ms":69000`, `"length_ms":1000000000000000`},
		"at-period-2-31":     {note, `"period":1`, `"period":2147483648`},
		"at-elapsed-ages":    {note, `"elapsed_ms":60000`, `"elapsed_ms":1000000000000000`},
		"order-2-62":         {note, `"elapsed_ms":60000`, `"elapsed_ms":60000,"order":4611686018427387904`},
		"seq-2-62":           {note, `"seq":6`, `"seq":4611686018427387904`},
		"time-of-ages":       {note, `"time":"20`, `"time":"920`},
		"amends-nothing":     {next(entry.Note{Text: "remark"}), `whistlestop.note.v1`, `whistlestop.struck.v1`},
		"penalty-of-ages":    {next(entry.Penalty{Side: entry.Home, Parts: []entry.Part{entry.Minor}, Lengths: []entry.Millis{77}}), `[77]`, `[1000000000000000]`},
		"error-below-zero":   {next(entry.ClockStarted{Error: 77}), `"error_ms":77`, `"error_ms":-77`},
		"doubled-division":   {note, `"skaters":5`, `"skaters":3,"skaters":5`},
		"recased-division":   {note, `"skaters":5`, `"skaters":5,"Skaters":3`},
		"breaks-of-ages":     {note, `"warm_up_ms":`, `"warm_up_ms":1000000000000`},
		"periods-of-ages":    {note, `"periods_ms":[`, `"periods_ms":[1000000000000000,`},
		"no-such-code":       {note, `"code":"`, `"code":"no-`},
		"nested-too-deep":    {note, `"skaters":5`, `"skaters":` + strings.Repeat("[", 200) + strings.Repeat("]", 200)},
		"entry-of-two-lines": {note, `"data":`, "\n\"data\":"},
	} {
		list := slices.Clone(change.lines)
		all := strings.Join(list, "\n")
		if at := strings.LastIndex(all, change.from); at >= 0 {
			all = all[:at] + change.to + all[at+len(change.from):]
		} else {
			t.Fatalf("%s: %s is not in the ledger", name, change.from)
		}
		files[name+".jsonl"] = chainedAnew(strings.Split(all, "\n"))
	}
	maps.Copy(files, hostileRosters(t))
	return files
}

// hostileRosters are the files that are about rosters. Nothing in an archive is
// packed, so that its bytes are the same with every version of the packer.
func hostileRosters(t testing.TB) map[string]string {
	t.Helper()
	const rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
	const cell = `<c r="A1" t="inlineStr"><is><t>7</t></is></c>`
	const far = `<worksheet><sheetData><row r="1048576"><c r="A1048576" t="inlineStr"><is><t>7</t></is></c></row></sheetData></worksheet>`
	book := func(sheet string, more ...string) string {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		parts := append([]string{
			"_rels/.rels", `<Relationships><Relationship Id="a" Type="` + rel + `officeDocument" Target="xl/workbook.xml"/></Relationships>`,
			"xl/workbook.xml", `<workbook><sheets><sheet name="A" r:id="b"/></sheets></workbook>`,
			"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="b" Type="` + rel + `worksheet" Target="worksheets/sheet1.xml"/>` +
				`<Relationship Id="c" Type="` + rel + `sharedStrings" Target="sharedStrings.xml"/></Relationships>`,
			"xl/sharedStrings.xml", "<sst/>",
			"xl/worksheets/sheet1.xml", sheet,
		}, more...)
		for i := 0; i < len(parts); i += 2 {
			part, err := w.CreateHeader(&zip.FileHeader{Name: parts[i], Method: zip.Store})
			if err == nil {
				_, err = part.Write([]byte(parts[i+1]))
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	near := `<worksheet><sheetData><row r="1">` + cell + `</row></sheetData></worksheet>`
	return map[string]string{
		"latin-1-declared.xlsx":      book(`<?xml version="1.0" encoding="ISO-8859-1"?>` + far),
		"a-million-rows-down.xlsx":   book(far),
		"one-part-twice.xlsx":        book(near, "xl/worksheets/sheet1.xml", far),
		"entities.xlsx":              book(`<!DOCTYPE a [<!ENTITY b "bbbbbbbb"><!ENTITY c "&b;&b;&b;&b;">]>` + strings.Replace(near, "7", "&c;", 1)),
		"a-formula.xlsx":             book(strings.Replace(near, "<is>", `<f>HYPERLINK("http://example.invalid")</f><is>`, 1)),
		"a-path-out-of-it.xlsx":      book(near, "../../../etc/passwd", "x"),
		"utf-16-roster.csv":          "\xff\xfe1\x002\x00,\x00A\x00.\x20B\x00",
		"a-name-with-a-turn.csv":     "12,Maren \u202eTloH\u200b\n",
		"a-number-of-a-hundred.csv":  strings.Repeat("9", 100) + ",Maren Holt\n",
		"a-hundred-and-one-cols.csv": "12,Maren Holt" + strings.Repeat(",x", 99) + "\n",
	}
}

// hostileLarge are files that are made when they are needed, because they are
// large.
func hostileLarge(t testing.TB) map[string]string {
	t.Helper()
	here := hostileLedger(t, hostileGame, hostileHere)
	calls := slices.Clone(here)
	for range 3000 {
		calls = followed(t, calls, hostileGame, entry.Penalty{Side: entry.Home, Player: "4", Parts: []entry.Part{
			entry.Minor, entry.Minor, entry.Minor, entry.Major, entry.Misconduct, entry.Major}})
	}
	long := lineList(t, followed(t, here, hostileGame, entry.Note{Text: "remark"}))
	long[5] = strings.Replace(long[5], "remark", strings.Repeat("a", 2<<20), 1)
	return map[string]string{
		"three-thousand-calls.jsonl": chainedAnew(lineList(t, calls)),
		"a-line-of-2-mb.jsonl":       chainedAnew(long),
		"sixteen-mb-of-nothing":      strings.Repeat("\n", 16<<20),
		"sixteen-mb-of-brackets":     strings.Repeat("[", 16<<20),
	}
}
