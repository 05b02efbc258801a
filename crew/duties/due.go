package duties

import (
	"cmp"
	"slices"
	"strings"

	"whistlestop/game/dates"
)

// About is why somebody hears of a duty.
type About string

// Why somebody hears of a duty.
const (
	Ask      About = "ask"      // it is theirs by the rota: do they come?
	AskAgain About = "again"    // it was moved after they were asked: an answer for the old time is none for the new
	Remind   About = "remind"   // they said yes
	Unsure   About = "unsure"   // they have not answered
	Free     About = "released" // they need not come
	// Elsewhere is of no duty: the page behind their link has another address now.
	Elsewhere About = "elsewhere"
	// Swap is that somebody would change places with them: they would get another duty.
	Swap About = "swap"
	// Swapped is that somebody whom they asked to change places said yes.
	Swapped About = "swapped"
)

// PageSeat stands in the place of a seat where a message is about somebody's page. No seat
// of a league has such an id.
const PageSeat = "-page"

// AboutPage is the line which says that somebody's page has another address.
func AboutPage(who Who) Line {
	return Line{About: Elsewhere, Duty: Duty{Game: PageSeat, Seat: PageSeat, Who: who}}
}

// Joined are messages with further lines in front, of people who hear something anyway or
// who do not, by name.
func Joined(messages []Message, lines []Line) []Message {
	out := slices.Clone(messages)
	for _, line := range lines {
		at := slices.IndexFunc(out, func(m Message) bool { return m.Who == line.Who })
		if at < 0 {
			out = append(out, Message{Who: line.Who})
			at = len(out) - 1
		}
		out[at].Lines = append([]Line{line}, out[at].Lines...)
	}
	slices.SortFunc(out, byName)
	return out
}

func byName(a, b Message) int {
	return cmp.Or(strings.Compare(a.Name, b.Name), strings.Compare(a.Family, b.Family))
}

// Line is one duty in a message.
type Line struct {
	About About
	Duty
	Was *Visit // AskAgain: when and where it was
	Get *Duty  // Swap: what they would get, with whoever has it now. Swapped: what they gave, with whoever has it now
}

// Message is what one person is to hear now, all in one.
type Message struct {
	Who
	Lines []Line
}

// When to remind, in days before. Of patients, fewest missed an appointment when
// they were reminded three days and one day before (Am J Manag Care 2018;24:377);
// seven is ours, so that somebody else can still be found.
var reminderDays = []int{7, 3, 1}

const (
	// remindersMost: a notice is followed by a spell of not listening (Management
	// Science 2022, doi 10.1287/mnsc.2021.4220). The number is ours.
	remindersMost = 3
	// loudFrom and loudUntil: nobody is written to at night. Ours.
	loudFrom, loudUntil = dates.Clock(8 * 60), dates.Clock(21 * 60)
)

// Quiet says whether it is the time of day at which nobody is written to.
func (m Moment) Quiet() bool { return m.Clock < loudFrom || m.Clock >= loudUntil }

// Due is who is to hear what now, by name. A duty that began is nobody's matter any
// more. Nobody who said no hears of it again.
func Due(list []Duty, b Book, now Moment) []Message {
	of := map[Who][]Line{}
	seats := map[[2]string]Duty{}
	for _, d := range list {
		seats[[2]string{d.Game, d.Seat}] = d
		if d.Name == "" {
			continue
		}
		if d.Moment().Compare(now) <= 0 || d.asksWhetherToStay() && b.answered(d) {
			continue
		}
		if line, due := b.Of(d.Game, d.Seat, d.Who).due(d, now); due {
			of[d.Who] = append(of[d.Who], line)
		}
	}
	for _, k := range b.order {
		s := b.standings[k]
		seat, there := seats[[2]string{k.game, k.seat}]
		held := there && (seat.Who == k.who || s.Status == Waiting && b.wanted(seat))
		if s.reckonsWith() && !held && s.Told != nil && s.Told.Moment().Compare(now) > 0 {
			of[k.who] = append(of[k.who], Line{About: Free, Duty: Duty{k.game, k.seat, *s.Told, k.who}})
		}
	}
	var messages []Message
	for who, lines := range of {
		slices.SortStableFunc(lines, func(a, b Line) int {
			return cmp.Or(a.Moment().Compare(b.Moment()), strings.Compare(a.Game, b.Game), strings.Compare(a.Seat, b.Seat))
		})
		messages = append(messages, Message{who, lines})
	}
	slices.SortFunc(messages, byName)
	return messages
}

// wanted: whoever was asked to take the seat instead still may.
func (b Book) wanted(seat Duty) bool {
	return seat.Name == "" || b.Of(seat.Game, seat.Seat, seat.Who).Status == Spare
}

// due says whether the person who has a duty is to hear of it now, and why.
func (s Standing) due(d Duty, now Moment) (Line, bool) {
	line := Line{Duty: d}
	switch s.Status {
	case NotAsked:
		line.About = Ask
		return line, true
	case No:
		return line, false
	case Waiting, Yes, Spare:
	}
	if s.Told != nil && *s.Told != d.Visit {
		line.About, line.Was = AskAgain, s.Told
		return line, true
	}
	line.About = Unsure
	if s.Status != Waiting {
		line.About = Remind
	}
	if s.Reminders >= remindersMost {
		return line, false
	}
	left, told := int(d.Day-now.Day), int(d.Day-s.Last.Day)
	for _, days := range reminderDays {
		if left <= days && told > days {
			return line, true
		}
	}
	// On the day itself only who never answered.
	return line, s.Status == Waiting && left == 0 && told > 0
}

// Sent are the events of messages that were sent.
func Sent(messages []Message, now Moment) []Event {
	var events []Event
	for _, m := range messages {
		for _, line := range m.Lines {
			e := Event{At: now, Game: line.Game, Seat: line.Seat, Who: m.Who}
			switch line.About {
			case Ask, AskAgain:
				e.Kind, e.Told = Asked, &line.Visit
			case Remind, Unsure:
				e.Kind, e.Told = Reminded, &line.Visit
			case Free:
				e.Kind = Released
			case Elsewhere, Swap, Swapped: // of no duty, of none that is theirs yet, or of one that they wanted: nothing is asked of the duty itself
				continue
			}
			events = append(events, e)
		}
	}
	return events
}
