package entry

import (
	"strings"
	"unicode/utf8"

	"whistlestop/game/message"
)

// Limits of what the book keeps.
const (
	maxOfficials = 20       // on one list
	maxWithdrawn = 5000     // lines or texts in one entry
	maxOnIce     = 8        // a goalkeeper and six skaters, with room for a slip of the whistle
	maxShots     = 99       // in one entry
	maxDrawing   = 8 << 10  // bytes of a drawn signature
	maxAsleep    = 86400000 // a day in milliseconds; Bounds allows what a bench itself found
	maxReadings  = 3        // of a clock that is doubted
)

// penPath are the characters of SVG path data.
const penPath = "MLHVQCZmlhvqcz0123456789 .,-"

func (b Shots) validate() error {
	if b.Count < 1 || b.Count > maxShots {
		return invalid("count", "invalid.shots", "most", maxShots, "count", b.Count)
	}
	return validateSide(b.Side)
}

func (b FaceOff) validate() error {
	if err := validateSide(b.Won); err != nil {
		return err
	}
	return validateJerseys("player", []Jersey{b.Home, b.Visitors})
}

func (b Announced) validate() error {
	if b.What == "" || len(b.What) > maxText {
		return invalid("what", "invalid.announcement")
	}
	return validateShown("what", b.What)
}

func (b RosterConfirmed) validate() error {
	if err := validateSide(b.Side); err != nil {
		return err
	}
	return validateName("by", b.By)
}

func (b CrewSet) validate() error {
	if err := validateOfficials("officials", b.Officials); err != nil {
		return err
	}
	return validateOfficials("crew", b.Crew)
}

func (b ClockDoubted) validate() error {
	if b.Asleep < 0 || b.Asleep > maxAsleep {
		return invalid("asleep_ms", "invalid.asleep", "time", b.Asleep)
	}
	switch b.Why {
	case Slept, Stepped, Restarted, NotYet, Moved:
	default:
		return invalid("why", "invalid.doubt", "reason", message.Plain(b.Why))
	}
	if len(b.Readings) > maxReadings {
		return invalid("readings", "invalid.readings", "most", maxReadings)
	}
	for _, r := range b.Readings {
		switch r.By {
		case LastKnown, Counted, TimeOfDay:
		default:
			return invalid("readings", "invalid.reading", "by", message.Plain(r.By))
		}
		if err := validateLength("readings", r.Elapsed); err != nil {
			return err
		}
	}
	return validateLength("elapsed_ms", b.Elapsed)
}

func (a Attempt) validate() error {
	if err := validateSide(a.Side); err != nil {
		return err
	}
	switch a.On {
	case PenaltyShotAttempt:
		if a.Scored {
			return invalid("scored", "invalid.scored_attempt")
		}
	case ShootOutAttempt:
	default:
		return invalid("on", "invalid.attempt_on", "on", message.Plain(a.On))
	}
	return validateJerseys("player", []Jersey{a.Player, a.Goalkeeper})
}

func validateName(field, name string) error {
	if strings.TrimSpace(name) == "" {
		return invalid(field, "invalid.name_missing")
	}
	if utf8.RuneCountInString(name) > maxText {
		return invalid(field, "invalid.name_long")
	}
	return nil
}

func validateOfficials(field string, list []Official) error {
	if len(list) > maxOfficials {
		return invalid(field, "invalid.people", "most", maxOfficials)
	}
	for _, o := range list {
		if !o.Role.Valid() {
			return invalid(field, "invalid.role", "role", message.Plain(o.Role))
		}
		if err := validateName(field, o.Name); err != nil {
			return err
		}
	}
	return nil
}

// Valid reports whether r is a known role.
func (r Role) Valid() bool {
	switch r {
	case Referee, Linesperson, Scorer, Timekeeper, BoxHome, BoxVisitors, ShotCounter, Announcer,
		HeadCoach, Coach, Manager, Trainer, OtherRole:
		return true
	default:
		return false
	}
}

func (s Signed) validate() error {
	if !s.Role.Valid() {
		return invalid("role", "invalid.role", "role", message.Plain(s.Role))
	}
	if err := validateName("name", s.Name); err != nil {
		return err
	}
	if utf8.RuneCountInString(s.Code) > maxText {
		return invalid("code", "invalid.code")
	}
	if len(s.Drawing) > maxDrawing {
		return invalid("drawing", "invalid.drawing_long")
	}
	for _, r := range s.Drawing {
		if !strings.ContainsRune(penPath, r) {
			return invalid("drawing", "invalid.drawing")
		}
	}
	return nil
}

func (w Withdrawn) validate() error {
	const base64Most = 200
	if len(w.Texts)+len(w.Lines) == 0 || len(w.Texts) > maxWithdrawn || len(w.Lines) > maxWithdrawn || w.Key == "" || w.Signature == "" ||
		len(w.Key) > base64Most || len(w.Signature) > base64Most {
		return invalid("withdrawn", "invalid.withdrawal")
	}
	for _, text := range w.Texts {
		if !validCommitment(text) {
			return invalid("withdrawn", "invalid.withdrawal")
		}
	}
	for _, line := range w.Lines {
		if !ValidID(line.Entry) || !hexadecimal(line.Hash) {
			return invalid("withdrawn", "invalid.withdrawal")
		}
	}
	return nil
}

func (s Sealed) validate() error {
	const hash, base64Most = 64, 200
	if s.Version < 1 || len(s.Head) != hash || s.Key == "" || s.Signature == "" ||
		len(s.Key) > base64Most || len(s.Signature) > base64Most {
		return invalid("seal", "invalid.seal")
	}
	if utf8.RuneCountInString(s.Missing) > maxText {
		return invalid("missing", "invalid.missing_long", "most", maxText)
	}
	return nil
}

func (n Note) validate() error {
	if n.Text == "" || utf8.RuneCountInString(n.Text) > maxText {
		return invalid("text", "invalid.note", "most", maxText)
	}
	if n.About != SuspendedPlay && (n.Side != "" || n.Player != "") {
		return invalid("player", "invalid.note_player")
	}
	switch n.About {
	case Remark, Incident, InjuryNote, LateStart, Curfew, Finish, EquipmentNote:
		return nil
	case SuspendedPlay:
		if err := validateSide(n.Side); err != nil {
			return err
		}
		if n.Player == "" {
			return invalid("player", "invalid.suspended_play")
		}
		return validateJerseys("player", []Jersey{n.Player})
	default:
		return invalid("about", "invalid.about", "about", message.Plain(n.About))
	}
}

// validatePerson checks what a roster says about a player besides the number.
func validatePerson(p Player) error {
	switch p.Position {
	case PositionUnsaid, Keeps, Defence, Forward:
	default:
		return invalid("position", "invalid.position", "number", p.Number, "position", message.Plain(p.Position))
	}
	switch p.Status {
	case Dressed, Absent, Late, Suspended, Affiliate:
		return nil
	default:
		return invalid("status", "invalid.status", "number", p.Number, "status", message.Plain(p.Status))
	}
}

func validateOnIce(on OnIce) error {
	for _, side := range Sides {
		list := on.Of(side)
		if len(list) > maxOnIce {
			return invalid("on_ice", "invalid.on_ice", "most", maxOnIce)
		}
		if err := validateJerseys("on_ice", list); err != nil {
			return err
		}
		for i, j := range list {
			for _, other := range list[:i] {
				if j != "" && j == other {
					return invalid("on_ice", "invalid.on_ice_twice", "number", j)
				}
			}
		}
	}
	return nil
}
