package audit_test

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/golden"
	"whistlestop/internal/proof/openplay"
	"whistlestop/record/audit"
)

// judged are the kinds of findings on the open data, each finding looked at in
// the events around it: games, and what is behind it. A finding that is not
// listed is false until somebody has looked at it, and a false one is a fault of
// the audit.
var judged = []struct {
	kind  audit.Kind
	total audit.Total // for totals
	games []string    // one for each finding
	why   string
}{
	{audit.EmptyNetUnsaid, "", []string{"P24-117", "P24-146", "P24-146", "P24-158", "P24-160", "P24-169", "P24-171", "P24-181"},
		"A goalkeeper goes out, mostly between periods, and nobody is logged as coming in: a change of goalkeepers of which the record has one half."},
	{audit.EmptyNetKept, "", []string{"P23-009", "P24-183", "P24-186"},
		"The goal is marked as into an empty net, and the goalkeeper is not logged as going out."},
	{audit.Minutes, "", []string{"P23-012", "P23-022", "P23-087", "P24-184"},
		"A foul that was answered by a penalty shot is written with 2 minutes, the book writes none (2); a match penalty is written with the 5 minutes played short, the book writes more (2)."},
	{audit.ServerMissing, "", []string{"P24-147", "P24-151"},
		"A second penalty is left after one was matched, or one comes with a misconduct, and nobody is logged as serving it."},
	{audit.TotalWrong, audit.TotalChances, []string{"P23-057", "P23-059", "P24-122", "P24-135", "P24-150", "P24-151", "P24-151", "P24-161", "P24-188"},
		"The league counts two power plays for one penalty (4), one for a penalty with no time left or that only made the sides equal (2), or none for penalties that had no match in the record (3)."},
}

// TestAuditOfOpenData audits 135 real games, given as anonymous facts with the
// league's own classes, minutes, goalkeepers and totals
// (sportsdataverse/fastRhockey-pwhl-raw, MIT). The table in docs/audit.md is
// made from it.
func TestAuditOfOpenData(t *testing.T) {
	games, err := openplay.Read(openplay.Folder())
	if errors.Is(err, openplay.ErrNone) {
		t.Skip("SKIPPED:", err)
	} else if err != nil {
		t.Fatal(err)
	}
	left := map[string]int{} // findings that were judged, by kind and game
	for _, j := range judged {
		for _, game := range j.games {
			left[fmt.Sprint(j.kind, j.total, game)]++
		}
	}
	findings, wrong := 0, 0
	for _, game := range games {
		list, err := audit.Check(game.Sheet())
		if err != nil {
			t.Fatal(err)
		}
		findings += len(list)
		for i, f := range list {
			total := audit.Total(strings.TrimPrefix(f.What.Args.Get("total"), "@audit.total."))
			key := fmt.Sprint(f.Kind, total, game.ID)
			if left[key]--; left[key] < 0 {
				wrong++
				t.Errorf("nobody has looked at this: %s: %s", game.ID, words(list)[i])
			}
		}
	}
	for key, n := range left {
		if n > 0 {
			t.Errorf("%s is not found any more", key)
		}
	}
	t.Logf("games audited: %d, findings: %d, false: %d", len(games), findings, wrong)
	golden.Part(t, "audit.md", "open", openTable(len(games), findings, wrong))
}

// openTable is the table of findings by kind.
func openTable(games, findings, wrong int) string {
	var b strings.Builder
	b.WriteString("| kind | severity | findings | what is behind them |\n|---|---|---|---|\n")
	for _, j := range judged {
		kind, severity := string(j.kind), severityOf(j.kind)
		if j.total != "" {
			kind, severity = kind+" ("+strings.ReplaceAll(string(j.total), "_", " ")+")", audit.Look
		}
		fmt.Fprintf(&b, "| %s | %s | %d | %s |\n", kind, severity, len(j.games), j.why)
	}
	fmt.Fprintf(&b, "\n```\ngames audited: %d, findings: %d, false: %d\n```\n", games, findings, wrong)
	return b.String()
}

func severityOf(kind audit.Kind) audit.Severity {
	for _, k := range audit.Kinds() {
		if k.Kind == kind {
			return k.Severity
		}
	}
	return ""
}

// TestKindsInTheDocs holds the list of kinds in docs/audit.md to the one that
// the audit has, in the words that people read.
func TestKindsInTheDocs(t *testing.T) {
	var b strings.Builder
	b.WriteString("| kind | severity | why | rule |\n|---|---|---|---|\n")
	for _, k := range audit.Kinds() {
		rule := "arithmetic, or common practice without a source"
		if k.Book != "" {
			code, _ := rulebook.CodeByID(k.Book)
			rule = code.Body + " " + k.Rule
		} else if own[k.Kind] {
			rule = "the game's own code or division"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s |\n", k.Kind, k.Severity, text("audit.why."+string(k.Kind)), rule)
	}
	fmt.Fprintf(&b, "\n%s kinds.\n", strconv.Itoa(len(audit.Kinds())))
	golden.Part(t, "audit.md", "kinds", b.String())
}

// own are the kinds that cite the rule of the code or division that is played.
var own = map[audit.Kind]bool{
	audit.GoalClass: true, audit.Minutes: true, audit.StartTime: true, audit.ReleaseTime: true,
	audit.EjectionUnsaid: true, audit.RosterLong: true, audit.RosterShort: true, audit.TimeOutsMany: true,
	audit.GoalLimit: true, audit.ChoiceUnanswered: true, audit.GoalAfterEnd: true,
}

// text is a sentence with its gaps filled for any game.
func text(key string) string {
	return say(rules.Say{Key: key, Args: rules.Pairs("team", "The side", "mine", "so many", "theirs", "so many")})
}
