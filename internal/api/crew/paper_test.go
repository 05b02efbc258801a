package crew_test

import (
	"strings"
	"testing"
)

// The week, the slips and the balance as tables for a PDF say what the page says; the
// week names nobody whole, and a part of the balance has its last day.
func TestSheetsAsTables(t *testing.T) {
	d := made(t)
	rules := string(read(t, crewOfTests)) + "\n[[pot]]\nname = \"Before the new year\"\namount = 2\nby = \"2026-12-31\"\n"
	d.must("PUT", "/api/crew/rules/file", map[string]string{"text": rules}, nil)
	one := of(d.rota(), "Maren Holt")[0]
	page := func(query string) (text string) {
		t.Helper()
		d.must("GET", "/api/crew/sheet?"+query+"&as=pdf", nil, &text)
		return text
	}
	week := page("day=" + one.Day)
	if !strings.Contains(week, "Maren H") || strings.Contains(week, "Maren Holt") || !strings.Contains(week, one.Day) {
		t.Error(week)
	}
	slips := page("what=slips&day=" + one.Day)
	if !strings.Contains(slips, "Maren Holt") || strings.Count(slips, "-") < 10 {
		t.Error(slips)
	}
	balance := page("what=balance")
	if !strings.Contains(balance, "Before the new year, by 2026-12-31") || !strings.Contains(balance, "Holt|2|0|") {
		t.Error(balance)
	}
	var empty string
	d.must("GET", "/api/crew/sheet?day=2030-01-01&as=pdf", nil, &empty)
	if !strings.Contains(empty, "No games in this week.") {
		t.Error(empty)
	}
}
