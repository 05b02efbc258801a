package evening

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"net/http"
	"strconv"
)

// report downloads the report of a game as a file and holds its figures against
// what follows from the lines.
func (v *evening) report(g *game) {
	if v.laptop.program == nil || v.laptop.isDead() || len(g.seen) == 0 {
		return
	}
	v.look(g)
	status, file := v.raw(v.here("GET", "/api/games/"+g.id+"/report.csv", nil))
	if status != http.StatusOK {
		if !v.laptop.troubled() {
			v.fault("the report of %s is answered with %d: %s", g.id, status, file)
		}
		return
	}
	reader := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(file, []byte("\ufeff"))))
	rows, err := reader.ReadAll()
	if err != nil || len(rows) == 0 {
		v.fault("the report of %s is no table: %v", g.id, err)
		return
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	cell := func(row []string, name string) string { return row[column[name]] }
	head := map[string]string{}
	rowsOf, count := map[string]map[string]int{"goal": {}, "penalty": {}}, map[string]int{}
	for _, row := range rows[1:] {
		switch record := cell(row, "record"); record {
		case "head":
			head[cell(row, "key")] = cell(row, "text")
		case "goal", "penalty":
			rowsOf[record][cell(row, "entry")]++
			count[record+" "+cell(row, "side")]++
		}
	}
	s := g.adds()
	if head["home_score"] != strconv.Itoa(s.score[0]) || head["visitors_score"] != strconv.Itoa(s.score[1]) ||
		count["goal home"] != s.score[0] || count["goal visitors"] != s.score[1] {
		v.fault("the report of %s has the score %s-%s and %v goals, and it is %v", g.id, head["home_score"], head["visitors_score"], count, s.score)
	}
	if sealed := head["sealed"] == "yes"; sealed != (s.sealed && !s.reopened) {
		v.fault("the report of %s says sealed %v, and it is %v", g.id, sealed, s.sealed && !s.reopened)
	}
	for id, side := range g.called() {
		if rowsOf["penalty"][id] == 0 {
			v.fault("the %s penalty %s of %s is not in its report", side, id, g.id)
		}
		delete(rowsOf["penalty"], id)
	}
	for _, id := range sorted(rowsOf["penalty"]) {
		v.fault("the report of %s has a penalty %s that nobody called", g.id, id)
	}
	v.out.Counts["reports"]++
}

// called are the penalties that stand, by their entry.
func (g *game) called() map[string]string {
	sides := map[string]string{}
	for _, l := range g.seen {
		switch l.kind() {
		case "penalty":
			var b body
			_ = json.Unmarshal(l.Data.Body, &b) // what it has not stays empty
			sides[l.ID] = b.Side
		case "struck":
			delete(sides, l.Of)
		}
	}
	return sides
}
