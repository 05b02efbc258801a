package evening

import (
	"encoding/json"
	"time"
)

// touch is when people touched something, truly, and under which of the program's
// times: it may go another way with a start.
type touch struct {
	at       time.Time
	era, ack int // when it was touched, and when it was acknowledged
}

// roundings is what whole milliseconds hide, several times over, also where the time
// is read anew at a few starts.
const roundings = 20

// played holds the stretches of play against the true time between the touches: the
// recorded time differs by the bounds that were given with them at most, unless the
// clock was at its end before.
func (v *evening) played(g *game) {
	var start *line
	length := int64(0)
	for i, l := range g.seen {
		var b struct {
			Length int64 `json:"length_ms"`
		}
		_ = json.Unmarshal(l.Data.Body, &b) // what it has not stays empty
		switch l.kind() {
		case "stage_begun":
			start, length = nil, b.Length
		case "clock_set", "clock_doubted":
			start = nil
		case "clock_started":
			start = &g.seen[i]
		case "clock_stopped":
			if start != nil {
				v.stretch(g, *start, l, length)
			}
			start = nil
		}
	}
}

func (v *evening) stretch(g *game, start, stop line, length int64) {
	from, known := g.touched[start.ID]
	to, also := g.touched[stop.ID]
	if !known || !also || from.era != from.ack || from.era != to.era || to.era != to.ack {
		return
	}
	var begun, ended struct {
		Elapsed int64 `json:"elapsed_ms"`
		Error   int64 `json:"error_ms"`
	}
	if json.Unmarshal(start.Data.Body, &begun) != nil || json.Unmarshal(stop.Data.Body, &ended) != nil {
		v.fault("a clock of %s cannot be read", g.id)
	}
	truly, recorded := to.at.Sub(from.at).Milliseconds(), ended.Elapsed-begun.Elapsed
	bound := begun.Error + ended.Error + roundings
	v.out.Counts["stretches of play"]++
	if off := recorded - truly; off > bound || off < -bound && ended.Elapsed != length {
		v.fault("from %s to %s of %s %d ms were played, and %d recorded", start.ID, stop.ID, g.id, truly, recorded)
	}
}
