package tidy

import (
	"go/ast"
	"slices"
	"strings"
	"testing"
)

// others are the switches over bodies that may end with a default, and why the
// kinds that they do not name are rightly all the same to them. A new kind is to be
// thought of everywhere else; here it was thought of once and for all.
var others = []struct {
	why   string
	where []string
}{
	{"what else there is to know stands in the row of the kind, and is asked for there", []string{
		"game/card/view.go step", // what changes the rink's board
		"internal/bench/crossed.go orderOf",
		"internal/bench/fill.go fillOne", // a moment left open is that at which it was entered
	}},
	{"a number or a name of a body that it leaves out fails TestEveryNumberSideAndNameIsKnown", []string{
		"game/entry/numbers.go MapNumbers", "game/entry/texts.go MapBody",
	}},
	{"a text that it leaves out fails TestNoTextOfAnEntryReachesWhoMayNotReadIt", []string{
		"internal/api/view.go withoutStates",
	}},
	{"a bench fills in no more than these beyond what may be posted; all else is held against what may", []string{
		"game/entry/line.go Bounds", "internal/bench/same.go comparable",
	}},
	{"edits are looked for, of whatever they are (Kind.Edits)", []string{
		"game/rules/settle.go settle", "game/rules/consider.go refusal", "internal/bench/rights.go forbids",
	}},
	{"goals and calls are looked for: what happens at a moment of play (Row.Filed)", []string{
		"game/rules/fold.go whistles", "game/rules/sentence.go sentences", "internal/proof/sim/acts.go workBook",
		"practice/rink/lineup.go named", "practice/rink/lineup.go ending", "practice/rink/stop.go read",
	}},
	{"rosters and signatures are looked for, where people are named", []string{
		"game/rules/withdrawn.go withdrawnNumbers", "record/report/ledger.go ledger",
	}},
	{"the course of the clock is followed, which nothing else moves (Row.Fill)", []string{
		"game/slot/observe.go observe", "internal/proof/sim/audit.go clocks", "internal/proof/sim/audit.go sameAsOffered",
		"practice/grade/time.go follow", "practice/grade/drop.go nothingNew", "record/report/stoppages.go step",
		"record/report/build.go head", "internal/store/sqlite/store.go settles",
	}},
	{"it has a place of its own in what is written, and all else has none", []string{
		"game/card/happenings.go take", "game/card/view.go settle", // a template of the rink card
		"game/rules/book.go book",         // a list of the book, of what its row files there
		"record/report/build.go log",      // a list of the report
		"internal/api/why/until.go until", // a part in who sits in the box
	}},
	{"a practice asks for these skills and plays these seats, and a plot can say no more", []string{
		"practice/maker/cover.go entries", "practice/maker/replay.go walk", "practice/run/others.go postDue",
		"practice/grade/drop.go settled",
	}},
}

// TestSwitchesOverBodiesAreWhole: whoever goes by what an entry says names every
// kind of body, or stands above with the reason why it has a default. Where neither
// is so, a new kind would slip through unseen.
func TestSwitchesOverBodiesAreWhole(t *testing.T) {
	allowed := map[string]bool{}
	for _, group := range others {
		for _, place := range group.where {
			if _, twice := allowed[place]; twice {
				t.Errorf("%s is listed twice", place)
			}
			allowed[place] = false // not seen yet
		}
	}
	bodies := bodyTypes(t)
	seen := 0
	for _, file := range goFiles(t) {
		if file.test {
			continue
		}
		for _, declaration := range file.ast.Decls {
			name := file.path + " "
			if function, is := declaration.(*ast.FuncDecl); is {
				name += function.Name.Name
			}
			ast.Inspect(declaration, func(n ast.Node) bool {
				choice, is := n.(*ast.TypeSwitchStmt)
				if !is {
					return true
				}
				named, rest := casesOf(choice, file.folder == "game/entry")
				missing := slices.DeleteFunc(slices.Clone(bodies), func(name string) bool { return slices.Contains(named, name) })
				if len(missing) == len(bodies) {
					return true
				}
				seen++
				_, listed := allowed[name]
				switch {
				case rest && listed:
					allowed[name] = true
				case rest:
					t.Errorf("%s: the switch of %s has a default for %s: name every kind, ask the row of the kind, or list it here with the reason",
						file.at(choice.Pos()), name, strings.Join(missing, ", "))
				case len(missing) > 0:
					t.Errorf("%s: the switch leaves out %s: name them", file.at(choice.Pos()), strings.Join(missing, ", "))
				}
				return true
			})
		}
	}
	for place, found := range allowed {
		if !found {
			t.Errorf("%s is listed and has no switch over bodies with a default", place)
		}
	}
	if seen < 10 {
		t.Errorf("only %d switches over bodies were found", seen)
	}
}

// bodyTypes lists the names of all body types.
func bodyTypes(t *testing.T) (bodies []string) {
	t.Helper()
	for _, file := range goFiles(t) {
		if file.folder != "game/entry" || file.test {
			continue
		}
		for _, declaration := range file.ast.Decls {
			method, is := declaration.(*ast.FuncDecl)
			if !is || method.Recv == nil || method.Name.Name != "Kind" {
				continue
			}
			if of, is := method.Recv.List[0].Type.(*ast.Ident); is && of.Name != "Entry" {
				bodies = append(bodies, of.Name)
			}
		}
	}
	if len(bodies) < 30 {
		t.Fatalf("only %d bodies were found: the test shows nothing", len(bodies))
	}
	return bodies
}

// casesOf lists the types of the package game/entry that a switch names, and says
// whether it has a default.
func casesOf(choice *ast.TypeSwitchStmt, inside bool) (named []string, rest bool) {
	for _, clause := range choice.Body.List {
		list := clause.(*ast.CaseClause).List
		rest = rest || list == nil
		for _, one := range list {
			switch of := one.(type) {
			case *ast.SelectorExpr:
				if from, is := of.X.(*ast.Ident); is && from.Name == "entry" {
					named = append(named, of.Sel.Name)
				}
			case *ast.Ident:
				if inside {
					named = append(named, of.Name)
				}
			default:
			}
		}
	}
	return named, rest
}
