package evening

import (
	"bytes"
	"encoding/json"
	"net/http"
	"path/filepath"
	"strings"

	"whistlestop/record/seal"
)

// ofTheProgram are the kinds of entries that the program posts by itself.
var ofTheProgram = map[string]bool{"clock_stopped": true, "clock_doubted": true, "withdrawn": true}

// compared are the kinds whose lines say exactly what was entered: in the others the
// bench fills in where the clock stood, or puts a commitment in place of a text.
var compared = map[string]bool{"goal": true, "penalty": true, "shots": true, "bench_set": true, "stage_begun": true}

// lookAll looks at everything.
func (v *evening) lookAll() {
	for _, g := range v.games {
		v.look(g)
	}
	for _, id := range sorted(v.others) {
		v.look(v.others[id])
	}
	v.list()
}

// look holds the ledger of a game against what was told about it, and what people
// are shown of it against the ledger.
func (v *evening) look(g *game) {
	if v.laptop.program == nil || v.laptop.isDead() {
		return
	}
	var told, public shown
	status, raw := v.raw(v.here("GET", "/api/games/"+g.id, nil))
	statusOut, rawOut := v.raw(v.fromStands("/api/games/" + g.id))
	statusLedger, file := v.raw(v.here("GET", "/api/games/"+g.id+"/ledger.jsonl", nil))
	if status != http.StatusOK || statusOut != http.StatusOK || statusLedger != http.StatusOK {
		if !v.laptop.troubled() {
			v.fault("%s cannot be looked at: %d, %d, %d", g.id, status, statusOut, statusLedger)
		}
		return
	}
	if err := json.Unmarshal(raw, &told); err != nil {
		v.fault("the state of %s is no JSON: %v", g.id, err)
	}
	if err := json.Unmarshal(rawOut, &public); err != nil {
		v.fault("the public state of %s is no JSON: %v", g.id, err)
	}
	v.ledger(g, file)
	v.state(g, "the bench", told)
	v.state(g, "the public", public)
	v.kept(g, rawOut, public)
	v.unnamed("the state of "+g.id, raw)
	v.unnamed("the ledger of "+g.id, file)
	v.seatsStand(g)
	v.streamsAgree(g)
	v.out.Counts["looks"]++
}

// ledger holds the lines of a ledger against what was told.
func (v *evening) ledger(g *game, file []byte) {
	lines, err := readLines(file, g.seen)
	if err != nil {
		v.fault("the ledger of %s is no JSON: %v", g.id, err)
		return
	}
	for i, l := range g.seen {
		if i >= len(lines) || !bytes.Equal(lines[i].raw, l.raw) {
			v.fault("line %d of %s was shown before, and is gone or another one: %s", i+1, g.id, l.ID)
			return
		}
	}
	place, prev := map[string]int{}, ""
	for i, l := range lines {
		if l.Seq != i+1 || l.Prev != prev {
			v.fault("line %d of %s does not follow from the one before it", i+1, g.id)
		}
		prev = l.hash
		if _, twice := place[l.ID]; twice {
			v.fault("%s is in %s twice", l.ID, g.id)
		}
		place[l.ID] = i
	}
	if g.baseline == asItCame {
		g.baseline = len(lines)
	}
	v.entered(g, lines)
	for id := range g.told {
		if _, kept := place[id]; !kept {
			v.fault("%s was acknowledged, and is gone from %s", id, g.id)
		}
	}
	v.whole(g, place)
	g.seen = lines
}

// entered looks whether somebody entered each line that came since the game was
// first seen, and entered what it says.
func (v *evening) entered(g *game, lines []line) {
	waits := map[string]bool{}
	if g.waiting != nil {
		for _, d := range g.waiting.drafts {
			waits[d.ID] = true
		}
	}
	for i, l := range lines {
		if i < g.baseline {
			continue
		}
		draft, known := g.told[l.ID]
		if known && draft.Seat != "" && l.Seat != string(draft.Seat) {
			v.fault("%s in %s was entered by the %s, and its line says %s", l.ID, g.id, draft.Seat, l.Seat)
		}
		switch {
		case known && compared[l.kind()]:
			raw, err := json.Marshal(draft.Body)
			if err != nil || !bytes.Equal(raw, l.Data.Body) {
				v.fault("%s in %s is not what was entered: %s, was %s", l.ID, g.id, l.Data.Body, raw)
			}
		case known || waits[l.ID] || g.perhaps[l.ID] || v.offers[l.ID] || l.Seat == "program" && ofTheProgram[l.kind()]:
		case g.refused[l.ID]:
			v.fault("%s was refused, and is in %s", l.ID, g.id)
		default:
			v.fault("nobody entered line %d of %s: %s", i+1, g.id, l.raw)
		}
	}
}

