package entry

import (
	"strconv"
	"strings"

	"whistlestop/game/message"
)

// Millis is a duration or a position of a clock in whole milliseconds. Game
// time is never a float: the same ledger must give the same bytes everywhere.
type Millis int64

// Clock returns minutes and seconds as Millis.
func Clock(minutes, seconds int) Millis {
	return Millis(minutes)*60_000 + Millis(seconds)*1_000
}

// String writes m:ss, with the part of a second cut off. It is meant for times
// that have passed; a time that is left is written by Left.
func (m Millis) String() string {
	if 0 <= m && m < faceMinutes*60_000 {
		face := int(m/1000) * faceLetters
		text := faces[face : face+faceLetters]
		if text[0] == '0' {
			text = text[1:]
		}
		return text
	}
	text := make([]byte, 0, 8)
	if m < 0 {
		text, m = append(text, '-'), -m
	}
	s := int64(m) / 1000
	text = strconv.AppendInt(text, s/60, 10)
	text = append(text, ':', byte('0'+s%60/10), byte('0'+s%10))
	return string(text)
}

// A fold writes dozens of times, nearly all of them of a period, so each of those is
// a piece of one text.
const (
	faceMinutes = 21
	faceLetters = len("00:00")
)

// faces are the times of a period, second by second, each in as many letters.
var faces = func() string {
	text := make([]byte, 0, faceMinutes*60*faceLetters)
	for s := range faceMinutes * 60 {
		text = append(text, byte('0'+s/600), byte('0'+s/60%10), ':', byte('0'+s%60/10), byte('0'+s%10))
	}
	return string(text)
}()

// Left writes a time that is left as m:ss, rounded up to the whole second, as a
// clock that counts down shows it and as a score sheet wants it (IIHF 2025/26
// Rules 33.2 and 35.6: tenths are rounded up).
func (m Millis) Left() string {
	return ((m + 999) / 1000 * 1000).String()
}

// ParseClock reads a time as people write or type it: "5:13", "513", "12:00",
// "0:45", "45" (seconds), "90" (seconds) and "0:07.4". Digits without a colon
// are seconds up to two digits and minutes with two digits of seconds beyond.
// It refuses anything negative, malformed, or longer than 99:59.
func ParseClock(text string) (Millis, error) {
	bad := func() (Millis, error) {
		return 0, message.New("when.clock", "text", message.Plain(text))
	}
	s := strings.TrimSpace(text)
	tenths := Millis(0)
	if whole, part, found := strings.Cut(s, "."); found {
		if len(part) != 1 || part[0] < '0' || part[0] > '9' {
			return bad()
		}
		tenths = Millis(part[0]-'0') * 100
		s = whole
	}
	minutes, seconds, colon := strings.Cut(s, ":")
	if !colon {
		if len(s) <= 2 {
			minutes, seconds = "0", s
		} else {
			minutes, seconds = s[:len(s)-2], s[len(s)-2:]
		}
	} else if len(seconds) != 2 {
		return bad()
	}
	m, okM := digits(minutes, 2)
	sec, okS := digits(seconds, 2)
	if !okM || !okS || (colon || len(s) > 2) && sec > 59 {
		return bad()
	}
	return Clock(m, sec) + tenths, nil
}

// UnmarshalTOML reads a time of a data file: minutes and seconds, written
// "1:30", or hours before them, "1:45:00", for the ice time of a game.
func (m *Millis) UnmarshalTOML(value any) error {
	text, ok := value.(string)
	if !ok || !strings.Contains(text, ":") {
		return message.New("when.toml", "text", value)
	}
	hours, rest := Millis(0), text
	if strings.Count(text, ":") == 2 {
		head, tail, _ := strings.Cut(text, ":")
		h, known := digits(head, 1)
		if !known || len(tail) != len("mm:ss") || tail[0] > '5' {
			return message.New("when.hours", "text", message.Plain(text))
		}
		hours, rest = Clock(60*h, 0), tail
	}
	v, err := ParseClock(rest)
	*m = hours + v
	return err
}

// digits reads a string of one to most decimal digits.
func digits(s string, most int) (int, bool) {
	if s == "" || len(s) > most {
		return 0, false
	}
	for _, r := range s {
		if r < '0' || r > '9' {
			return 0, false
		}
	}
	n, err := strconv.Atoi(s)
	return n, err == nil
}

// Side is one of the two teams.
type Side string

// The two sides. Home is the upper lane.
const (
	Home     Side = "home"
	Visitors Side = "visitors"
)

// Sides lists both sides in the order of the lanes.
var Sides = [2]Side{Home, Visitors}

// Valid reports whether s is one of the two sides.
func (s Side) Valid() bool { return s == Home || s == Visitors }

// Other returns the opponents of s.
func (s Side) Other() Side {
	if s == Home {
		return Visitors
	}
	return Home
}

