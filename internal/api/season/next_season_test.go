package season_test

import (
	"slices"
	"strings"
	"testing"
)

// ids are those of a plan's games.
func (p plan) ids() (list []string) {
	for _, g := range p.Games {
		list = append(list, g.ID)
	}
	return list
}

// A new season begins with its league file while the schedule of the one before lies there:
// that says so, nothing of it is lost, and no game of the new one has the id of an old one.
func TestANewSeasonsLeagueFile(t *testing.T) {
	o := seasoned(t)
	old, oldText := o.plan("").ids(), slices.Clone(o.kept.schedule)
	next := strings.NewReplacer("2026-27", "2027-28", "2026-", "2027-", "2027-", "2028-").Replace(harbour(t))
	out, no := o.put(next)
	if no != "" || !out.Kept || len(out.Findings) == 0 || out.Findings[0].Mistake || !strings.HasPrefix(out.Findings[0].Text, "season.schedule_before") {
		t.Fatalf("%+v, %s", out, no)
	}
	if !slices.Equal(o.kept.schedule, oldText) {
		t.Error("the schedule of before is gone before there is another one")
	}
	var seen struct{ Season, Trouble string }
	if no := o.ask("GET", "/api/season", "", &seen); no != "" || seen.Season != "2027-28" || seen.Trouble != "" {
		t.Errorf("%+v, %s", seen, no)
	}
	// Back to the file of before: the season is as it was.
	if out, no := o.put(harbour(t)); no != "" || !out.Kept || !slices.Equal(o.plan("").ids(), old) {
		t.Fatalf("%+v, %s", out, no)
	}
	if out, no := o.put(next); no != "" || !out.Kept {
		t.Fatalf("%+v, %s", out, no)
	}
	var made struct {
		Kept  bool
		Games int
	}
	if no := o.ask("POST", "/api/season/schedule", `{"seed":3}`, &made); no != "" || !made.Kept || made.Games == 0 {
		t.Fatalf("%+v, %s", made, no)
	}
	fresh := o.plan("").ids()
	for _, id := range fresh {
		if slices.Contains(old, id) {
			t.Errorf("%s is a game of both seasons", id)
		}
	}
	if !slices.Equal(o.kept.before, oldText) {
		t.Error("the schedule of before is not kept beside the new one")
	}
	// One that is made anew in the same season has other games too.
	if no := o.ask("POST", "/api/season/schedule", `{"seed":4,"replace":true}`, &made); no != "" || !made.Kept {
		t.Fatal(no)
	}
	for _, id := range o.plan("").ids() {
		if slices.Contains(fresh, id) || slices.Contains(old, id) {
			t.Errorf("%s was another game before", id)
		}
	}
	if !slices.Equal(o.kept.before, oldText) {
		t.Error("the season before was overwritten")
	}
}

// What was decided in the season before does not hold up the new one and counts for nothing
// in it; it is put aside when the new one has games.
func TestANewSeasonPutsDecisionsAside(t *testing.T) {
	o := seasoned(t)
	const old = "[[points]]\nteam = \"kelp-bay-u14\"\npoints = -2\nwhy = \"late\"\n"
	o.kept.decisions = []byte(old)
	// The team has another id in the new season: the decision would not fit its file.
	next := strings.NewReplacer("2026-27", "2027-28", "2026-", "2027-", "2027-", "2028-", `"kelp-bay-u14"`, `"kelp-u14"`).Replace(harbour(t))
	out, no := o.put(next)
	if no != "" || !out.Kept || len(out.Findings) < 2 || out.Findings[1].Mistake || !strings.HasPrefix(out.Findings[1].Text, "season.decisions_before") {
		t.Fatalf("%+v, %s", out, no)
	}
	// Decisions of the new season wait for its games: those of the old one are there still.
	var kept struct {
		Kept     bool
		Findings []struct{ Text string }
	}
	if no := o.ask("PUT", "/api/season/decisions", `{"text":""}`, &kept); no != "" || kept.Kept || len(kept.Findings) != 1 || string(o.kept.decisions) != old {
		t.Fatalf("%+v, %s", kept, no)
	}
	var made struct{ Kept bool }
	if no := o.ask("POST", "/api/season/schedule", `{"seed":3}`, &made); no != "" || !made.Kept {
		t.Fatalf("%+v, %s", made, no)
	}
	if string(o.kept.decisionsBefore) != old || len(o.kept.decisions) != 0 {
		t.Errorf("%q aside, %q there", o.kept.decisionsBefore, o.kept.decisions)
	}
	// Within a season a decision that does not fit is still named, with what to do.
	o = seasoned(t)
	o.kept.decisions = []byte(old)
	if out, no := o.put(strings.ReplaceAll(harbour(t), `"kelp-bay-u14"`, `"kelp-u14"`)); no != "" || out.Kept {
		t.Errorf("%+v, %s", out, no)
	}
}

// A schedule of another league is still a mistake.
func TestAnotherLeaguesScheduleIsAMistake(t *testing.T) {
	o := seasoned(t)
	other := strings.Replace(harbour(t), `name = "Harbour League"`, `name = "Quay League"`, 1)
	if out, no := o.put(strings.Replace(other, `season = "2026-27"`, `season = "2027-28"`, 1)); no != "" || out.Kept || len(out.Findings) == 0 || !out.Findings[0].Mistake {
		t.Errorf("%+v, %s", out, no)
	}
}
