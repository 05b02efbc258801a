package roster_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/record/roster"
)

// show writes a team on one line each, to compare.
func show(team entry.Team) string {
	var lines []string
	if team.Name != "" {
		lines = append(lines, "team "+team.Name)
	}
	for _, p := range team.Players {
		line := fmt.Sprintf("%s %s", p.Number, p.Name)
		for _, mark := range []string{string(p.Position), string(p.Status)} {
			if mark != "" {
				line += " " + mark
			}
		}
		if p.Captain {
			line += " C"
		}
		if p.Alternate {
			line += " A"
		}
		lines = append(lines, line)
	}
	for _, o := range team.Staff {
		lines = append(lines, string(o.Role)+": "+o.Name)
	}
	return strings.Join(lines, "\n")
}

// TestForms reads the same kind of roster in the forms in which it comes. The
// forms are common practice, no source.
func TestForms(t *testing.T) {
	for _, one := range []struct{ name, text, want string }{
		{"lines", "12 Maren Holt C\n#7 Kit Rowan\n1 - Juno Halvard G\n31, Pim Okonedo (G)\nLior Sandby 9\n4. Tove Marsh D A",
			"12 Maren Holt C\n7 Kit Rowan\n1 Juno Halvard goalkeeper\n31 Pim Okonedo goalkeeper\n9 Lior Sandby\n4 Tove Marsh defence A"},
		{"lines with staff and a title", "Kelp Bay\n\nPlayers\n12 Maren Holt\n13 Ansel Wing suspended\n14 Odile Guest\n15 Kit Late AP\nStaff\nHead coach: Mara Varga\nAssistant coach Iris Toll\nManager Hal Bodmin",
			"team Kelp Bay\n12 Maren Holt\n13 Ansel Wing suspended\n14 Odile Guest\n15 Kit Late affiliate\nhead_coach: Mara Varga\ncoach: Iris Toll\nmanager: Hal Bodmin"},
		{"numbers and commas in names", "12 Holt, Maren\n7 Rowan, Kit", "12 Holt, Maren\n7 Rowan, Kit"},
		{"CSV with a header", "No.,Player,Pos,Status\n12,Maren Holt,C,\n07,\"Rowan, Kit\",LW,Injured\n1,Juno Halvard,Goalie,AP\n",
			"12 Maren Holt forward\n07 Rowan, Kit forward absent\n1 Juno Halvard goalkeeper affiliate"},
		{"other order, other words", "Surname;First Name;Jersey #;Position;C/A\nHolt;Maren;12;Defense;A\nRowan;Kit;7;Centre;\n",
			"12 Maren Holt defence A\n7 Kit Rowan forward"},
		{"a table above which something stands", "Team:\tLanternside\nSeason\t2026\n\nName\tNumber\tRole\nMaren Holt\t12\tPlayer\nMara Varga\t\tHead Coach\nName\tNumber\tRole\nKit Rowan\t7\tGoaltender",
			"team Lanternside\n12 Maren Holt\n7 Kit Rowan goalkeeper\nhead_coach: Mara Varga"},
		{"no header", "12,Maren Holt,D\n7,Kit Rowan,F\n1,Juno Halvard,G", "12 Maren Holt defence\n7 Kit Rowan forward\n1 Juno Halvard goalkeeper"},
		{"no header, names apart", "Maren\tHolt\t12\tC\nKit\tRowan\t7\t\nJuno\tHalvard\t1\t", "12 Maren Holt C\n7 Kit Rowan\n1 Juno Halvard"},
		{"a column of who is dressed", "Number,Name,Dressed\n12,Maren Holt,yes\n7,Kit Rowan,no", "12 Maren Holt\n7 Kit Rowan absent"},
		{"old line ends and a mark", "\ufeffNumber,Name\r12,Maren Holt\r", "12 Maren Holt"},
		{"accents in two ways", "Number,Name\n12,Zoe\u0308 Ångström\n7,Zoë Ångström2", "12 Zoë Ångström\n7 Zoë Ångström2"},
		{"a spreadsheet's numbers", "Number\tName\n7.0\tKit Rowan\n 12 \t Maren   Holt ", "7 Kit Rowan\n12 Maren Holt"},
	} {
		sheet := roster.Paste(roster.Text([]byte(one.text)))
		if got := show(sheet.Team); got != one.want {
			t.Errorf("%s: read\n%s\nwant\n%s", one.name, got, one.want)
		}
		if !roster.Usable(sheet.Findings) {
			t.Errorf("%s: %+v", one.name, sheet.Findings)
		}
	}
}

