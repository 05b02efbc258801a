package tidy

import (
	"strconv"
	"strings"
	"testing"
)

// The pure packages, from the lowest floor up.
var pure = []string{
	"game/message", "game/datafile", "game/dates", "game/dice", "game/entry", "game/rulebook", "game/rules", "record/report", "record/audit", "record/typed", "game/lanes", "game/card", "game/card/onpaper", "game/slot", "game/announce", "record/seal", "record/rows", "record/tables", "record/roster", "record/person",
	"practice/plot", "practice/script", "practice/maker", "practice/grade", "practice/run", "practice/rink", "practice/progress", "practice/console",
	"season/calendar", "season/figures", "season/league", "season/results", "season/schedule", "season/standings", "season/suspensions", "season/tally", "season/handin", "season/book",
	"crew/duties", "crew/people", "crew/rota", "crew/seating", "crew/readiness", "crew/onduty", "crew/desk",
}

// mayImport says which packages of ours a package may import. Imports point
// downward only, and adapters do not import each other: they meet in cmd.
var mayImport = map[string][]string{
	"game/message":      {},
	"game/datafile":     {"game/message"},
	"game/dates":        {"game/message"},
	"game/dice":         {},
	"game/entry":        {"game/message"},
	"game/rulebook":     {"game/datafile", "game/entry", "game/message"},
	"game/rules":        {"game/entry", "game/message", "game/rulebook"},
	"record/seal":       {"game/entry", "game/rules", "game/message"},
	"record/report":     {"game/entry", "game/rulebook", "game/rules", "record/seal", "game/message"},
	"record/audit":      {"game/entry", "game/rulebook", "game/rules", "record/report", "game/message"},
	"record/typed":      {"game/entry", "game/rulebook", "game/rules", "record/audit"},
	"game/lanes":        {"game/entry", "game/rulebook", "game/rules"},
	"game/card":         {"game/datafile", "game/entry", "game/message", "game/rulebook", "game/rules"},
	"game/card/onpaper": {"game/card", "game/rules"},
	"game/slot":         {"game/entry", "game/rulebook", "game/rules"},
	"game/announce":     {"game/entry", "game/rulebook", "game/rules"},
	"practice/plot":     {"game/datafile", "game/entry", "game/rulebook", "game/message"},
	"practice/script":   {"game/entry", "game/rulebook", "game/rules", "practice/plot"},
	"practice/maker":    {"game/card", "game/dice", "game/entry", "game/rulebook", "game/rules", "practice/plot", "practice/script", "game/message"},
	"practice/grade":    {"game/card", "game/entry", "game/rules", "practice/plot", "practice/script", "game/message"},
	"practice/run":      {"game/entry", "game/rules", "practice/grade", "practice/script"},
	"practice/console":  {"game/card", "game/dice", "game/entry", "game/rulebook", "game/rules"},
	"practice/rink":     {"game/dice", "game/entry", "game/rules", "practice/plot", "practice/script"},
	"practice/progress": {"game/entry", "game/rules", "practice/grade", "practice/plot", "practice/script", "game/message"},

	"season/standings":   {"game/datafile", "game/rules", "game/message"},
	"season/figures":     {},
	"season/schedule":    {"game/dates", "game/dice", "season/calendar", "season/league", "game/message"},
	"season/league":      {"game/datafile", "game/dates", "game/message", "season/standings", "season/suspensions"},
	"season/calendar":    {"game/message"},
	"season/suspensions": {"game/datafile", "game/entry", "game/message"},
	"season/book": {
		"game/entry", "game/message", "record/tables", "season/league", "season/results", "season/schedule", "season/standings", "season/tally",
	},
	"season/handin": {"game/entry", "record/report", "season/league", "season/tally"},
	"season/tally": {
		"game/dates", "game/entry", "game/message", "season/figures", "season/league", "season/results", "season/schedule", "season/standings",
		"season/suspensions",
	},
	"crew/duties":    {"game/dates", "game/message"},
	"crew/people":    {"game/dates"},
	"crew/rota":      {"game/dice", "game/message"},
	"crew/onduty":    {"crew/duties", "game/dates", "game/message"},
	"crew/desk":      {"crew/duties", "crew/onduty", "crew/people", "crew/rota", "crew/seating", "game/dates", "game/message", "season/league", "season/schedule"},
	"crew/readiness": {"crew/duties", "crew/people", "game/dates", "game/entry", "practice/progress"},
	"crew/seating":   {"crew/people", "crew/rota", "game/datafile", "game/dates", "game/message"},
	"season/results": {"game/entry", "game/rules", "record/report", "season/figures", "season/standings", "season/suspensions"},

	"internal/changes":  {},
	"internal/bench":    append([]string{"internal/changes"}, pure...),
	"internal/api":      append([]string{"internal/bench", "internal/changes"}, pure...),
	"internal/practice": append([]string{"internal/api", "internal/bench", "internal/demo", "internal/locale", "internal/store/memory"}, pure...),

	"internal/pocket": append([]string{"internal/api", "internal/api/laptop", "internal/bench", "internal/demo", "internal/folder/office", "internal/locale", "internal/mirror", "internal/outbox", "internal/paper/csv", "internal/paper/letters", "internal/paper/order", "internal/proposal", "internal/restart", "internal/seats"}, pure...),
	"internal/press":  append([]string{"internal/paper/order", "internal/paper/pdf"}, pure...),

	"internal/api/why":    append([]string{"internal/api"}, pure...),
	"internal/api/laptop": append([]string{"internal/api", "internal/bench", "internal/seats"}, pure...),
	"internal/api/crew":   append([]string{"internal/api", "internal/mail", "internal/push", "internal/wording"}, pure...),
	"internal/api/season": append([]string{"internal/api", "internal/bench", "internal/wording"}, pure...),

	"internal/folder":          {"game/message", "internal/folder/durable"},
	"internal/folder/durable":  {},
	"internal/proof/crashdisk": {"internal/folder/durable"},
	"internal/mirror":          append([]string{"internal/folder/durable"}, pure...),
	"internal/proposal":        append([]string{"internal/api/laptop", "internal/bench"}, pure...),
	"internal/withdrawal":      append([]string{"internal/api/laptop", "internal/bench", "internal/folder/durable", "internal/folder/office", "internal/folder/privatefile", "internal/mirror", "internal/seats"}, pure...),

	"internal/proof/sim": append([]string{"internal/bench", "internal/restart", "internal/proof/faults", "internal/store/memory", "internal/store/sqlite"}, pure...),

	"internal/proof/hubsim": {"game/entry", "game/rulebook", "internal/api", "internal/hub/bus", "internal/hub/ledgers", "internal/hub/live", "internal/hub/office", "internal/hub/postgres", "internal/hub/postgres/private", "internal/hub/site", "internal/hub/sqlite", "internal/locale", "internal/outbox", "internal/outbox/overhttp", "internal/proof/faults"},

	// It knows the program only as a handler that can be started: cmd starts it.
	"internal/proof/evening": append([]string{"internal/folder/durable", "internal/proof/crashdisk", "internal/restart", "internal/proof/faults"}, pure...),

	"internal/store":           {"game/entry"},
	"internal/proof/faults":    {},
	"internal/store/browser":   {"game/entry", "internal/store"},
	"internal/worker":          {},
	"internal/store/memory":    {"game/entry", "internal/store"},
	"internal/store/sqlite":    {"game/entry", "internal/folder/durable", "internal/store"},
	"internal/store/storetest": {"game/entry", "internal/store"},

	"record/rows":                 {"game/entry", "game/rulebook", "game/rules", "record/report", "record/audit", "record/typed", "game/message"},
	"record/tables":               {"game/message"},
	"record/roster":               {"game/entry", "game/rulebook", "game/rules"},
	"record/person":               {"game/entry"},
	"internal/folder/privatefile": {"internal/folder/durable"},
	"internal/folder/wallpicture": {"game/message", "internal/folder/durable"},
	"internal/folder/keyfile":     {},
	"internal/folder/leaguefiles": {"internal/folder/durable"},
	"internal/folder/office":      {"game/entry", "record/person"},
	"internal/paper":              append([]string{"internal/locale", "internal/paper/csv", "internal/paper/html", "internal/paper/pdf", "internal/paper/xlsx"}, pure...),
	"internal/paper/csv":          {"game/message", "record/rows", "record/tables"},
	"internal/paper/html":         pure,
	"internal/paper/xlsx":         {"record/rows", "record/tables", "game/rules", "game/message"},
	"internal/proof/papertest":    append([]string{"internal/demo"}, pure...),

	"internal/paper/pdf": append([]string{"internal/locale", "internal/paper/letters"}, pure...),

	"internal/paper/letters": {},
	"internal/paper/order":   pure,

	"internal/wording":          pure,
	"internal/intake":           {"game/dates", "game/entry", "game/message", "game/rulebook", "game/rules", "internal/paper/csv", "internal/paper/tables", "internal/paper/xlsx", "record/audit", "record/report", "record/rows", "record/typed", "season/calendar", "season/league", "season/schedule"},
	"internal/paper/tables":     {},
	"internal/lan":              {},
	"internal/restart":          {"game/entry"},
	"internal/seats":            pure,
	"internal/folder/divisions": append([]string{"internal/folder"}, pure...),
	"internal/folder/cards":     append([]string{"internal/folder", "internal/folder/durable"}, pure...),
	"internal/proof/boxmodel":   {"game/entry", "game/rulebook"},
	"internal/proof/seeds":      {},
	"internal/proof/openplay":   {"game/entry", "game/rulebook", "game/rules", "record/audit"},
	"internal/proof/golden":     {},
	"internal/proof/whole":      {"game/entry", "game/rulebook", "game/rules"},
	"internal/locale":           pure,
	"internal/locale/pseudo":    {"internal/locale"},
	"internal/web/limits":       {},
	"internal/web/files":        {},
	"internal/web/status":       {},
	"internal/web/sse":          {},
	"internal/web/carry":        {"internal/api", "internal/locale"},

	"internal/mail":          {},
	"internal/push":          {},
	"internal/push/sender":   {"internal/push"},
	"internal/mail/mailtest": {},
	"internal/mail/queue":    {"internal/mail"},
	"internal/mail/submit":   {"game/datafile", "game/message", "internal/mail"},

	"internal/hub/ledgers":  {"game/entry", "game/message", "record/seal"},
	"internal/hub/office":   {"game/entry", "internal/hub/ledgers"},
	"internal/hub/counted":  {"game/entry", "game/rulebook", "game/rules", "internal/api", "internal/api/season", "internal/bench", "internal/hub/ledgers", "internal/hub/live", "internal/hub/office", "internal/hub/reports", "season/book", "season/league", "season/schedule", "season/tally"},
	"internal/hub/crews":    {"game/entry", "internal/api", "internal/hub/office", "internal/web/carry"},
	"internal/hub/people":   {"game/entry", "internal/hub/ledgers", "internal/hub/office"},
	"internal/hub/passkeys": {"game/entry", "internal/hub/people"},
	"internal/hub/sqlite":   {"internal/hub/ledgers", "internal/hub/tables", "internal/store/sqlite"},
	"internal/hub/tables":   {"game/entry", "internal/hub/ledgers", "internal/hub/office", "internal/hub/people"},

	"internal/hub/people/peopletest": {"game/entry", "internal/hub/ledgers", "internal/hub/office", "internal/hub/people"},

	"internal/hub/hubtest":          {"game/entry", "internal/hub/ledgers", "internal/hub/office"},
	"internal/hub/live":             {"game/entry", "game/rules", "internal/api", "internal/changes", "internal/hub/ledgers", "internal/web/sse"},
	"internal/hub/oidc":             {"game/datafile", "game/message"},
	"internal/hub/reports":          {"game/entry", "internal/hub/ledgers", "internal/hub/live", "record/report", "record/seal"},
	"internal/hub/site":             {"game/dates", "game/entry", "game/message", "internal/api", "internal/hub/counted", "internal/hub/ledgers", "internal/hub/live", "internal/hub/office", "internal/hub/oidc", "internal/hub/passkeys", "internal/hub/people", "internal/hub/reports", "internal/hub/rooms", "internal/hub/roots", "internal/locale", "internal/web/files", "internal/web/sse", "record/seal", "season/league", "season/schedule", "season/standings", "season/tally"},
	"internal/outbox":               {"game/entry", "game/message", "game/rules"},
	"internal/outbox/overhttp":      {"internal/outbox"},
	"internal/hub/copied":           {"internal/folder/durable"},
	"internal/hub/roots":            {"game/entry", "game/message", "internal/hub/ledgers"},
	"internal/hub/nodekeys":         {"internal/folder/durable", "internal/folder/privatefile"},
	"internal/hub/postgres":         {"game/entry", "internal/hub/bus", "internal/hub/copied", "internal/hub/ledgers", "internal/hub/tables", "internal/store"},
	"internal/hub/postgres/private": {},
	"internal/hub/bus":              {},
	"internal/hub/metrics":          {"internal/web/status"},
	"internal/hub/rooms":            {"game/entry", "internal/hub/bus"},
	"internal/hub/traces":           {"internal/web/status"},
	"internal/hub/turns":            {},
	"internal/hub/bus/bustest":      {"internal/hub/bus"},
	"internal/hub/jetstream":        {"internal/hub/bus", "internal/hub/nodekeys"},
	"internal/hub/busnode":          {"internal/folder/durable", "internal/hub/jetstream", "internal/hub/nodekeys"},

	"internal/web":          append([]string{"api", "internal/api", "internal/api/crew", "internal/api/laptop", "internal/api/season", "internal/bench", "internal/changes", "internal/locale", "internal/paper", "internal/seats", "internal/web/carry", "internal/web/files", "internal/web/limits", "internal/web/sse", "internal/web/status"}, pure...),
	"internal/demo":         pure,
	"internal/demo/harbour": pure,
	"internal/tidy":         {},

	"ui":              {},
	"api":             {},
	"cmd/engine":      {"internal/practice", "game/entry"},
	"cmd/press":       {"game/message", "internal/locale", "internal/press", "internal/worker"},
	"cmd/pocket":      {"game/entry", "internal/outbox", "internal/pocket", "internal/store/browser", "internal/worker"},
	"cmd/whistlestop": {"*"},
}

