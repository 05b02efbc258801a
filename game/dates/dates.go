package dates

import (
	"fmt"
	"strings"
	"time"

	"whistlestop/game/message"
)

// Day is a day of the calendar, counted from 1 January 1970.
type Day int

const dayText = "2006-01-02"

// Parse reads a day as ISO 8601 writes it: 2026-10-03.
func Parse(text string) (Day, error) {
	at, err := time.Parse(dayText, text)
	if err != nil || at.Year() < 1970 {
		return 0, message.New("when.day", "text", message.Plain(text))
	}
	return Day(at.Unix() / (24 * 60 * 60)), nil
}

// UnmarshalText reads a day, in quotes or as a date of TOML's own.
func (d *Day) UnmarshalText(text []byte) (err error) {
	// TOML's own dates come with a time of day that nobody wrote.
	date, _, _ := strings.Cut(string(text), "T00:00:00")
	*d, err = Parse(date)
	return err
}

// MarshalText writes a day as ISO 8601 does.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

func (d Day) String() string { return d.utc().Format(dayText) }

// Weekday is the day of the week.
func (d Day) Weekday() time.Weekday { return d.utc().Weekday() }

// Week counts weeks that begin on a Monday.
func (d Day) Week() int { return int(d+3) / 7 }

func (d Day) utc() time.Time { return time.Unix(int64(d)*24*60*60, 0).UTC() }

// In is the instant of a time of this day, in minutes after midnight, where the
// clocks are those of the zone.
func (d Day) In(zone *time.Location, minutes int) time.Time {
	at := d.utc()
	return time.Date(at.Year(), at.Month(), at.Day(), minutes/60, minutes%60, 0, 0, zone)
}

// Clock is a time of day in minutes after midnight.
type Clock int

// UnmarshalText reads a time of day: 09:15.
func (c *Clock) UnmarshalText(text []byte) error {
	at, err := time.Parse("15:04", string(text))
	if err != nil {
		return message.New("when.time_of_day", "text", message.Plain(string(text)))
	}
	*c = Clock(at.Hour()*60 + at.Minute())
	return nil
}

// MarshalText writes a time of day as 09:15.
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", c/60, c%60) }

// Weekday is a day of the week as a league file names it.
type Weekday time.Weekday

// UnmarshalText reads the English name of a weekday in small letters.
func (w *Weekday) UnmarshalText(text []byte) error {
	for one := time.Sunday; one <= time.Saturday; one++ {
		if strings.EqualFold(string(text), one.String()) {
			*w = Weekday(one)
			return nil
		}
	}
	return message.New("when.weekday", "text", message.Plain(string(text)))
}

func (w Weekday) String() string { return strings.ToLower(time.Weekday(w).String()) }
