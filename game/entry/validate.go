package entry

import (
	"encoding/json"
	"strings"
	"unicode/utf8"

	"whistlestop/game/message"
)

// Invalid is an entry that no rule book could accept. Field names the field; the
// sentence tells a person what to do.
type Invalid struct {
	Field string
	why   *message.Error
}

// Error gives the key of the sentence, for logs.
func (i *Invalid) Error() string { return i.why.Error() }

// Message is the sentence.
func (i *Invalid) Message() message.Say { return i.why.Message() }

func invalid(field, key string, pairs ...any) error {
	return invalidFor(nil, field, key, pairs...)
}

// invalidFor is invalid with a cause, which the sentence gives.
func invalidFor(cause error, field, key string, pairs ...any) error {
	return &Invalid{Field: field, why: message.Because(cause, key, pairs...)}
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
		return invalid("id", "invalid.id", "id", quoted(e.ID))
	}
	if e.Body == nil {
		return invalid("body", "invalid.empty")
	}
	if e.Seat != "" && !e.Seat.Valid() {
		return invalid("seat", "invalid.seat", "seat", message.Plain(e.Seat))
	}
	if utf8.RuneCountInString(e.By) > maxText {
		return invalid("by", "invalid.by")
	}
	if e.At.Period < 0 || e.At.Period > 30 {
		return invalid("at.period", "invalid.period", "period", e.At.Period)
	}
	if e.At.Elapsed < 0 || e.At.Elapsed > maxLength {
		return invalid("at.elapsed_ms", "invalid.at", "time", e.At.Elapsed)
	}
	if e.At.Order < -maxOrder || e.At.Order > maxOrder {
		return invalid("at.order", "invalid.order")
	}
	needsOf := e.Kind().Edits()
	if needsOf && e.Of == "" {
		return invalid("of", "invalid.of_missing")
	}
	if !needsOf && e.Of != "" {
		return invalid("of", "invalid.of_extra")
	}
	if err := e.Body.validate(); err != nil {
		return err
	}
	return e.validateTexts()
}

func (b RosterSet) validate() error {
	if err := validateSide(b.Side); err != nil {
		return err
	}
	if err := validateTeam("team", b.Team); err != nil {
		return err
	}
	return validateShown("team", b.Team.Name)
}

func (b StageBegun) validate() error {
	if !b.Stage.Valid() {
		return invalid("stage", "invalid.stage", "kind", b.Stage.Kind, "number", b.Stage.Number)
	}
	return validateLength("length_ms", b.Length)
}

func (b ClockStarted) validate() error { return validateTouch(b.Elapsed, b.Error) }
func (b ClockStopped) validate() error { return validateTouch(b.Elapsed, b.Error) }
func (b ClockSet) validate() error     { return validateLength("elapsed_ms", b.Elapsed) }
func (b BoardRead) validate() error    { return validateLength("elapsed_ms", b.Elapsed) }
func (RunningTime) validate() error    { return nil }
func (DelayOver) validate() error      { return nil }

func (b TimeOut) validate() error {
	if b.Side != "" {
		if err := validateSide(b.Side); err != nil {
			return err
		}
	}
	return validateLength("length_ms", b.Length)
}

func (b Choice) validate() error {
	if b.Question == "" || len(b.Picks) == 0 {
		return invalid("picks", "invalid.picks")
	}
	return validateJerseys("picks", b.Picks)
}

func (b SetAside) validate() error {
	if b.Item == "" || len(b.Item) > maxText {
		return invalid("item", "invalid.item")
	}
	return nil
}

func (b Goalkeeper) validate() error {
	if err := validateSide(b.Side); err != nil {
		return err
	}
	return validateJerseys("number", []Jersey{b.Number})
}

func (b Delay) validate() error {
	switch b.Why {
	case Injury, Ice, Equipment, OtherWhy:
		return validateLength("length_ms", b.Length)
	default:
		return invalid("why", "invalid.delay", "why_not", message.Plain(b.Why))
	}
}

func (b CardSet) validate() error {
	if len(b.Card) > maxCard {
		return invalid("card", "invalid.card", "most", maxCard>>10)
	}
	return validateJSON("card", b.Card)
}

func (b Ticked) validate() error {
	if b.Step == "" || len(b.Step) > maxText {
		return invalid("step", "invalid.step")
	}
	return nil
}

func (b Amended) validate() error {
	if b.To == nil {
		return invalid("body", "invalid.amendment")
	}
	return b.To.validate()
}

func (b Struck) validate() error {
	if utf8.RuneCountInString(b.Reason) > maxText {
		return invalid("reason", "invalid.reason")
	}
	return nil
}

func (b GameOpened) validate() error {
	if err := validateTeam("home", b.Home); err != nil {
		return err
	}
	if err := validateTeam("visitors", b.Visitors); err != nil {
		return err
	}
	for _, text := range []string{b.Number, b.Schedule, b.Venue, b.Date} {
		if utf8.RuneCountInString(text) > maxText {
			return invalid("game", "invalid.game")
		}
	}
	if len(b.Division) > maxCard {
		return invalid("division", "invalid.division", "most", maxCard>>10)
	}
	if err := validateJSON("division", b.Division); err != nil {
		return err
	}
	return validateShown("game", b.Home.Name, b.Visitors.Name, b.Number, b.Schedule, b.Venue, b.Date)
}