// testsMayImport is what tests may use beyond that.
var testsMayImport = map[string][]string{
	"internal/hub/people":         {"internal/hub/sqlite"},
	"internal/hub/passkeys":       {"internal/hub/ledgers", "internal/hub/office", "internal/hub/sqlite"},
	"internal/hub/sqlite":         {"internal/hub/hubtest", "internal/hub/office", "internal/hub/people/peopletest", "internal/store", "internal/proof/faults"},
	"internal/hub/postgres":       {"internal/hub/hubtest", "internal/hub/office", "internal/hub/people", "internal/hub/people/peopletest", "internal/hub/postgres/private"},
	"internal/hub/bus":            {"internal/hub/bus/bustest"},
	"internal/hub/jetstream":      {"internal/hub/bus/bustest", "internal/hub/busnode", "internal/hub/hubtest", "internal/hub/ledgers", "internal/hub/office", "internal/hub/postgres", "internal/hub/postgres/private"},
	"internal/mail/submit":        {"internal/mail/mailtest"},
	"internal/hub/crews":          {"internal/bench", "crew/duties", "game/dates", "internal/api/crew", "internal/api/season", "internal/demo/harbour", "internal/locale", "record/tables"},
	"internal/hub/site":           {"internal/api/season", "internal/demo", "internal/hub/bus", "internal/hub/sqlite", "internal/lan", "internal/paper"},
	"record/typed":                {"internal/proof/whole"},
	"season/standings":            {"internal/locale", "internal/proof/openplay"},
	"season/figures":              {"internal/proof/openplay"},
	"season/schedule":             {"internal/proof/openplay", "internal/locale"},
	"season/suspensions":          {"internal/proof/openplay", "internal/locale"},
	"season/tally":                {"internal/locale"},
	"season/book":                 {"internal/locale", "season/figures", "season/suspensions"},
	"crew/rota":                   {"internal/proof/openplay"},
	"cmd/engine":                  {"practice/maker", "practice/plot", "internal/api", "game/rulebook", "game/rules"},
	"internal/folder/durable":     {"internal/proof/crashdisk"},
	"internal/mirror":             {"internal/proof/crashdisk", "internal/store/memory", "internal/store/storetest"},
	"internal/folder/privatefile": {"internal/proof/crashdisk"},
	"internal/folder/keyfile":     {"internal/proof/crashdisk", "internal/folder/privatefile"},
	"internal/hub/live":           {"game/rulebook"},
	"internal/proof/hubsim":       {"internal/proof/seeds"},
	"internal/proof/sim":          {"internal/proof/seeds"},
	"internal/paper":              {"internal/proof/papertest"},
	"internal/paper/csv":          {"internal/proof/papertest", "game/entry"},
	"internal/paper/html":         {"internal/proof/papertest", "internal/locale"},
	"internal/paper/pdf":          {"internal/proof/papertest"},
	"internal/paper/xlsx":         {"internal/proof/papertest", "internal/locale", "game/entry"},
	"internal/store/browser":      {"internal/store/storetest"},
	"internal/pocket":             {"internal/store/memory", "internal/locale", "internal/locale/pseudo", "internal/paper/pdf", "internal/press"},
	"internal/press":              {"internal/demo", "internal/locale", "internal/proof/papertest"},
	"internal/proposal":           {"internal/demo", "internal/store/memory"},
	"internal/intake":             {"internal/locale"},
	"internal/store/memory":       {"internal/store/storetest"},
	"internal/store/sqlite":       {"internal/store/storetest", "internal/proof/faults", "internal/demo"},
	"internal/api":                {"internal/store/memory", "internal/demo"},
	"internal/api/season":         {"internal/intake", "internal/store/memory"},
	"internal/api/crew":           {"internal/locale", "internal/push/sender"},
	"internal/api/why":            {"internal/demo"},
	"internal/bench":              {"internal/store/memory", "internal/locale"},
	"internal/locale/pseudo":      {"game/message"},
	"internal/practice":           {"internal/locale/pseudo"},
	"internal/web":                {"internal/locale/pseudo", "internal/store/memory", "internal/demo", "internal/folder/divisions"},
	"internal/demo":               {"internal/store/memory"},
	"game/rules":                  {"internal/proof/boxmodel", "internal/proof/openplay", "internal/locale"},
	"practice/plot":               {"game/rulebook"},
	"practice/maker":              {"internal/proof/whole", "internal/proof/boxmodel", "internal/demo", "internal/locale", "internal/proof/openplay"},
	"practice/grade":              {"internal/proof/whole", "game/rulebook", "practice/maker", "internal/demo", "internal/locale", "internal/proof/openplay"},
	"practice/run":                {"practice/maker", "internal/demo"},
	"practice/rink":               {"game/rulebook", "practice/maker"},
	"practice/progress":           {"practice/maker"},
	"practice/console":            {"internal/demo"},
	"record/rows":                 {"internal/proof/whole"},
	"record/report":               {"internal/proof/openplay", "internal/proof/golden", "internal/proof/whole", "internal/demo"},
	"record/audit":                {"internal/proof/openplay", "internal/proof/golden", "internal/proof/whole", "internal/demo", "internal/locale"},
	"game/slot":                   {"internal/proof/openplay"},
	"game/announce":               {"internal/locale"},
	"internal/folder/cards":       {"internal/locale"},
	"internal/wording":            {"internal/locale"},
	"internal/folder/wallpicture": {"internal/locale"},
	"crew/seating":                {"internal/locale"},
	"season/league":               {"internal/locale"},
	"game/card":                   {"internal/locale"},
	"game/rulebook":               {"internal/locale"},
}

