package desk

import (
	"slices"
	"strings"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/season/league"
)

// Desk is a rota that people know, with what was said of it, at a moment.
type Desk struct {
	Rota
	Duties []duties.Duty // one for each slot of the plan
	Log    duties.Log
	Now    duties.Moment
}

// Open puts a desk together.
func Open(l league.League, plan *seating.Plan, kept []seating.Duty, log duties.Log, now duties.Moment) *Desk {
	d := &Desk{Rota: Hold(l, plan, kept), Log: log, Now: now}
	for i, slot := range plan.Slots {
		g := plan.Games[slot.Game]
		one := duties.Duty{Game: g.ID, Seat: slot.Seat.ID, Visit: duties.Visit{Day: g.Day, There: There(plan, i), Rink: g.Rink}}
		if v := d.Who[i]; v != rota.Nobody {
			one.Who = whoOf(plan.People[v])
		}
		d.Duties = append(d.Duties, one)
	}
	return d
}

// There is when the person of a slot has to be at the rink.
func There(plan *seating.Plan, slot int) dates.Clock {
	s := plan.Slots[slot]
	return dates.Clock(max(0, int(plan.Games[s.Game].Start)-s.Seat.Before))
}

func whoOf(one people.Person) duties.Who { return duties.Who{Name: one.Name, Family: one.Family} }

// Due are the messages that are to go out now.
func (d *Desk) Due() []duties.Message {
	book := d.Log.Work()
	return duties.Due(slices.Concat(d.Duties, book.Stays(d.everybody())), book, d.Now)
}

// everybody is all people of the plan.
func (d *Desk) everybody() []duties.Who {
	list := make([]duties.Who, len(d.Plan.People))
	for i, one := range d.Plan.People {
		list[i] = whoOf(one)
	}
	return list
}

// Sent notes messages as sent.
func (d *Desk) Sent(list []duties.Message) {
	d.Log.Events = append(d.Log.Events, duties.Sent(list, d.Now)...)
}

// Instead are the messages that ask people to take a slot.
func (d *Desk) Instead(slot int, list []Choice) []duties.Message {
	var messages []duties.Message
	for _, one := range list {
		asked := d.Duties[slot]
		asked.Who = whoOf(d.Plan.People[one.Person])
		messages = append(messages, duties.Message{Who: asked.Who, Lines: []duties.Line{{About: duties.Ask, Duty: asked}}})
	}
	return messages
}

// Others are the rest of a game's crew: first name and initial, no more.
func (d *Desk) Others(one duties.Duty) []string {
	var names []string
	for _, o := range d.Duties {
		if o.Game == one.Game && o.Seat != one.Seat && o.Name != "" {
			names = append(names, Short(o.Name))
		}
	}
	return names
}

// Short is a name as others of the crew see it: the first name, and the initial of
// the last.
func Short(name string) string {
	parts := strings.Fields(name)
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return parts[0] + " " + string([]rune(parts[len(parts)-1])[:1])
}

// Needed says whether a game waits for a seat.
func (d *Desk) Needed(seat string) bool {
	return slices.ContainsFunc(d.Plan.Rules.Seats, func(s seating.Seat) bool { return s.ID == seat && s.Need == "must" })
}

// Take reads answers out of what people sent and notes them: in the log, and in the
// duties as they are then.
func (d *Desk) Take(text string) []duties.Reply {
	asked := slices.Concat(d.Duties, d.Log.Work().Stays(d.everybody()))
	replies, after, events := d.Log.Take(text, asked, d.Now, func(list []duties.Duty, slot int, who duties.Who) bool {
		list = list[:len(d.Duties)]
		at := d.place(who)
		return slot < len(list) && at >= 0 && d.Plan.Why(slot, at) == "" && len(rota.Against(d.Plan.Problem, d.sitting(list), slot, at)) == 0
	})
	d.Duties = after[:len(d.Duties)]
	d.Log.Events = append(d.Log.Events, events...)
	d.Who = d.sitting(after)
	return replies
}

