// Package dates has days of the calendar, weekdays and times of day as people write
// them in files: 2026-10-03, saturday, 09:15. They are those of the rink's own clock;
// whoever needs an instant adds the zone.
//
//	d, err := dates.Parse("2026-10-03")
package dates