// TestNothingPrivateIsKept: phone numbers, e-mail addresses and dates of birth are
// left out wherever they stand, said by row and column, and not repeated.
func TestNothingPrivateIsKept(t *testing.T) {
	const secret = "555" // in every number, address and date below
	for text, want := range map[string]string{
		"Number,Name,Pos\n12,Maren Holt kit555@example.invalid,D":       "12 Maren Holt defence",
		"Number,Name\n12,Maren Holt (555) 010-4455":                     "12 Maren Holt",
		"Number,Name\n12,Maren Holt +49 555 0104 455":                   "12 Maren Holt",
		"Number,Name\n12,\"Holt, Maren, tel: 555-0104-55\"":             "12 Holt, Maren",
		"Number,Name,Phone\n12,Maren Holt,555.010.4455":                 "12 Maren Holt",
		"Number,Name,Status\n12,Maren Holt,555 0104 455":                "12 Maren Holt",
		"12 Maren Holt 5550104455 C":                                    "12 Maren Holt C",
		"12 Maren Holt <holt555@example.invalid>":                       "12 Maren Holt",
		"Head coach: Mara Varga mara555@example.invalid\n12 Maren Holt": "12 Maren Holt\nhead_coach: Mara Varga",
		"12,Maren Holt,D,555-0104455\n7,Kit Rowan,F,555-0104456":        "12 Maren Holt defence\n7 Kit Rowan forward",
		"Kelp Bay (contact: 555 0104 455)\n12 Maren Holt":               "",
	} {
		sheet := roster.Paste(text)
		told := fmt.Sprintf("%+v", sheet)
		if strings.Contains(told, secret) || strings.Contains(told, "@") {
			t.Errorf("%q: it is kept: %s", text, told)
		}
		if got := show(sheet.Team); want != "" && got != want {
			t.Errorf("%q: read\n%s\nwant\n%s", text, got, want)
		}
		if !strings.Contains(told, "roster.dropped_") {
			t.Errorf("%q: nothing is said: %s", text, told)
		}
	}
	for _, birth := range []string{
		"2012-03-04", "04.03.2012", "3/4/2012", "3/4/12", "4 Mar 2012", "March 4, 2012", "born 2012", "(2012)", "*2012", "DOB: 04.03.12", "geb. 2012",
		"12-Mar-2012",
	} {
		for _, text := range []string{"Number,Name\n12,\"Maren Holt " + birth + "\"", "12 Maren Holt " + birth, "Number\tName\tNote\n12\tMaren Holt\t" + birth} {
			sheet := roster.Paste(text)
			if got := show(sheet.Team); got != "12 Maren Holt" || !strings.Contains(fmt.Sprint(sheet.Findings), "roster.dropped_birth") {
				t.Errorf("%q: read %q, %+v", text, got, sheet.Findings)
			}
		}
	}
	for _, text := range []string{"12 Maren Holt", "7 Kit Rowan-Holt", "99 A. B. Windle III", "1 Jo D'Arcy 2nd"} {
		if sheet := roster.Paste(text); strings.Contains(fmt.Sprint(sheet.Findings), "dropped") {
			t.Errorf("%q: %+v", text, sheet.Findings)
		}
	}
}

// TestTitlesMarksAndLanguages reads what stands above, in and beside the names.
func TestTitlesMarksAndLanguages(t *testing.T) {
	for text, want := range map[string]string{
		"Kelp Bay - Team Roster 2026/27\nNumber,Name,Pos\n12,Maren Holt [C],D":               "team Kelp Bay\n12 Maren Holt defence C",
		"Roster: Kelp Bay\nNumber,Name,Pos\n12,(A) Maren Holt,D":                             "team Kelp Bay\n12 Maren Holt defence A",
		"TEAM ROSTER\nLanternside\nNumber,Name,Pos\n12,\"Maren Holt (C, D)\",\n7,Kit Rowan,": "team Lanternside\n12 Maren Holt defence C\n7 Kit Rowan",
		"Number,Name,Pos\n1,A B,Torhüter\n2,C D,Verteidiger\n3,E F,Stürmer":                  "1 A B goalkeeper\n2 C D defence\n3 E F forward",
		"Number,Name,Pos\n1,A B,gardienne\n2,C D,Défenseur\n3,E F,ailier":                    "1 A B goalkeeper\n2 C D defence\n3 E F forward",
		"Number,Name,Pos\n1,A B,Maalivahti\n2,C D,puolustaja\n3,E F,Hyökkääjä":               "1 A B goalkeeper\n2 C D defence\n3 E F forward",
		"Number,Name,Pos\n1,A B,Вратарь\n2,C D,защитник\n3,E F,нападающий":                   "1 A B goalkeeper\n2 C D defence\n3 E F forward",
		"Number,Name,Pos\n1,A B,brankář\n2,C D,obránce\n3,E F,útočník":                       "1 A B goalkeeper\n2 C D defence\n3 E F forward",
	} {
		if got := show(roster.Paste(text).Team); got != want {
			t.Errorf("%q: read\n%s\nwant\n%s", text, got, want)
		}
	}
}