func TestImportsPointDownward(t *testing.T) {
	for _, file := range goFiles(t) {
		allowed, known := mayImport[file.folder]
		if !known {
			t.Errorf("%s: package %s has no place on a floor yet: add it to mayImport", file.path, file.folder)
			continue
		}
		if file.test {
			allowed = append(append([]string{file.folder}, testsMayImport[file.folder]...), allowed...)
		}
		for _, spec := range file.ast.Imports {
			path := importPath(t, spec.Path.Value)
			ours, found := strings.CutPrefix(path, module+"/")
			if found && !contains(allowed, ours) {
				t.Errorf("%s: %s may not import %s", file.at(spec.Pos()), file.folder, ours)
			}
		}
	}
}

// TestCommandsWriteNoTables: a table's rows come from a package that pages use too, and
// its form from the one list of formats.
func TestCommandsWriteNoTables(t *testing.T) {
	for _, file := range goFiles(t) {
		if file.folder != "cmd/whistlestop" || file.test {
			continue
		}
		for _, spec := range file.ast.Imports {
			if path := importPath(t, spec.Path.Value); path == "text/tabwriter" || path == "encoding/csv" {
				t.Errorf("%s: a command writes a table by internal/paper/tables, not by %s", file.at(spec.Pos()), path)
			}
		}
	}
}

// TestEveryFloorIsBuilt keeps the table free of packages that are gone.
func TestEveryFloorIsBuilt(t *testing.T) {
	built := map[string]bool{}
	for _, file := range goFiles(t) {
		built[file.folder] = true
	}
	for folder := range mayImport {
		if !built[folder] {
			t.Errorf("mayImport names %s, which has no Go file", folder)
		}
	}
}

func contains(list []string, one string) bool {
	for _, member := range list {
		if member == "*" || member == one {
			return true
		}
	}
	return false
}

func importPath(t *testing.T, quoted string) string {
	t.Helper()
	path, err := strconv.Unquote(quoted)
	if err != nil {
		t.Fatal(err)
	}
	return path
}
