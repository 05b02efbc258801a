package web

import (
	"testing"

	"whistlestop/internal/api"
)

// Every row of the table is described, answered in one place only, and what the
// table leaves to the shell is what the shell has.
func TestEveryOperationIsAnswered(t *testing.T) {
	own := (&Server{}).own()
	seen := map[string]bool{}
	for _, o := range Operations() {
		name := o.Method + " " + o.Path
		if seen[name] {
			t.Errorf("%s stands twice in the table", name)
		}
		seen[name] = true
		if o.About == "" || o.Gives == nil && o.GivesMedia == "" {
			t.Errorf("%s is not described in full", name)
		}
		if o.Practice {
			t.Errorf("%s is of practice", name)
		}
		if by := own[o.Path] != nil; by == (o.Do != nil) {
			t.Errorf("%s: answered by the table %v, by the shell %v", name, o.Do != nil, by)
		}
		delete(own, o.Path)
		if takes := o.Takes != nil || o.TakesMedia != ""; o.Method == "GET" && takes {
			t.Errorf("%s reads and takes a body", name)
		}
		if o.Reading != "" && o.Who == api.Anyone {
			t.Errorf("%s is for anybody, and only for some seats", name)
		}
	}
	for path := range own {
		t.Errorf("the shell answers %s, which is not in the table", path)
	}
}