// TestFortyPlayersAreRemarked: that is two teams, or one twice.
func TestFortyPlayersAreRemarked(t *testing.T) {
	for count, want := range map[int]bool{20: false, 30: false, 40: true} {
		var text strings.Builder
		for i := range count {
			fmt.Fprintf(&text, "%d Player %s\n", i+1, strings.Repeat("x", i+1))
		}
		sheet := roster.Paste(text.String())
		findings := sheet.Check(rulebook.Division{})
		if got := strings.Contains(fmt.Sprint(findings), "roster.many_players"); got != want || !roster.Usable(findings) {
			t.Errorf("%d players: %+v", count, findings)
		}
	}
}

// TestMistakes points at each mistake by its row and column.
func TestMistakes(t *testing.T) {
	division := rulebook.Division{Name: "Under 14", Limits: rulebook.Limits{Dressed: 3, LeastSkaters: 2, LeastPlayers: 2}}
	for _, one := range []struct {
		name, text string
		key        string
		level      roster.Level
		row, col   int
	}{
		{"the same number twice", "Number,Name\n7,Kit Rowan\n7,Maren Holt", "roster.number_twice", roster.Mistake, 3, 1},
		{"7 and 07 are two sweaters", "Number,Name\n7,Kit Rowan\n07,Maren Holt", "roster.no_goalkeeper", roster.Look, 0, 0},
		{"out of form", "Name,Number\nKit Rowan,seven", "roster.bad_number", roster.Mistake, 2, 2},
		{"three digits", "Number,Name\n123,Kit Rowan", "roster.bad_number", roster.Mistake, 2, 1},
		{"three digits in a line", "8 Maren Holt\n123 Kit Rowan", "roster.bad_number", roster.Mistake, 2, 0},
		{"no number", "Number,Name\n,Kit Rowan", "roster.no_number", roster.Mistake, 2, 1},
		{"no name", "Number,Name\n\n7,", "roster.no_name", roster.Look, 3, 2},
		{"a position that there is not", "Number,Name,Pos\n7,Kit Rowan,QB", "roster.bad_position", roster.Mistake, 2, 3},
		{"a status that there is not", "Number,Name,Status\n7,Kit Rowan,hungry", "roster.bad_status", roster.Mistake, 2, 3},
		{"a letter that there is not", "Number,Name,Letter\n7,Kit Rowan,Q", "roster.bad_letter", roster.Mistake, 2, 3},
		{"neither dressed nor not", "Number,Name,Dressed\n7,Kit Rowan,perhaps", "roster.bad_dressed", roster.Mistake, 2, 3},
		{"suspended and dressed", "Number,Name,Status,Dressed\n7,Kit Rowan,suspended,yes", "roster.suspended_dressed", roster.Mistake, 2, 4},
		{"absent and dressed", "Number,Name,Status,Dressed\n7,Kit Rowan,injured,x", "roster.absent_dressed", roster.Mistake, 2, 4},
		{"suspended, and dressed in another row", "Number,Name,Status\n7,Kit Rowan,suspended\n8,Kit  ROWAN,", "roster.suspended_again", roster.Mistake, 3, 2},
		{"one name, two numbers", "Number,Name\n7,Kit Rowan\n8,Kit Rowan", "roster.name_twice", roster.Look, 3, 2},
		{"more than the division allows", "Number,Name,Status\n1,A B,\n2,C D,\n3,E F,\n4,G H,absent\n5,I J,", "roster.too_many_dressed", roster.Mistake, 6, 3},
		{"three goalkeepers", "Number,Name,Pos\n1,A B,G\n2,C D,G\n3,E F,G", "roster.too_many_goalkeepers", roster.Look, 4, 3},
		{"no goalkeeper", "Number,Name\n1,A B", "roster.no_goalkeeper", roster.Look, 0, 0},
		{"too few skaters", "Number,Name,Pos\n1,A B,G\n2,C D,", "roster.too_few_skaters", roster.Look, 0, 0},
		{"too few players", "Number,Name,Pos\n1,A B,G", "roster.too_few_players", roster.Look, 0, 0},
		{"two captains", "1 A B C\n2 C D C", "roster.two_captains", roster.Look, 2, 0},
		{"four alternates", "1 A B A\n2 C D A\n3 E F A\n4 G H A", "roster.many_alternates", roster.Look, 0, 0},
		{"a captain who is away", "Number,Name,Status,Letter\n1,A B,absent,C", "roster.captain_away", roster.Look, 2, 4},
		{"staff without a name", "Number,Name,Role\n1,A B,\n,,Head coach", "roster.nameless_staff", roster.Mistake, 3, 2},
		{"a column nobody knows", "Number,Name,Shoe\n1,A B,42", "roster.column_unused", roster.Look, 1, 3},
		{"a cell like a book", "Number,Name\n1," + strings.Repeat("long ", 50), "roster.too_long", roster.Mistake, 2, 2},
		{"a long name", "Number,Name\n1," + strings.Repeat("long", 30), "roster.long_name", roster.Mistake, 2, 2},
		{"nobody", "Number,Name\n", "roster.nobody", roster.Mistake, 0, 0},
		{"nothing", "", "roster.nobody", roster.Mistake, 0, 0},
		{"too many rows", strings.Repeat("7,Kit Rowan\n", 1100), "roster.too_many_rows", roster.Mistake, 1001, 0},
		{"too many lines", strings.Repeat("7 Kit Rowan\n", 1100), "roster.too_many_rows", roster.Mistake, 1001, 0},
		{"too many columns", "Number,Name" + strings.Repeat(",x", 1000), "roster.too_many_columns", roster.Mistake, 1, 0},
		{"a text like a book", strings.Repeat("x", 2<<20), "roster.text_too_long", roster.Mistake, 0, 0},
	} {
		sheet := roster.Paste(one.text)
		findings := sheet.Check(division)
		found := false
		for _, f := range findings {
			found = found || f.Say.Key == one.key && f.Level == one.level && f.Row == one.row && f.Column == one.col
		}
		if !found {
			t.Errorf("%s: no %s of level %s at row %d, column %d in %+v", one.name, one.key, one.level, one.row, one.col, findings)
		}
	}
}