// place is somebody's place in the plan; -1, which is rota.Nobody, where they have none.
func (d *Desk) place(who duties.Who) int {
	return slices.IndexFunc(d.Plan.People, func(one people.Person) bool { return whoOf(one) == who })
}

// sitting are the people of duties by their place in the plan.
func (d *Desk) sitting(list []duties.Duty) []int {
	who := make([]int, len(list))
	for slot, one := range list {
		who[slot] = d.place(one.Who)
	}
	return who
}

// Kept is a rota as it is with the duties of the desk. What the desk does not have,
// for example of other months, stays.
func (d *Desk) Kept(kept []seating.Duty) []seating.Duty {
	said := d.Log.Work()
	kept = slices.Clone(kept)
	for _, one := range d.Duties {
		status := said.Of(one.Game, one.Seat, one.Who).Status
		now := seating.Duty{Game: one.Game, Seat: one.Seat, Name: one.Name, Family: one.Family}
		at := slices.IndexFunc(kept, func(k seating.Duty) bool { return k.Game == one.Game && k.Seat == one.Seat })
		if at < 0 {
			if one.Name != "" {
				now.Accepted = status == duties.Yes
				kept = append(kept, now)
			}
			continue
		}
		same := kept[at].Name == one.Name && kept[at].Family == one.Family
		now.Accepted = one.Name != "" && (status == duties.Yes || status == duties.NotAsked && same && kept[at].Accepted)
		kept[at] = now
	}
	return kept
}

// Mark notes whether the person of a seat came: duties.Came, duties.Missed, or
// duties.Unmarked to take it back. Where nobody sits there nothing is noted, and the
// duty has no name.
func (d *Desk) Mark(game, seat string, kind duties.Kind) (duties.Duty, error) {
	slot, err := d.Slot(game, seat)
	if err != nil {
		return duties.Duty{}, err
	}
	one := d.Duties[slot]
	if one.Name != "" {
		d.Log.Events = append(d.Log.Events, duties.Event{Kind: kind, At: d.Now, Game: one.Game, Seat: one.Seat, Who: one.Who})
	}
	return one, nil
}

// Entry is a duty in a person's calendar, with its end in minutes from midnight of
// its day.
type Entry struct {
	duties.Entry
	End int
}

// goneMinutes is how long a duty of a game that is no more takes in a calendar.
const goneMinutes = 60

// Calendar are a person's duties, and for a while those that they need not do.
func (d *Desk) Calendar(person int) []Entry {
	ends := map[string]int{}
	for _, g := range d.Plan.Games {
		ends[g.ID] = int(g.Start) + g.Minutes
	}
	var list []Entry
	for _, one := range duties.Calendar(d.Duties, d.Log.Work(), whoOf(d.Plan.People[person]), d.Now) {
		list = append(list, Entry{one, max(ends[one.Game], int(one.There)+goneMinutes)})
	}
	return list
}

// Forgotten is a rota and a log without somebody.
type Forgotten struct {
	Kept           []seating.Duty
	Log            duties.Log
	Duties, Events int // that named them
}

// Forget takes a name out of a rota and its log. It fails where neither has it.
func Forget(name string, kept []seating.Duty, log duties.Log) (Forgotten, error) {
	f, whom := Forgotten{Kept: slices.Clone(kept), Log: log}, map[duties.Who]bool{}
	for i, one := range f.Kept {
		if one.Name == name {
			whom[duties.Who{Name: one.Name, Family: one.Family}] = true
			f.Kept[i].Name, f.Kept[i].Family, f.Kept[i].Accepted = "", "", false
			f.Duties++
		}
	}
	for _, e := range log.Events {
		if e.Name == name {
			whom[e.Who] = true
		}
	}
	if len(whom) == 0 {
		return f, message.New("command.crew.unknown", "name", name)
	}
	for who := range whom {
		n := 0
		f.Log, n = f.Log.Forget(who)
		f.Events += n
	}
	return f, nil
}