// whole holds batches against the ledger: each is there as a whole, or not at all.
func (v *evening) whole(g *game, place map[string]int) {
	batches := g.done
	if g.waiting != nil {
		batches = append(batches[:len(batches):len(batches)], *g.waiting)
	}
	for _, b := range batches {
		first, there := place[b.drafts[0].ID]
		for i, d := range b.drafts {
			if at, kept := place[d.ID]; kept != there || kept && at != first+i {
				v.fault("part of what was entered together into %s is not there: %s", g.id, d.ID)
			}
		}
	}
}

// shown is the part of a state that is held against the ledger.
type shown struct {
	State struct {
		Seq   int `json:"seq"`
		Stage struct {
			Kind string `json:"kind"`
		} `json:"stage"`
		Clock struct {
			Running bool            `json:"running"`
			Elapsed int64           `json:"elapsed_ms"`
			Length  int64           `json:"length_ms"`
			Doubt   json.RawMessage `json:"doubt"`
		} `json:"clock"`
		Teams []struct {
			Name    string            `json:"name"`
			Score   int               `json:"score"`
			Players []json.RawMessage `json:"players"`
			Staff   []json.RawMessage `json:"staff"`
		} `json:"teams"`
		Hold    []json.RawMessage `json:"hold"`
		Notices []json.RawMessage `json:"notices"`
		Owed    []json.RawMessage `json:"owed"`
		Terms   []struct {
			Side   string `json:"side"`
			Player string `json:"player"`
		} `json:"terms"`
	} `json:"state"`
}

// state holds what is shown of a game against its lines.
func (v *evening) state(g *game, who string, told shown) {
	s, t := g.adds(), told.State
	if t.Seq != len(g.seen) {
		v.fault("%s is shown %d entries of %s, and there are %d", who, t.Seq, g.id, len(g.seen))
		return
	}
	if len(t.Teams) != 2 || [2]int{t.Teams[0].Score, t.Teams[1].Score} != s.score {
		v.fault("%s is shown another score of %s than %v: %+v", who, g.id, s.score, t.Teams)
	}
	c := t.Clock
	if doubted := len(c.Doubt) > 0 && string(c.Doubt) != "null"; c.Running != s.running || c.Elapsed != s.elapsed || c.Length != s.length || doubted != s.doubted {
		v.fault("%s is shown the clock of %s as %+v, doubted %v, and it is %+v", who, g.id, c, doubted, s)
	}
	if s.stage != "before" && t.Stage.Kind != s.stage {
		v.fault("%s is shown %s of %s, and it is %s", who, t.Stage.Kind, g.id, s.stage)
	}
}

// kept holds what everybody may see against what must stay in.
func (v *evening) kept(g *game, raw []byte, public shown) {
	s, t := g.adds(), public.State
	if bytes.Contains(raw, []byte(hushMark)) {
		v.fault("the public sees what was said about a person in %s", g.id)
	}
	if names := bytes.Contains(raw, []byte(nameMark)); names && !s.names {
		v.fault("the public sees a name of %s", g.id)
	} else if names {
		v.out.Counts["names let out"]++
	}
	if len(t.Hold)+len(t.Notices)+len(t.Owed) > 0 {
		v.fault("the public sees what the bench of %s has to do", g.id)
	}
	for _, team := range t.Teams {
		if len(team.Players) > 0 && !s.names || len(team.Staff) > 0 {
			v.fault("the public sees who is in a team of %s", g.id)
		}
	}
	numbers := map[string]bool{"": true, noNumber: len(v.gone) > 0}
	for _, l := range g.seen {
		if l.kind() == "penalty" || l.kind() == "amended" {
			var b struct {
				Player string `json:"player"`
			}
			_ = json.Unmarshal(l.Data.Body, &b) // what it has not stays empty
			numbers[b.Player] = true
		}
	}
	for _, term := range t.Terms {
		if v.gone[nameMark+" "+term.Player] && g.rostered {
			v.fault("the public sees number %s in the box of %s, whose name was taken out", term.Player, g.id)
		}
		if !numbers[term.Player] {
			v.fault("the public sees number %s in the box of %s, whom nobody called", term.Player, g.id)
		}
	}
}