// Index returns 0 for Home and 1 for Visitors.
func (s Side) Index() int {
	if s == Visitors {
		return 1
	}
	return 0
}

// Jersey is the number on a sweater as it is written. "7" and "07" are one
// number, shown as the roster writes it; "0" and "00" are two. The empty jersey
// means "number to follow".
type Jersey string

// Valid reports whether j is empty or one or two digits. Numbers run from 1 to
// 99 in the books (IIHF 2025/26 Rule 9.1); 0 and 00 are worn in some leagues
// (common practice, no source) and accepted.
func (j Jersey) Valid() bool {
	if j == "" {
		return true
	}
	_, ok := digits(string(j), 2)
	return ok
}

// At is a moment of the game on the axis of play: how much of a period has been
// played. Overtime periods follow the regulation periods (4 is the first
// overtime after three periods). Period 0 is before the game. Two entries with
// the same period and elapsed time belong to the same stoppage; Order tells
// them apart where the order was put right by hand.
type At struct {
	Period  int    `json:"period"`
	Elapsed Millis `json:"elapsed_ms"`
	Order   int    `json:"order,omitempty"`
}

// Compare orders moments by period, elapsed time and order.
func (a At) Compare(b At) int {
	switch {
	case a.Period != b.Period:
		return sign(int64(a.Period - b.Period))
	case a.Elapsed != b.Elapsed:
		return sign(int64(a.Elapsed - b.Elapsed))
	default:
		return sign(int64(a.Order - b.Order))
	}
}

func sign(n int64) int {
	switch {
	case n < 0:
		return -1
	case n > 0:
		return 1
	default:
		return 0
	}
}

// StageKind says what is going on at the rink.
type StageKind string

// The stages of a game in their usual order.
const (
	Setup        StageKind = "setup" // before anything was begun
	WarmUp       StageKind = "warm_up"
	Period       StageKind = "period"
	Intermission StageKind = "intermission"
	Overtime     StageKind = "overtime"
	ShootOut     StageKind = "shoot_out"
	Over         StageKind = "over"
)

// Stage is a stage with its number: period 2, the intermission after period 2,
// overtime 1. Setup, warm-up, shoot-out and over have the number 0.
type Stage struct {
	Kind   StageKind `json:"kind"`
	Number int       `json:"number,omitempty"`
}

// Play reports whether penalties run in this stage: only in a period and in
// overtime. No other clock is known to a penalty.
func (s Stage) Play() bool { return s.Kind == Period || s.Kind == Overtime }

// Valid reports whether the kind is known and the number fits it.
func (s Stage) Valid() bool {
	switch s.Kind {
	case Period, Intermission, Overtime:
		return s.Number >= 1 && s.Number <= 20
	case Setup, WarmUp, ShootOut, Over:
		return s.Number == 0
	default:
		return false
	}
}

// Part is one part of a call: what the referee imposes.
type Part string

// The parts a call can have. A double minor is two minors.
const (
	Minor          Part = "minor"
	BenchMinor     Part = "bench_minor"
	Major          Part = "major"
	Misconduct     Part = "misconduct"
	GameMisconduct Part = "game_misconduct"
	Match          Part = "match"
	PenaltyShot    Part = "penalty_shot"
)

// Parts lists every part, in the order a bench offers them.
var Parts = []Part{Minor, BenchMinor, Major, Misconduct, GameMisconduct, Match, PenaltyShot}

// Valid reports whether p is a known part.
func (p Part) Valid() bool {
	switch p {
	case Minor, BenchMinor, Major, Misconduct, GameMisconduct, Match, PenaltyShot:
		return true
	default:
		return false
	}
}

// IsMinor reports whether p is a minor or a bench minor, which a goal may end.
func (p Part) IsMinor() bool { return p == Minor || p == BenchMinor }

// IsMajor reports whether p is served like a major: in full, whatever is
// scored.
func (p Part) IsMajor() bool { return p == Major || p == Match }

// Ejects reports whether p sends the player off for the rest of the game.
func (p Part) Ejects() bool { return p == GameMisconduct || p == Match }

// Seat is a role at the bench.
type Seat string

// The seats. Solo is one person with all of them.
const (
	Solo      Seat = "solo"
	ClockSeat Seat = "clock"
	BoxSeat   Seat = "box"
	BookSeat  Seat = "book"
	ShotsSeat Seat = "shots"
	VoiceSeat Seat = "voice"
	// Program marks what Whistlestop itself posted: the end of a period when
	// the clock ran out.
	Program Seat = "program"
)

// Valid reports whether s is a known seat.
func (s Seat) Valid() bool {
	switch s {
	case Solo, ClockSeat, BoxSeat, BookSeat, ShotsSeat, VoiceSeat, Program:
		return true
	default:
		return false
	}
}
