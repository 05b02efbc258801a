package evening

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strings"
	"time"
)

// line is an entry as it stands in a ledger, read as plain JSON.
type line struct {
	raw  []byte
	hash string
	ID   string `json:"id"`
	Type string `json:"type"`
	Time string `json:"time"`
	Seq  int    `json:"seq"`
	Seat string `json:"seat"`
	Prev string `json:"prev"`
	Of   string `json:"of"` // the entry that it is about
	Data struct {
		Body json.RawMessage `json:"body"`
	} `json:"data"`
}

func (l line) kind() string {
	kind, _ := strings.CutPrefix(l.Type, "whistlestop.")
	kind, _, _ = strings.Cut(kind, ".")
	return kind
}

// readLines reads the lines of a ledger's file that are entries; the texts that lie
// beside them have no number. A line that was read before, to the byte, is not read
// once more.
func readLines(file []byte, before []line) (all []line, err error) {
	for raw := range bytes.Lines(file) {
		raw = bytes.TrimSuffix(raw, []byte("\n"))
		if len(all) < len(before) && bytes.Equal(before[len(all)].raw, raw) {
			all = append(all, before[len(all)])
			continue
		}
		one := line{raw: raw}
		if err := json.Unmarshal(one.raw, &one); err != nil {
			return nil, err
		}
		sum := sha256.Sum256(raw)
		one.hash = hex.EncodeToString(sum[:])
		if one.Seq > 0 {
			all = append(all, one)
		}
	}
	return all, nil
}

// body is the parts of entries that are added up.
type body struct {
	Side    string          `json:"side"`
	Elapsed int64           `json:"elapsed_ms"`
	Length  int64           `json:"length_ms"`
	Running bool            `json:"running"`
	Names   bool            `json:"names"`
	Body    json.RawMessage `json:"body"`
	Stage   struct {
		Kind   string `json:"kind"`
		Number int    `json:"number"`
	} `json:"stage"`
}

// sum is what follows from the lines of a game, added up by nothing but its own
// few rules: goals that stand, and what the clock was last said to be.
type sum struct {
	score           [2]int
	running         bool
	elapsed, length int64
	since           time.Time // by the bench's time: when the clock stood there
	doubted         bool
	stage           string
	names           bool // may be seen by anybody
	sealed          bool
	reopened        bool // what the report says was added to after the seal: a person took it in
}

// out is when a clock that runs reaches its length, by the bench's time.
func (s sum) out() time.Time {
	return s.since.Add(time.Duration(s.length-s.elapsed) * time.Millisecond)
}

func (g *game) adds() sum {
	if g.added.after != len(g.seen) { // a line that was seen never changes (ledger)
		g.added.after, g.added.sum = len(g.seen), addUp(g.seen)
	}
	return g.added.sum
}

func addUp(lines []line) (s sum) {
	goals := map[string]string{} // side, by id
	for _, l := range lines {
		var b body
		_ = json.Unmarshal(l.Data.Body, &b) // what it has not stays empty
		switch l.kind() {
		case "stage_begun", "clock_started", "clock_stopped", "clock_set", "clock_doubted":
			s.since, _ = time.Parse(time.RFC3339Nano, l.Time) // the program writes no other
		}
		switch l.kind() {
		case "goal", "penalty", "note", "amended", "struck", "stage_begun", "signed":
			s.reopened = s.sealed
		}
		switch l.kind() {
		case "game_opened":
			s.stage = "before"
		case "stage_begun":
			s.stage, s.length, s.elapsed, s.running, s.doubted = b.Stage.Kind, b.Length, 0, b.Running, false
		case "clock_started":
			s.running, s.elapsed, s.doubted = true, b.Elapsed, false
		case "clock_stopped":
			s.running, s.elapsed, s.doubted = false, b.Elapsed, false
		case "clock_set":
			s.elapsed, s.doubted = b.Elapsed, false
		case "clock_doubted":
			s.running, s.elapsed, s.doubted = false, b.Elapsed, true
		case "goal":
			goals[l.ID] = b.Side
		case "amended":
			if _, is := goals[l.Of]; is {
				var to body
				_ = json.Unmarshal(b.Body, &to)
				goals[l.Of] = to.Side
			}
		case "struck":
			delete(goals, l.Of)
		case "bench_set":
			s.names = b.Names
		case "sealed":
			s.sealed, s.reopened = true, false
		}
	}
	for _, side := range goals {
		if side == "home" {
			s.score[0]++
		} else {
			s.score[1]++
		}
	}
	return s
}
