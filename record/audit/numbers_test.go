package audit_test

import (
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/audit"
)

// 5 and 05 are one number (common practice, no source): a sheet that writes single
// digits with a zero in front has the findings of one that does not, and stays as
// it was given.
func TestASheetMayWriteSingleDigitsWithAZero(t *testing.T) {
	s := audit.SheetOf(wholeDocument(t))
	changed := 0
	zero := func(j *entry.Jersey) {
		if len(*j) == 1 && *j != "0" {
			*j, changed = "0"+*j, changed+1
		}
	}
	for i := range s.Goals {
		zero(&s.Goals[i].Scorer)
		zero(&s.Goals[i].Goalkeeper)
		for n := range s.Goals[i].Assists {
			zero(&s.Goals[i].Assists[n])
		}
	}
	for i := range s.Calls {
		zero(&s.Calls[i].Player)
		zero(&s.Calls[i].ServedBy)
	}
	for i := range s.Changes {
		zero(&s.Changes[i].Number)
	}
	for i := range s.Players {
		zero(&s.Players[i].Number)
	}
	for i := range s.Goalkeepers {
		zero(&s.Goalkeepers[i].Number)
	}
	if changed < 10 {
		t.Fatalf("only %d numbers are single digits", changed)
	}
	first := s.Goals[0].Scorer
	findings, err := audit.Check(s)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range words(findings) {
		t.Error(line)
	}
	if s.Goals[0].Scorer != first {
		t.Errorf("the sheet was changed: %s is %s", first, s.Goals[0].Scorer)
	}
}
