package entry

import (
	"encoding/json"
	"fmt"
	"unicode/utf8"
)

// Invalid is an entry that no rule book could accept. Field names the field,
// Message tells a person what to do.
type Invalid struct {
	Field   string
	Message string
}

// Error returns the message.
func (i *Invalid) Error() string { return i.Message }

func invalid(field, format string, args ...any) error {
	return &Invalid{Field: field, Message: fmt.Sprintf(format, args...)}
}

// Limits keep a broken or hostile client from filling the ledger.
const (
	maxText    = 500 // runes of a note or a name
	maxPlayers = 60  // lines of a roster
	maxParts   = 6   // parts of one call
	maxAssists = 2   // IIHF 2025/26 Rule 78.3
	maxCard    = 64 << 10
	maxLength  = 5 * 3600_000
	maxOrder   = 10_000 // plays of one stoppage

	lastInstant = 253_402_300_799_999 // the end of the year 9999, milliseconds of Unix time
)

// Validate reports what no rule could allow. What a referee might still mean,
// such as a number that is not on the roster, is left to package rules.
func (e Entry) Validate() error {
	if !ValidID(e.ID) {
		return invalid("id", "An entry needs an id of 26 digits and capital letters (a ULID), not %s.", quoted(e.ID))
	}
	if e.Body == nil {
		return invalid("body", "The entry says nothing.")
	}
	if e.Seat != "" && !e.Seat.Valid() {
		return invalid("seat", "There is no seat %q.", e.Seat)
	}
	if utf8.RuneCountInString(e.By) > maxText {
		return invalid("by", "The name is too long.")
	}
	if e.At.Period < 0 || e.At.Period > 30 {
		return invalid("at.period", "Period %d does not exist.", e.At.Period)
	}
	if e.At.Elapsed < 0 || e.At.Elapsed > maxLength {
		return invalid("at.elapsed_ms", "The time %s does not exist in a period.", e.At.Elapsed)
	}
	if e.At.Order < -maxOrder || e.At.Order > maxOrder {
		return invalid("at.order", "No stoppage has so many plays.")
	}
	needsOf := e.Kind().Edits()
	if needsOf && e.Of == "" {
		return invalid("of", "Say which entry this is about.")
	}
	if !needsOf && e.Of != "" {
		return invalid("of", "Only an amendment or a strike is about another entry.")
	}
	if err := validateBody(e.Body); err != nil {
		return err
	}
	return e.validateTexts()
}

func validateBody(b Body) error {
	switch b := b.(type) {
	case GameOpened:
		if err := validateTeam("home", b.Home); err != nil {
			return err
		}
		if err := validateTeam("visitors", b.Visitors); err != nil {
			return err
		}
		for _, text := range []string{b.Number, b.Venue, b.Date} {
			if utf8.RuneCountInString(text) > maxText {
				return invalid("game", "The game's number, place or date is too long.")
			}
		}
		if len(b.Division) > maxCard {
			return invalid("division", "A division has at most %d kB.", maxCard>>10)
		}
		return validateJSON("division", b.Division)
	case RosterSet:
		if err := validateSide(b.Side); err != nil {
			return err
		}
		return validateTeam("team", b.Team)
	case StageBegun:
		if !b.Stage.Valid() {
			return invalid("stage", "There is no stage %s %d.", b.Stage.Kind, b.Stage.Number)
		}
		return validateLength("length_ms", b.Length)
	case ClockStarted:
		return validateTouch(b.Elapsed, b.Error)
	case ClockStopped:
		return validateTouch(b.Elapsed, b.Error)
	case ClockSet:
		return validateLength("elapsed_ms", b.Elapsed)
	case TimeOut:
		if b.Side != "" {
			if err := validateSide(b.Side); err != nil {
				return err
			}
		}
		return validateLength("length_ms", b.Length)
	case Goal:
		return validateGoal(b)
	case Penalty:
		return validatePenalty(b)
	case Choice:
		if b.Question == "" || len(b.Picks) == 0 {
			return invalid("picks", "Say which player the captain named.")
		}
		return validateJerseys("picks", b.Picks)
	case SetAside:
		if b.Item == "" || len(b.Item) > maxText {
			return invalid("item", "Say what is set aside.")
		}
		return nil
	case Note:
		return validateNote(b)
	case BoardRead:
		return validateLength("elapsed_ms", b.Elapsed)
	case BenchSet:
		if b.SlotEnd < 0 || b.SlotEnd > lastInstant {
			return invalid("slot_end_ms", "The end of the ice time is an instant of this age, or 0.")
		}
		switch b.Clock {
		case Lead, Follow, Beside:
			return nil
		default:
			return invalid("clock", "The clock leads, follows the board or runs beside it, not %q.", b.Clock)
		}
	case RunningTime, DelayOver:
		return nil
	case Goalkeeper:
		if err := validateSide(b.Side); err != nil {
			return err
		}
		return validateJerseys("number", []Jersey{b.Number})
	case Delay:
		switch b.Why {
		case Injury, Ice, Equipment, OtherWhy:
			return validateLength("length_ms", b.Length)
		default:
			return invalid("why", "A delay is for an injury, the ice, equipment or something else, not %q.", b.Why)
		}
	case Seated:
		if err := validateSide(b.Side); err != nil {
			return err
		}
		if b.Player == "" {
			return invalid("player", "Say which player was seen.")
		}
		return validateJerseys("player", []Jersey{b.Player})
	case CardSet:
		if len(b.Card) > maxCard {
			return invalid("card", "A rink card has at most %d kB.", maxCard>>10)
		}
		return validateJSON("card", b.Card)
	case Ticked:
		if b.Step == "" || len(b.Step) > maxText {
			return invalid("step", "Say which step was done.")
		}
		return nil
	case Amended:
		if b.To == nil {
			return invalid("body", "The amendment says nothing.")
		}
		return validateBody(b.To)
	case Struck:
		if utf8.RuneCountInString(b.Reason) > maxText {
			return invalid("reason", "The reason is too long.")
		}
		return nil
	default:
		return validateBook(b)
	}
}

