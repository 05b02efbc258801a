package dates_test

import (
	"testing"
	"time"

	"whistlestop/game/dates"
)

func TestDays(t *testing.T) {
	for text, want := range map[string]time.Weekday{"2026-11-28": time.Saturday, "2027-02-28": time.Sunday, "2028-02-29": time.Tuesday} {
		day, err := dates.Parse(text)
		if err != nil || day.Weekday() != want || day.String() != text {
			t.Errorf("%s: %v, %s, %v", text, day.Weekday(), day, err)
		}
	}
	for _, text := range []string{"2027-02-29", "28.11.2026", "", "1969-12-31"} {
		if day, err := dates.Parse(text); err == nil {
			t.Errorf("%q is read as %s", text, day)
		}
	}
	// Weeks begin on Monday: ISO 8601.
	sunday, _ := dates.Parse("2026-11-29")
	if sunday.Week() != (sunday-6).Week() || sunday.Week()+1 != (sunday+1).Week() {
		t.Error("a week does not run from Monday to Sunday")
	}
	zone, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Skip("no zones here: ", err)
	}
	// The clocks go back on 25 October 2026: the same time of day is another instant of the world.
	before, _ := dates.Parse("2026-10-24")
	if got := (before + 1).In(zone, 600).Sub(before.In(zone, 600)); got != 25*time.Hour {
		t.Errorf("10:00 to 10:00 over the change of clocks is %s", got)
	}
}
