package duties

import (
	"slices"

	"whistlestop/game/dates"
)

// Status is how a duty stands with a person.
type Status string

// How a duty can stand with a person.
const (
	NotAsked Status = "not_asked"
	Waiting  Status = "waiting" // for an answer
	Yes      Status = "yes"
	No       Status = "no"
	Spare    Status = "spare" // yes, unless somebody else takes it
)

// Standing is how a duty stands with a person.
type Standing struct {
	Status    Status
	Told      *Visit    // as they know it
	Last      Moment    // when they were told last
	Reminders int       // since they were asked
	Changes   int       // how often anything changed, for a calendar's sequence
	Mark      Kind      // Came, Missed, or nothing yet
	Left      *Moment   // when they said no, if that is how it stands
	marked    dates.Day // when Mark was noted
	off       *Visit    // as they knew it before they were released
	earlier   []Visit   // as they knew it before it was moved
}

type key struct {
	game, seat string
	who        Who
}

// Book is a log worked out: how each duty stands with each person.
type Book struct {
	standings map[key]Standing
	order     []key // as they came, without the questions whether people stay
	season    *Event
}

// Work works a log out.
func (l Log) Work() Book {
	b := Book{standings: map[key]Standing{}}
	for i, e := range l.Events {
		if e.Kind == Season {
			b.season = &l.Events[i]
			continue
		}
		b.note(e)
	}
	return b
}

// note works one event in.
func (b *Book) note(e Event) {
	k := key{e.Game, e.Seat, e.Who}
	s, known := b.standings[k]
	if !known {
		s.Status = NotAsked
		if e.Seat != StaySeat {
			b.order = append(b.order, k)
		}
	}
	b.standings[k] = s.after(e)
}

// Of is how a duty stands with a person.
func (b Book) Of(game, seat string, who Who) Standing {
	s, known := b.standings[key{game, seat, who}]
	if !known {
		s.Status = NotAsked
	}
	return s
}

func (s Standing) after(e Event) Standing {
	if e.Kind != Reminded && e.Kind != Came && e.Kind != Missed && e.Kind != Unmarked {
		s.Changes++
	}
	if e.Kind == Asked || e.Kind == Accepted || e.Kind == Offered || e.Kind == Released {
		s.Left = nil
	}
	switch e.Kind {
	case Asked:
		if s.Told != nil && *s.Told != *e.Told {
			s.earlier = append(slices.Clip(s.earlier), *s.Told)
		}
		s.Status, s.Told, s.Last, s.Reminders = Waiting, e.Told, e.At, 0
	case Reminded:
		s.Told, s.Last, s.Reminders = e.Told, e.At, s.Reminders+1
	case Released:
		s.Status, s.off, s.Told = NotAsked, s.Told, nil
	case Accepted:
		s.Status = Yes
		if e.Told != nil {
			s.Told = e.Told
		}
	case Declined:
		s.Status, s.Left = No, &e.At
	case Offered:
		s.Status = Spare
	case Came, Missed:
		s.Mark, s.marked = e.Kind, e.At.Day
	case Unmarked:
		s.Mark = ""
	case Season: // of nobody's duty
	}
	return s
}

// reckonsWith: the person thinks that they come, or may have to.
func (s Standing) reckonsWith() bool {
	return s.Status == Waiting || s.Status == Yes || s.Status == Spare
}

// Count is what a family did and promised.
type Count struct {
	Done     int // came
	Missed   int
	Unmarked int // over, and nobody said whether they came
	Promised int // said yes
	Open     int // theirs by the rota, without a yes
}

// Counts adds the duties up by families.
func Counts(list []Duty, b Book, now Moment) map[string]Count {
	return Sums(list, b, now, func(int) int { return 1 })
}

// Sums is Counts where duties do not all count the same: worth is what a duty of the
// list does.
func Sums(list []Duty, b Book, now Moment, worth func(duty int) int) map[string]Count {
	counts := map[string]Count{}
	for i, d := range list {
		if d.Name == "" {
			continue
		}
		c, n := counts[d.Family], worth(i)
		switch b.phase(d, now) {
		case Came:
			c.Done += n
		case Missed:
			c.Missed += n
		case Unmarked:
			c.Unmarked += n
		case Accepted:
			c.Promised += n
		case Asked, Reminded, Released, Declined, Offered, Season:
			c.Open += n
		}
		counts[d.Family] = c
	}
	return counts
}

// phase is how far a duty is for whoever has it: Came, Missed, Unmarked once it is
// over, Accepted, or Asked.
func (b Book) phase(d Duty, now Moment) Kind {
	s := b.Of(d.Game, d.Seat, d.Who)
	switch {
	case s.Mark == Came || s.Mark == Missed:
		return s.Mark
	case d.Moment().Compare(now) <= 0:
		return Unmarked
	case s.Status == Yes || s.Status == Spare:
		return Accepted
	}
	return Asked
}

// LeftLate are the duties to which somebody said no less than so many hours before,
// in the order in which they were asked.
func (b Book) LeftLate(hours int) []Duty {
	var list []Duty
	for _, k := range b.order {
		s := b.standings[k]
		if s.Left == nil || s.Told == nil || s.Told.Moment().After(*s.Left) >= 60*hours {
			continue
		}
		list = append(list, Duty{k.game, k.seat, *s.Told, k.who})
	}
	return list
}

// Entry is a duty in a person's calendar.
type Entry struct {
	Duty
	Sequence  int
	Confirmed bool
	Cancelled bool // they were told that they need not come
}

// calendarDays is how long a calendar keeps what was cancelled: long enough for
// programs that look once a day (from memory), ours.
const calendarDays = 30

// Calendar is a person's duties, and for a while those that they need not do.
func Calendar(list []Duty, b Book, who Who, now Moment) []Entry {
	var entries []Entry
	have := map[key]bool{}
	for _, d := range list {
		s := b.Of(d.Game, d.Seat, who)
		if d.Who == who && s.Status != No {
			have[key{d.Game, d.Seat, who}] = true
			entries = append(entries, Entry{Duty: d, Sequence: s.Changes, Confirmed: s.Status == Yes || s.Status == Spare})
		}
	}
	for _, k := range b.order {
		s := b.standings[k]
		was := s.off
		if was == nil {
			was = s.Told
		}
		if k.who == who && !have[k] && was != nil && was.Day >= now.Day-calendarDays {
			entries = append(entries, Entry{Duty: Duty{k.game, k.seat, *was, who}, Sequence: s.Changes + 1, Cancelled: true})
		}
	}
	return entries
}

// known are all times and rinks that the person was ever told.
func (s Standing) known() []Visit {
	list := slices.Clone(s.earlier)
	for _, v := range []*Visit{s.Told, s.off} {
		if v != nil && !slices.Contains(list, *v) {
			list = append(list, *v)
		}
	}
	return list
}

// Came are the duties to which people came, with the day as they knew it, or on which
// it was noted, in the order of the log.
func (b Book) Came() []Duty {
	var list []Duty
	for _, k := range b.order {
		s := b.standings[k]
		if s.Mark != Came {
			continue
		}
		d := Duty{Game: k.game, Seat: k.seat, Who: k.who, Visit: Visit{Day: s.marked}}
		if s.Told != nil {
			d.Visit = *s.Told
		}
		list = append(list, d)
	}
	return list
}