// validateJSON checks what is carried as it is.
func validateJSON(field string, raw json.RawMessage) error {
	if len(raw) == 0 {
		return nil // written as null
	}
	if err := plainJSON(raw); err != nil {
		return invalid(field, "The %s cannot be kept: %s.", field, err)
	}
	return nil
}

func validateSide(s Side) error {
	if !s.Valid() {
		return invalid("side", "There is no side %q: it is home or visitors.", s)
	}
	return nil
}

func validateLength(field string, m Millis) error {
	if m < 0 || m > maxLength {
		return invalid(field, "A clock cannot show %s. Write minutes and seconds, such as 5:13.", m)
	}
	return nil
}

// validateTouch checks a start or stop of a clock.
func validateTouch(elapsed, bound Millis) error {
	if bound < 0 || bound > maxLength {
		return invalid("error_ms", "A touch is not off by %s.", bound)
	}
	return validateLength("elapsed_ms", elapsed)
}

func validateJerseys(field string, list []Jersey) error {
	for _, j := range list {
		if !j.Valid() {
			return invalid(field, "%q is not a sweater number: use one or two digits.", j)
		}
	}
	return nil
}

func validateTeam(field string, t Team) error {
	if t.Name == "" {
		return invalid(field, "A team needs a name.")
	}
	if utf8.RuneCountInString(t.Name) > maxText {
		return invalid(field, "The team's name is too long.")
	}
	if len(t.Players) > maxPlayers {
		return invalid(field, "A roster has at most %d lines; this one has %d.", maxPlayers, len(t.Players))
	}
	seen := map[Jersey]bool{}
	for _, p := range t.Players {
		if p.Number == "" || !p.Number.Valid() {
			return invalid(field, "%q in the roster of %s is not a sweater number: use one or two digits.",
				p.Number, t.Name)
		}
		if seen[p.Number] {
			return invalid(field, "Number %s stands twice in the roster of %s. Take one off or change it.",
				p.Number, t.Name)
		}
		seen[p.Number] = true
		if utf8.RuneCountInString(p.Name) > maxText {
			return invalid(field, "The name of number %s is too long.", p.Number)
		}
		if err := validatePerson(p); err != nil {
			return err
		}
	}
	return validateOfficials(field, t.Staff)
}

func validateGoal(g Goal) error {
	if err := validateSide(g.Side); err != nil {
		return err
	}
	if !g.Scorer.Valid() {
		return invalid("scorer", "%q is not a sweater number: use one or two digits.", g.Scorer)
	}
	if len(g.Assists) > maxAssists {
		return invalid("assists", "A goal has at most two assists. Take one off.")
	}
	if len(g.Assists) > 0 && g.Unassisted {
		return invalid("assists", "A goal cannot be unassisted and have an assist.")
	}
	if err := validateJerseys("assists", g.Assists); err != nil {
		return err
	}
	for i, a := range g.Assists {
		if a != "" && a == g.Scorer {
			return invalid("assists", "Number %s cannot assist their own goal. Change the scorer or the assist.", a)
		}
		if i == 1 && a != "" && a == g.Assists[0] {
			return invalid("assists", "Number %s cannot have both assists. Change one.", a)
		}
	}
	if err := validateOnIce(g.OnIce); err != nil {
		return err
	}
	switch g.On {
	case OnPlay, OnPenaltyShot, OnAwarded:
		return nil
	default:
		return invalid("on", "A goal is scored in play, on a penalty shot or awarded, not %q.", g.On)
	}
}

func validatePenalty(p Penalty) error {
	if err := validateSide(p.Side); err != nil {
		return err
	}
	if err := validateJerseys("player", []Jersey{p.Player, p.ServedBy}); err != nil {
		return err
	}
	if p.Bench && p.Player != "" {
		return invalid("player", "A bench penalty has no player; say who serves it instead.")
	}
	if len(p.Parts) == 0 {
		return invalid("parts", "Say what the call is: minor, major, misconduct...")
	}
	if len(p.Parts) > maxParts {
		return invalid("parts", "One call has at most %d parts. Post the rest as another call.", maxParts)
	}
	for _, part := range p.Parts {
		if !part.Valid() {
			return invalid("parts", "%q is not a penalty.", part)
		}
		if part == BenchMinor && p.Player != "" {
			return invalid("parts", "A bench minor is the team's: leave the number out and say who serves it.")
		}
	}
	if len(p.Lengths) != 0 && len(p.Lengths) != len(p.Parts) {
		return invalid("lengths_ms", "Give a length for each part of the call, or for none.")
	}
	for _, l := range p.Lengths {
		if l < 0 || l > Clock(60, 0) {
			return invalid("lengths_ms", "A penalty cannot last %s.", l)
		}
	}
	if p.ServedBy != "" && p.ServedBy == p.Player {
		return invalid("served_by", "Leave \"served by\" empty when number %s sits for themselves.", p.Player)
	}
	if utf8.RuneCountInString(p.Call) > 60 {
		return invalid("call", "The name of the call is too long.")
	}
	return nil
}