func (b BenchSet) validate() error {
	if b.SlotEnd < 0 || b.SlotEnd > lastInstant {
		return invalid("slot_end_ms", "invalid.slot_end")
	}
	switch b.Clock {
	case Lead, Follow, Beside:
		return nil
	default:
		return invalid("clock", "invalid.clock_mode", "mode", message.Plain(b.Clock))
	}
}

func (b Seated) validate() error {
	if err := validateSide(b.Side); err != nil {
		return err
	}
	if b.Player == "" {
		return invalid("player", "invalid.seated")
	}
	return validateJerseys("player", []Jersey{b.Player})
}

// validateJSON checks what is carried as it is.
func validateJSON(field string, raw json.RawMessage) error {
	if len(raw) == 0 {
		return nil // written as null
	}
	if err := plainJSON(raw); err != nil {
		return invalidFor(err, field, "invalid.carried", "field", field)
	}
	return nil
}

func validateSide(s Side) error {
	if !s.Valid() {
		return invalid("side", "invalid.side", "side", message.Plain(s))
	}
	return nil
}

func validateLength(field string, m Millis) error {
	if m < 0 || m > maxLength {
		return invalid(field, "invalid.clock", "time", m)
	}
	return nil
}

// validateTouch checks a start or stop of a clock.
func validateTouch(elapsed, bound Millis) error {
	if bound < 0 || bound > maxLength {
		return invalid("error_ms", "invalid.touch", "time", bound)
	}
	return validateLength("elapsed_ms", elapsed)
}

func validateJerseys(field string, list []Jersey) error {
	for _, j := range list {
		if !j.Valid() {
			return invalid(field, "invalid.number", "number", message.Plain(j))
		}
	}
	return nil
}

func validateTeam(field string, t Team) error {
	if t.Name == "" {
		return invalid(field, "invalid.team")
	}
	if utf8.RuneCountInString(t.Name) > maxText {
		return invalid(field, "invalid.team_name")
	}
	if !validColour(t.Colour) {
		return invalid(field, "invalid.colour", "team", t.Name)
	}
	if len(t.Players) > maxPlayers {
		return invalid(field, "invalid.roster_long", "most", maxPlayers, "count", len(t.Players))
	}
	seen := map[Jersey]bool{}
	for _, p := range t.Players {
		if p.Number == "" || !p.Number.Valid() {
			return invalid(field, "invalid.roster_number", "number", message.Plain(p.Number), "team", t.Name)
		}
		if seen[p.Number] {
			return invalid(field, "invalid.roster_twice", "number", p.Number, "team", t.Name)
		}
		seen[p.Number] = true
		if utf8.RuneCountInString(p.Name) > maxText {
			return invalid(field, "invalid.player_name", "number", p.Number)
		}
		if err := validatePerson(p); err != nil {
			return err
		}
	}
	return validateOfficials(field, t.Staff)
}

// validColour takes "#" with six small hexadecimal digits, as a browser's field gives them, or nothing.
func validColour(text string) bool {
	if text == "" {
		return true
	}
	digits, found := strings.CutPrefix(text, "#")
	return found && len(digits) == 6 && strings.Trim(digits, "0123456789abcdef") == ""
}

func (g Goal) validate() error {
	if err := validateSide(g.Side); err != nil {
		return err
	}
	if !g.Scorer.Valid() {
		return invalid("scorer", "invalid.number", "number", message.Plain(g.Scorer))
	}
	if len(g.Assists) > maxAssists {
		return invalid("assists", "invalid.assists")
	}
	if len(g.Assists) > 0 && g.Unassisted {
		return invalid("assists", "invalid.unassisted")
	}
	if err := validateJerseys("assists", g.Assists); err != nil {
		return err
	}
	for i, a := range g.Assists {
		if a != "" && a == g.Scorer {
			return invalid("assists", "invalid.own_assist", "number", a)
		}
		if i == 1 && a != "" && a == g.Assists[0] {
			return invalid("assists", "invalid.both_assists", "number", a)
		}
	}
	if err := validateOnIce(g.OnIce); err != nil {
		return err
	}
	switch g.On {
	case OnPlay, OnPenaltyShot, OnAwarded:
		return nil
	default:
		return invalid("on", "invalid.goal_on", "on", message.Plain(g.On))
	}
}

func (p Penalty) validate() error {
	if err := validateSide(p.Side); err != nil {
		return err
	}
	if err := validateJerseys("player", []Jersey{p.Player, p.ServedBy}); err != nil {
		return err
	}
	if p.Bench && p.Player != "" {
		return invalid("player", "invalid.bench_player")
	}
	if len(p.Parts) == 0 {
		return invalid("parts", "invalid.parts_missing")
	}
	if len(p.Parts) > maxParts {
		return invalid("parts", "invalid.parts_many", "most", maxParts)
	}
	for _, part := range p.Parts {
		if !part.Valid() {
			return invalid("parts", "invalid.part", "part", message.Plain(part))
		}
		if part == BenchMinor && p.Player != "" {
			return invalid("parts", "invalid.bench_minor_player")
		}
	}
	if len(p.Lengths) != 0 && len(p.Lengths) != len(p.Parts) {
		return invalid("lengths_ms", "invalid.lengths")
	}
	for _, l := range p.Lengths {
		if l < 0 || l > Clock(60, 0) {
			return invalid("lengths_ms", "invalid.length", "time", l)
		}
	}
	if p.ServedBy != "" && p.ServedBy == p.Player {
		return invalid("served_by", "invalid.served_by", "number", p.Player)
	}
	if utf8.RuneCountInString(p.Call) > 60 {
		return invalid("call", "invalid.call")
	}
	return validateShown("call", p.Call)
}
