package web

import (
	"encoding/json"
	"strings"
	"testing"
)

// What the API can do and what is said about it are the same: a route that
// nobody described, or a description of none, fails here.
func TestEveryRouteIsDescribed(t *testing.T) {
	described := map[string]bool{}
	for _, o := range Operations() {
		described[o.Method+" "+o.Path] = true
		if o.About == "" || o.Who == "" || o.Gives == nil && o.GivesMedia == "" {
			t.Errorf("%s %s is not described in full", o.Method, o.Path)
		}
	}
	routes := map[string]bool{}
	for _, r := range (&Server{}).routeTable() {
		name := r.method + " " + r.path
		if strings.HasPrefix(r.path, "/api/") || r.path == "/metrics" {
			routes[name] = true
			if !described[name] {
				t.Errorf("%s is not described: add it to Operations, and run make contract", name)
			}
		}
	}
	for name := range described {
		if !routes[name] {
			t.Errorf("%s is described and does not exist", name)
		}
	}
}

// Every answer that says no has the members that RFC 9457 names.
func TestProblemsHaveTheStandardMembers(t *testing.T) {
	raw, err := json.Marshal(Problem())
	if err != nil {
		t.Fatal(err)
	}
	for _, member := range []string{"type", "title", "status", "detail"} {
		if !strings.Contains(string(raw), `"`+member+`":`) {
			t.Errorf("no %s in %s", member, raw)
		}
	}
}