// list holds the list of games against the games.
func (v *evening) list() {
	if v.laptop.program == nil || v.laptop.isDead() {
		return
	}
	status, raw := v.raw(v.fromStands("/api/games"))
	if status != http.StatusOK {
		if !v.laptop.troubled() {
			v.fault("the list of games is answered with %d", status)
		}
		return
	}
	var list struct {
		Games []struct {
			ID, Home, Visitors string
			Score              [2]int
			Reading, Damaged   bool
		}
	}
	if err := json.Unmarshal(raw, &list); err != nil {
		v.fault("the list of games is no JSON: %v", err)
	}
	if bytes.Contains(raw, []byte(nameMark)) || bytes.Contains(raw, []byte(hushMark)) {
		v.fault("the list of games has a name in it")
	}
	found := map[string]bool{}
	for _, title := range list.Games {
		g := v.find(title.ID)
		if g == nil && v.brought[title.ID] {
			g = newGame(v, title.ID, 0)
			g.baseline = asItCame
			v.others[title.ID] = g
		}
		if g == nil || found[title.ID] {
			v.fault("the list has a game that nobody opened, or has it twice: %s", title.ID)
			continue
		}
		found[title.ID] = true
		if title.Reading || v.laptop.troubled() {
			continue
		}
		if s := g.adds(); title.Damaged || title.Score != s.score && len(g.seen) > 0 || g.home != "" && (title.Home != g.home || title.Visitors != g.visitors) {
			v.fault("the list shows %+v, and the score is %v", title, s.score)
		}
	}
	for _, g := range v.games {
		if !found[g.id] {
			v.fault("%s is not in the list of games", g.id)
		}
	}
}

// find is a game by its id.
func (v *evening) find(id string) *game {
	for _, g := range v.games {
		if g.id == id {
			return g
		}
	}
	return v.others[id]
}

// guest is somebody in the stands who looks at anything.
func (v *evening) guest() {
	g := v.one()
	for _, path := range []string{"/api/games/" + g.id + "?view=public", "/api/games/" + g.id + "/ledger.jsonl", "/api/games/" + g.id + "/report", "/api/copies", "/api/proposals"} {
		status, raw := v.raw(v.fromStands(path))
		if bytes.Contains(raw, []byte(hushMark)) || bytes.Contains(raw, []byte(nameMark)) && !g.adds().names {
			v.fault("a guest finds a name at %s", path)
		}
		if open := strings.HasSuffix(path, "public"); !open && status/100 == 2 {
			v.fault("a guest may read %s", path)
		}
	}
	v.look(g)
}

// verifySeals has the seals of a game verified, by the bench and from its file.
func (v *evening) verifySeals(g *game) {
	if !g.adds().sealed || v.laptop.troubled() {
		return
	}
	status, file := v.raw(v.here("GET", "/api/games/"+g.id+"/ledger.jsonl", nil))
	verdict := seal.Verify(file)
	if status != http.StatusOK || verdict.First != nil || len(verdict.Seals) == 0 {
		v.fault("the seal of %s does not hold: %d, %+v", g.id, status, verdict.First)
	}
	var told struct {
		First json.RawMessage
		Seals []json.RawMessage
	}
	asked := v.ask(v.here("GET", "/api/games/"+g.id+"/verify", nil), &told)
	if v.foreignSeal(g) {
		if asked != http.StatusOK || !bytes.Contains(told.First, []byte("seal.unknown_key")) {
			v.fault("a person took in a seal of another key in %s, and the bench does not say so: %s", g.id, told.First)
		}
		return
	}
	if asked != http.StatusOK || len(told.First) > 0 && string(told.First) != "null" || len(told.Seals) == 0 {
		v.fault("the bench says that the seal of %s does not hold: %s", g.id, told.First)
	}
	v.out.Counts["seals verified"]++
}

// foreignSeal reports whether a person took a stranger's seal in with a copy.
func (v *evening) foreignSeal(g *game) bool {
	for _, l := range g.seen {
		if l.kind() == "sealed" && v.offers[l.ID] {
			return true
		}
	}
	return false
}

// copiesAgree holds the copies beside the games against the ledgers, once a program
// ended in order and everything was well.
func (v *evening) copiesAgree() {
	own := v.laptop.disk.files(filepath.Join(v.Folder, "copies"))
	stick := v.laptop.disk.files(stickFolder)
	for _, g := range v.games {
		if g.gone {
			continue
		}
		for _, content := range [][]byte{own[filepath.Join(v.Folder, "copies", g.id+".jsonl")], stick[filepath.Join(stickFolder, g.id+".jsonl")]} {
			lines, err := readLines(content, g.seen)
			same := err == nil && len(lines) == len(g.seen)
			for i := 0; same && i < len(lines); i++ {
				same = bytes.Equal(lines[i].raw, g.seen[i].raw)
			}
			if !same {
				v.fault("a copy of %s has %d lines and not the %d of its ledger, %v", g.id, len(lines), len(g.seen), err)
			}
			v.out.Counts["copies that agree"]++
		}
	}
}
