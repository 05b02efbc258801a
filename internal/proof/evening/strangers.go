package evening

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"time"
)

// The game that the files of strangers are about, and the file that is it as far as
// it is honest.
const (
	hostileGame  = "01JD000000000000000H0ST11E"
	honestFile   = "control.jsonl"
	honestLines  = 5
	strangerGame = "01JD0000000000000STRANGE00"
)

// takeOver takes the game over that the files of strangers are about, so that they
// meet one that is being played.
func (v *evening) takeOver() *game {
	file := v.Hostile[honestFile]
	var some []byte
	for raw := range bytes.Lines(file) {
		if some = append(some, raw...); bytes.Count(some, []byte("\n")) == honestLines {
			break
		}
	}
	if some == nil {
		v.fault("there is no %s among the files of strangers", honestFile)
		return nil
	}
	if status := v.ask(v.here("POST", "/api/restore", some), nil); status != http.StatusOK {
		v.fault("a copy is not taken over: %d", status)
		return nil
	}
	g := newGame(v, hostileGame, 9)
	g.home, g.visitors, g.baseline = "Kelp Bay", "Lanternside", honestLines
	return g
}

// a file of a stranger: one that is kept, or one made of a game that is being
// played, with a goal more at its end.
func (v *evening) file() (name string, content []byte, about *game) {
	if v.chance(40) {
		g := v.one()
		if forged := v.forge(g); forged != nil {
			return "a goal more in " + g.id, forged, g
		}
	}
	names := sorted(v.Hostile)
	name = names[v.random.IntN(len(names))]
	return name, v.Hostile[name], v.find(hostileGame)
}

// forge adds a goal to what was shown of a game, chained as it should be.
func (v *evening) forge(g *game) []byte {
	var file []byte
	for _, l := range g.seen {
		file = append(append(file, l.raw...), '\n')
	}
	if len(g.seen) == 0 {
		return nil
	}
	g.made++
	last := g.seen[len(g.seen)-1]
	return fmt.Appendf(file, `{"specversion":"1.0","id":"01JF%02d%020d","source":"/game/%s","type":"whistlestop.goal.v1",`+
		`"time":"2026-01-10T18:00:00.000Z","seq":%d,"seat":"solo","prev":"%s","data":{"at":{"period":1,"elapsed_ms":60000},`+
		`"body":{"side":"visitors","scorer":"9","unassisted":true}}}`+"\n", g.place, g.made, g.id, len(g.seen)+1, last.hash)
}

// stranger offers a file to the bench: as a copy, or as a roster.
func (v *evening) stranger() {
	name, content, _ := v.file()
	before := v.counts()
	if v.chance(25) {
		status, _ := v.raw(v.here("POST", "/api/rosters/read", content))
		v.note("roster", "%s: %d", name, status)
		v.out.Counts["offered as a roster"]++
		v.unmoved(before, name)
		return
	}
	var taken struct {
		Games []struct {
			Game                    string
			Added, Proposed, Copied int
		}
	}
	status := v.ask(v.here("POST", "/api/restore", content), &taken)
	v.out.Counts["offered as a copy"]++
	for _, one := range taken.Games {
		v.out.Counts["proposed"] += min(1, one.Proposed)
		if v.find(one.Game) == nil { // a game that was not here: somebody brought it
			v.brought[one.Game] = true
		} else if one.Added > 0 {
			v.fault("%d entries of %s went into %s without a person's word", one.Added, name, one.Game)
		}
	}
	if status/100 != 2 && v.laptop.troubled() && bytes.Contains(content, []byte(strangerGame)) {
		v.brought[strangerGame] = true // it may have been kept
	}
	v.note("restore", "%s: %d, %d games", name, status, len(taken.Games))
	if status/100 == 5 && !v.laptop.troubled() {
		v.fault("%s as a copy is answered with %d", name, status)
	}
	v.unmoved(before, name)
}

