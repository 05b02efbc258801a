package main

import "slices"

// group is a part of the program from which as many mutants are drawn as from
// every other part.
type group struct {
	name     string
	packages []string
}

// groups are what holds the promises: what was acknowledged is kept, what is shown
// is so, who may do what, and the rules.
var groups = []group{
	{"storage", []string{
		"internal/store", "internal/store/memory", "internal/store/sqlite", "internal/mirror", "internal/folder/durable",
		"internal/folder/privatefile", "internal/folder/keyfile", "internal/folder/office", "internal/folder", "internal/folder/cards", "internal/restart",
	}},
	{"bench", []string{"internal/bench"}},
	{"web", []string{"internal/api", "internal/api/laptop", "internal/web", "internal/web/limits", "internal/seats"}},
	{"seal", []string{"record/seal"}},
	{"rules", []string{"game/rules", "game/rulebook"}},
}

// tests are those of one package, all or some.
type tests struct {
	pkg, run string
}

// dependents are the packages whose tests hold a package too, the quickest first.
// Its own tests come before them.
var dependents = map[string][]tests{
	"internal/store":              {{pkg: "internal/store/memory"}, {pkg: "internal/store/sqlite"}},
	"internal/store/memory":       {{pkg: "internal/bench"}},
	"internal/store/sqlite":       {{pkg: "cmd/whistlestop", run: "Damaged|Killed|LostEnd"}},
	"internal/mirror":             {{pkg: "cmd/whistlestop", run: "LostEnd|Damaged|Stick|Restore|HostileFiles|DeadLaptop"}},
	"internal/folder/durable":     {{pkg: "internal/mirror"}, {pkg: "internal/folder/privatefile"}, {pkg: "internal/folder/cards"}},
	"internal/folder":             {{pkg: "internal/folder/cards"}, {pkg: "internal/folder/divisions"}},
	"internal/folder/privatefile": {{pkg: "internal/folder/keyfile"}, {pkg: "internal/folder/office"}},
	"internal/restart":            {{pkg: "internal/proof/sim"}, {pkg: "cmd/whistlestop", run: "TestT4"}},
	"internal/bench":              {{pkg: "internal/web"}, {pkg: "internal/proof/sim"}},
	"internal/web":                {{pkg: "cmd/whistlestop", run: "TestH3|PrintedHosts|RestoreFromTheBenchScreen|HostileFiles"}},
	"internal/api":                {{pkg: "internal/web"}, {pkg: "internal/practice"}},
	"internal/api/laptop":         {{pkg: "internal/web"}},
	"internal/web/limits":         {{pkg: "internal/web"}},
	"internal/seats":              {{pkg: "internal/web"}},
	"record/seal":                 {{pkg: "record/report"}, {pkg: "cmd/whistlestop", run: "Verify|HostileFiles"}},
	"game/rules": {
		{pkg: "game/lanes"}, {pkg: "game/card"}, {pkg: "record/report"}, {pkg: "record/audit"},
		{pkg: "internal/bench"}, {pkg: "practice/maker"}, {pkg: "practice/grade"},
	},
	"game/rulebook": {{pkg: "game/rules"}, {pkg: "cmd/whistlestop", run: "Codes|Division|Variant"}},
}

// testsOf returns the tests that hold a package, its own first.
func testsOf(pkg string) []tests {
	return append([]tests{{pkg: pkg}}, dependents[pkg]...)
}

// chosen returns the groups cut down to some packages; none means all. A package
// of no group is one of its own.
func chosen(packages []string) []group {
	if len(packages) == 0 {
		return groups
	}
	var kept []group
	grouped := map[string]bool{}
	for _, g := range groups {
		part := group{name: g.name}
		for _, pkg := range g.packages {
			if slices.Contains(packages, pkg) {
				part.packages = append(part.packages, pkg)
				grouped[pkg] = true
			}
		}
		if part.packages != nil {
			kept = append(kept, part)
		}
	}
	for _, pkg := range packages {
		if !grouped[pkg] {
			kept = append(kept, group{name: pkg, packages: []string{pkg}})
		}
	}
	return kept
}
