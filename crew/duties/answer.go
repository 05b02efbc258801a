package duties

import (
	"crypto/hmac"
	"crypto/sha256"
	"slices"
	"strings"
)

// Answer is what somebody says of a duty.
type Answer string

// What somebody can say of a duty.
const (
	SayYes   Answer = "yes"
	SayNo    Answer = "no"
	SaySpare Answer = "spare" // I come, unless somebody else takes it
)

// Answers are all that a person can say.
var Answers = []Answer{SayYes, SayNo, SaySpare}

// What a bench says of a duty: the kinds of event that it becomes, as answers.
const (
	SayCame     = Answer(Came)
	SayMissed   = Answer(Missed)
	SayUnmarked = Answer(Unmarked)
)

// marks are all that a bench can say.
var marks = []Answer{SayCame, SayMissed, SayUnmarked}

// letters of a code: none that looks like another one.
const letters = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"

// codeLetters is how long a code is: 40 bits, and nobody can try more than one
// against a coordinator who pastes what people send.
const codeLetters = 8

// Code is what a person sends back to give this answer for this duty at this time.
// It holds for nobody else, and for no other time or rink.
func (l Log) Code(d Duty, answer Answer) string {
	code := l.code(d, answer)
	return code[:codeLetters/2] + "-" + code[codeLetters/2:]
}

func (l Log) code(d Duty, answer Answer) string {
	h := hmac.New(sha256.New, l.Key)
	for _, part := range []string{d.Game, d.Seat, d.Name, d.Family, d.Day.String(), d.There.String(), d.Rink, string(answer)} {
		h.Write([]byte(part))
		h.Write([]byte{0})
	}
	sum := h.Sum(nil)
	var code strings.Builder
	for _, b := range sum[:codeLetters] {
		code.WriteByte(letters[b%byte(len(letters))])
	}
	return code.String()
}

// Result is what came of an answer.
type Result string

// What can come of an answer.
const (
	Done    Result = "done"
	Already Result = "already" // it was so before
	Moved   Result = "moved"   // it is for a time or a rink that is no more
	Taken   Result = "taken"   // somebody else has the seat
	Barred  Result = "barred"  // a rule keeps them from it now
	Over    Result = "over"    // the duty has begun
	Unclear Result = "unclear" // one message says two things
	Noted   Result = "noted"   // the bench says what is noted already
	Another Result = "another" // the bench says it of somebody who has the seat no more
)

// Reply is an answer that was found, and what came of it.
type Reply struct {
	Duty
	Answer Answer
	Result Result
}

// Take reads answers out of what people sent, pasted whole, and says what came of
// each. It returns the duties as they are then, and what to add to the log. Lines
// that quote (they begin with ">") are left out. May says whether the rules let
// somebody take a duty of the list that is not theirs, with the duties as the answers
// before this one left them.
func (l Log) Take(text string, list []Duty, now Moment, may func(list []Duty, duty int, who Who) bool) (replies []Reply, after []Duty, events []Event) {
	b := l.Work()
	after = append([]Duty(nil), list...)
	for _, found := range l.find(text, list, b) {
		if found.Result == "" {
			found.Result = found.take(after, b, now, may)
		}
		if found.Result == Done {
			e := Event{At: now, Game: found.Game, Seat: found.Seat, Who: found.Who, Told: &found.Visit}
			switch found.Answer {
			case SayYes:
				e.Kind = Accepted
			case SayNo:
				e.Kind = Declined
			case SaySpare:
				e.Kind = Offered
			case SayCame, SayMissed, SayUnmarked:
				e.Kind, e.Told = Kind(found.Answer), nil
			}
			events = append(events, e)
			b.note(e)
		}
		replies = append(replies, found.Reply)
	}
	return replies, after, events
}

type finding struct {
	Reply
	place int // in the list; -1: the seat is no more
}

// lettersOf are a message's letters of codes, without what it quotes: blanks, line ends
// and hyphens within a code do not matter.
func lettersOf(text string) string {
	var plain strings.Builder
	for line := range strings.Lines(text) {
		if strings.HasPrefix(strings.TrimSpace(line), ">") {
			continue
		}
		for _, r := range strings.ToUpper(line) {
			if strings.ContainsRune(letters, r) {
				plain.WriteRune(r)
			}
		}
	}
	return plain.String()
}

// find finds codes in a text, in the order of the list.
func (l Log) find(text string, list []Duty, b Book) []finding {
	plain := lettersOf(text)
	var found []finding
	look := func(d Duty, place int, result Result) {
		for _, sayings := range [][]Answer{Answers, marks} {
			at := len(found)
			for _, answer := range sayings {
				if strings.Contains(plain, l.code(d, answer)) {
					found = append(found, finding{Reply{d, answer, result}, place})
				}
			}
			if len(found) > at+1 {
				found[at].Result = Unclear
				found = found[:at+1]
			}
		}
	}
	places := map[[2]string]int{}
	for i, d := range list {
		places[[2]string{d.Game, d.Seat}] = i
		if d.Name != "" {
			look(d, i, "")
		}
	}
	for _, k := range b.order {
		place, there := places[[2]string{k.game, k.seat}]
		if there && list[place].Who != k.who {
			look(Duty{k.game, k.seat, list[place].Visit, k.who}, place, "")
		}
		for _, was := range b.standings[k].known() {
			if !there || was != list[place].Visit {
				look(Duty{k.game, k.seat, was, k.who}, -1, Moved)
			}
		}
	}
	return found
}

// take changes the list as the answer says, where it can.
func (f finding) take(list []Duty, b Book, now Moment, may func([]Duty, int, Who) bool) Result {
	s := b.Of(f.Game, f.Seat, f.Who)
	mine := list[f.place].Who == f.Who
	if slices.Contains(marks, f.Answer) {
		return f.mark(s, mine)
	}
	switch {
	case f.Moment().Compare(now) <= 0:
		return Over
	case f.Answer == SayNo && s.Status == No, mine && f.Answer == SayYes && s.Status == Yes, mine && f.Answer == SaySpare && s.Status == Spare:
		return Already
	case f.Answer == SayNo:
		if mine {
			list[f.place].Who = Who{}
		}
		return Done
	case mine:
		return Done
	}
	holder := list[f.place].Who
	if f.Answer != SayYes || holder.Name != "" && b.Of(f.Game, f.Seat, holder).Status != Spare {
		return Taken
	}
	if !may(list, f.place, f.Who) {
		return Barred
	}
	list[f.place].Who = f.Who
	return Done
}

// mark is what comes of what a bench says: it holds also once the duty has begun, and
// only of whoever has the seat.
func (f finding) mark(s Standing, mine bool) Result {
	mark := Kind(f.Answer)
	if f.Answer == SayUnmarked {
		mark = ""
	}
	switch {
	case !mine:
		return Another
	case s.Mark == mark:
		return Noted
	}
	return Done
}