// counts is how many lines every game that is played was shown to have.
func (v *evening) counts() map[string]int {
	counts := map[string]int{}
	for _, g := range v.games {
		counts[g.id] = len(g.seen)
	}
	return counts
}

// unmoved looks at all games: none may have got more than the program's own. What
// each may have is looked at with every look; here it is that nobody waited.
func (v *evening) unmoved(before map[string]int, name string) {
	v.lookAll()
	for _, g := range v.games {
		for _, l := range g.seen[min(before[g.id], len(g.seen)):] {
			waits := g.waiting != nil
			if l.Seat != "program" && !waits {
				v.fault("%s grew by %s when %s came", g.id, l.ID, name)
			}
		}
	}
}

// leaveAFile puts a file among the copies while the program is off.
func (v *evening) leaveAFile() {
	name, content, about := v.file()
	as := "notes.jsonl"
	switch {
	case about != nil && v.chance(70):
		as = about.id + ".jsonl"
	case v.chance(50):
		about = v.one()
		as = about.id + ".jsonl" // it says something of another game
	default:
		about = nil
	}
	if strings.HasSuffix(name, ".xlsx") && v.chance(50) {
		as, about = name, nil
	}
	folder := filepath.Join(v.Folder, "copies")
	if v.chance(50) {
		folder = stickFolder
	}
	if about != nil {
		about.gone = true
	}
	v.laptop.disk.put(filepath.Join(folder, as), content)
	v.out.Counts["left among the copies"]++
	v.note("left", "%s as %s in %s", name, as, filepath.Base(folder))
}

// stick pulls the stick out or puts it in, as it was, as it was once, or with a
// stranger's file; or it lets it fail.
func (v *evening) stick() {
	d := v.laptop.disk
	switch {
	case d.in && v.chance(30):
		v.older = d.files(stickFolder)
		v.note("stick", "somebody keeps what is on it")
	case d.in && v.chance(50):
		d.fail(v.random.IntN(6)+1, v.chance(50))
		v.out.Counts["stick fails"]++
		v.note("stick", "fails")
	case d.in:
		d.pull(nil)
		v.out.Counts["stick pulled"]++
		v.note("stick", "is pulled")
	default:
		older := map[string][]byte(nil)
		if v.chance(40) && v.older != nil {
			older = v.older
			v.out.Counts["stick older"]++
		}
		d.pull(older)
		v.note("stick", "is put in, older: %v", older != nil)
	}
	time.Sleep(v.between(time.Second, 5*time.Second))
	v.lookAll()
}

// decide decides about a proposal that waits.
func (v *evening) decide() {
	var list struct {
		Proposals []struct {
			ID, Game string
			Lines    []struct{ Entry string }
		}
	}
	if v.ask(v.here("GET", "/api/proposals", nil), &list) != http.StatusOK || len(list.Proposals) == 0 {
		return
	}
	one := list.Proposals[v.random.IntN(len(list.Proposals))]
	take := v.chance(40)
	body, _ := json.Marshal(map[string]bool{"take": take}) // it can be written
	g := v.find(one.Game)
	if take {
		v.brought[one.Game] = true
		for _, l := range one.Lines {
			v.offers[l.Entry] = true
		}
	}
	sealed := g != nil && g.adds().sealed
	before := v.counts()[one.Game]
	var done struct{ Added int }
	status := v.ask(v.here("POST", "/api/proposals/"+one.ID, body), &done)
	v.note("decided", "%s, take %v: %d, %d added", one.Game, take, status, done.Added)
	v.out.Counts["decided"]++
	if !take && done.Added > 0 || sealed && done.Added > 0 {
		v.fault("%d entries went into %s, take %v, sealed %v", done.Added, one.Game, take, sealed)
	}
	v.lookAll()
	if g != nil && take && status == http.StatusOK && len(g.seen) < before+done.Added {
		v.fault("%d entries were said to be taken into %s", done.Added, one.Game)
	}
}