// TestSeventyPlayers are more than an entry takes.
func TestSeventyPlayers(t *testing.T) {
	team := entry.Team{Name: "Kelp Bay"}
	for i := range 70 {
		team.Players = append(team.Players, entry.Player{Number: entry.Jersey(fmt.Sprint(i)), Name: fmt.Sprint("Player ", i)})
	}
	findings := roster.Check(team, rulebook.Division{})
	if roster.Usable(findings) {
		t.Errorf("%+v", findings)
	}
	if findings := roster.Check(entry.Team{Players: []entry.Player{{Name: "Kit Rowan"}}}, rulebook.Division{}); roster.Usable(findings) {
		t.Error("a player without a number is usable")
	}
}

func TestText(t *testing.T) {
	for raw, want := range map[string]string{
		"\xff\xfeZ\x00\xe4\x00": "Zä", "\xfe\xff\x00Z\x00\xe4": "Zä", "Z\xe4 \x80\x9e": "Zä €ž", "\ufeffZä": "Zä", "": "",
	} {
		if got := roster.Text([]byte(raw)); got != want {
			t.Errorf("%q reads %q, want %q", raw, got, want)
		}
	}
}

// TestUsableIsTaken holds that a roster without mistakes can be posted: an entry
// takes it.
func TestUsableIsTaken(t *testing.T) {
	cell := rapid.OneOf(rapid.StringMatching(`[0-9]{0,3}`), rapid.SampledFrom([]string{
		"Kit Rowan", "Maren Holt", "G", "D", "C", "A", "suspended", "Head coach", "", "#7", "No. 12", "Number", "Name", "Pos", "yes",
		"=1+1", "<script>", "Łucja (C)", "\u202ename", "a\tb", "x\ny",
	}), rapid.String())
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, 0, 5), 0, 12).Draw(t, "rows")
		sheet := roster.Cells(rows)
		taken(t, sheet)
		var text strings.Builder
		for _, row := range rows {
			text.WriteString(strings.Join(row, rapid.SampledFrom([]string{" ", ",", ";", "\t"}).Draw(t, "between")) + "\n")
		}
		taken(t, roster.Paste(text.String()))
	})
}

type failer interface{ Errorf(string, ...any) }

func taken(t failer, sheet roster.Sheet) {
	if !roster.Usable(sheet.Check(rulebook.Division{})) {
		return
	}
	if sheet.Team.Name == "" {
		sheet.Team.Name = "Kelp Bay"
	}
	e := entry.Entry{ID: "01JD0000000000000000000000", Body: entry.RosterSet{Side: entry.Home, Team: sheet.Team}}
	if err := e.Validate(); err != nil {
		t.Errorf("%v: %+v", err, sheet.Team)
	}
}

func FuzzPaste(f *testing.F) {
	for _, text := range []string{
		"12 Maren Holt C\n", "No.,Player\n12,\"Holt, Maren\"\n", "\xff\xfeZ\x00", "Team:\tX\nName\tNumber\n", "\"", "Head coach:", "#", "()", "1 ()",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, raw []byte) { taken(t, roster.Paste(roster.Text(raw))) })
}
