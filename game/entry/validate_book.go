package entry

import (
	"strings"
	"unicode/utf8"
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

// validateBook checks the bodies that only the book keeps.
func validateBook(b Body) error {
	switch b := b.(type) {
	case Shots:
		if b.Count < 1 || b.Count > maxShots {
			return invalid("count", "Count 1 to %d shots at once, not %d.", maxShots, b.Count)
		}
		return validateSide(b.Side)
	case FaceOff:
		if err := validateSide(b.Won); err != nil {
			return err
		}
		return validateJerseys("player", []Jersey{b.Home, b.Visitors})
	case Attempt:
		return validateAttempt(b)
	case Announced:
		if b.What == "" || len(b.What) > maxText {
			return invalid("what", "Say which announcement was made.")
		}
		return nil
	case RosterConfirmed:
		if err := validateSide(b.Side); err != nil {
			return err
		}
		return validateName("by", b.By)
	case CrewSet:
		if err := validateOfficials("officials", b.Officials); err != nil {
			return err
		}
		return validateOfficials("crew", b.Crew)
	case Signed:
		return validateSigned(b)
	case Sealed:
		return validateSealed(b)
	case ClockDoubted:
		return validateDoubt(b)
	case Withdrawn:
		return validateWithdrawn(b)
	default:
		return invalid("kind", "There is no entry of this kind.")
	}
}

func validateDoubt(b ClockDoubted) error {
	if b.Asleep < 0 || b.Asleep > maxAsleep {
		return invalid("asleep_ms", "A computer does not sleep for %s during a game.", b.Asleep)
	}
	switch b.Why {
	case Slept, Stepped, Restarted, NotYet, Moved:
	default:
		return invalid("why", "A clock cannot be doubted because of %q.", b.Why)
	}
	if len(b.Readings) > maxReadings {
		return invalid("readings", "A clock has at most %d readings.", maxReadings)
	}
	for _, r := range b.Readings {
		switch r.By {
		case LastKnown, Counted, TimeOfDay:
		default:
			return invalid("readings", "There is no reading by %q.", r.By)
		}
		if err := validateLength("readings", r.Elapsed); err != nil {
			return err
		}
	}
	return validateLength("elapsed_ms", b.Elapsed)
}

func validateAttempt(a Attempt) error {
	if err := validateSide(a.Side); err != nil {
		return err
	}
	switch a.On {
	case PenaltyShotAttempt:
		if a.Scored {
			return invalid("scored", "A penalty shot that scored is a goal: enter it as one.")
		}
	case ShootOutAttempt:
	default:
		return invalid("on", "A player shoots alone in a penalty shot or in a shoot-out, not %q.", a.On)
	}
	return validateJerseys("player", []Jersey{a.Player, a.Goalkeeper})
}

func validateName(field, name string) error {
	if strings.TrimSpace(name) == "" {
		return invalid(field, "Write the name.")
	}
	if utf8.RuneCountInString(name) > maxText {
		return invalid(field, "The name is too long.")
	}
	return nil
}

func validateOfficials(field string, list []Official) error {
	if len(list) > maxOfficials {
		return invalid(field, "At most %d people can be listed.", maxOfficials)
	}
	for _, o := range list {
		if !o.Role.Valid() {
			return invalid(field, "There is no role %q.", o.Role)
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

func validateSigned(s Signed) error {
	if !s.Role.Valid() {
		return invalid("role", "There is no role %q.", s.Role)
	}
	if err := validateName("name", s.Name); err != nil {
		return err
	}
	if utf8.RuneCountInString(s.Code) > maxText {
		return invalid("code", "The code is too long.")
	}
	if len(s.Drawing) > maxDrawing {
		return invalid("drawing", "The signature has too many strokes. Clear it and sign again.")
	}
	for _, r := range s.Drawing {
		if !strings.ContainsRune(penPath, r) {
			return invalid("drawing", "The signature cannot be read. Clear it and sign again.")
		}
	}
	return nil
}

func validateWithdrawn(w Withdrawn) error {
	const base64Most = 200
	if len(w.Texts)+len(w.Lines) == 0 || len(w.Texts) > maxWithdrawn || len(w.Lines) > maxWithdrawn || w.Key == "" || w.Signature == "" ||
		len(w.Key) > base64Most || len(w.Signature) > base64Most {
		return invalid("withdrawn", "This is not a withdrawal that the program made.")
	}
	for _, text := range w.Texts {
		if !validCommitment(text) {
			return invalid("withdrawn", "This is not a withdrawal that the program made.")
		}
	}
	for _, line := range w.Lines {
		if !ValidID(line.Entry) || !hexadecimal(line.Hash) {
			return invalid("withdrawn", "This is not a withdrawal that the program made.")
		}
	}
	return nil
}

func validateSealed(s Sealed) error {
	const hash, base64Most = 64, 200
	if s.Version < 1 || len(s.Head) != hash || s.Key == "" || s.Signature == "" ||
		len(s.Key) > base64Most || len(s.Signature) > base64Most {
		return invalid("seal", "This is not a seal that the program made.")
	}
	if utf8.RuneCountInString(s.Missing) > maxText {
		return invalid("missing", "Give the reason in at most %d characters.", maxText)
	}
	return nil
}

func validateNote(n Note) error {
	if n.Text == "" || utf8.RuneCountInString(n.Text) > maxText {
		return invalid("text", "A note needs a text of at most %d characters.", maxText)
	}
	switch n.About {
	case Remark, Incident, InjuryNote, LateStart, Curfew, Finish, EquipmentNote:
		return nil
	default:
		return invalid("about", "A note cannot be about %q.", n.About)
	}
}

// validatePerson checks what a roster says about a player besides the number.
func validatePerson(p Player) error {
	switch p.Position {
	case PositionUnsaid, Keeps, Defence, Forward:
	default:
		return invalid("position", "Number %s cannot play %q: it is goalkeeper, defence or forward.", p.Number, p.Position)
	}
	switch p.Status {
	case Dressed, Absent, Late, Suspended, Affiliate:
		return nil
	default:
		return invalid("status", "Number %s cannot be %q.", p.Number, p.Status)
	}
}

func validateOnIce(on OnIce) error {
	for _, side := range Sides {
		list := on.Of(side)
		if len(list) > maxOnIce {
			return invalid("on_ice", "At most %d players of a side are on the ice. Take some off.", maxOnIce)
		}
		if err := validateJerseys("on_ice", list); err != nil {
			return err
		}
		for i, j := range list {
			for _, other := range list[:i] {
				if j != "" && j == other {
					return invalid("on_ice", "Number %s is on the ice twice. Take one off.", j)
				}
			}
		}
	}
	return nil
}
