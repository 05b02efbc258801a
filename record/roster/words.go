package roster

import (
	"strconv"
	"strings"

	"whistlestop/game/entry"
)

func number(n int) string { return strconv.Itoa(n) }

// words makes a set of words as plain writes them.
func words(list ...string) map[string]bool {
	set := map[string]bool{}
	for _, one := range list {
		set[plain(one)] = true
	}
	return set
}

// named gives a field its spellings in the heads of columns: what leagues and
// teams write in English (common practice, no source).
var named = map[Field]map[string]bool{
	FieldNumber: words("number", "no", "no.", "nr", "nbr", "num", "#", "jersey", "jersey no", "jersey number", "jersey #",
		"sweater", "sweater number", "shirt", "shirt number", "player number", "player no", "player #"),
	FieldName:     words("name", "player", "player name", "full name", "players", "participant", "name of player"),
	FieldFirst:    words("first name", "first", "given name", "given names", "forename", "firstname", "player first name"),
	FieldLast:     words("last name", "last", "surname", "family name", "lastname", "player last name"),
	FieldPosition: words("position", "pos", "pos.", "plays", "playing position", "primary position"),
	FieldStatus:   words("status", "player status", "availability"),
	FieldLetter:   words("letter", "captain", "c/a", "ca", "c a", "captaincy", "leadership", "capt"),
	FieldRole:     words("role", "function", "type", "staff role", "title", "member type", "person type"),
	FieldDressed:  words("dressed", "dressing", "playing", "in line-up", "in lineup", "lineup", "plays today", "present"),
}

// order is that of the fields, so that nothing depends on the order of a map.
var order = []Field{
	FieldNumber, FieldName, FieldFirst, FieldLast, FieldPosition, FieldStatus, FieldLetter, FieldRole, FieldDressed,
}

// fieldOf returns the field that the head of a column names.
func fieldOf(title string) (Field, bool) {
	for _, f := range order {
		if title != "" && named[f][plain(title)] {
			return f, true
		}
	}
	return "", false
}

var positions = map[entry.Position]map[string]bool{
	entry.Keeps: words("g", "gk", "goal", "goalie", "goaltender", "goalkeeper", "goal keeper", "keeper", "goaler", "netminder",
		"gardien", "gardienne", "gardien de but", "torwart", "torhüter", "torhüterin", "tw", "maalivahti", "mv", "målvakt", "målvakter", "keeper",
		"målmand", "brankář", "brankářka", "brankár", "portiere", "bramkarz", "vārtsargs", "вратарь", "portero", "golman", "kapus"),
	entry.Defence: words("d", "ld", "rd", "lhd", "rhd", "df", "def", "defence", "defense", "defender", "defenceman", "defenseman",
		"left defence", "right defence", "left defense", "right defense", "back",
		"défenseur", "défenseure", "défense", "verteidiger", "verteidigerin", "puolustaja", "försvarare", "försvar", "forsvar", "forsvarsspiller",
		"obránce", "obránkyně", "obranca", "difensore", "obrońca", "aizsargs", "защитник", "defensa", "hátvéd"),
	entry.Forward: words("f", "fw", "fwd", "forward", "c", "ce", "center", "centre", "w", "lw", "rw", "wing", "winger",
		"left wing", "right wing", "c/lw", "c/rw", "lw/rw", "rw/lw", "c/w", "w/c", "lw/c", "rw/c", "attack", "att",
		"attaquant", "attaquante", "ailier", "ailière", "stürmer", "stürmerin", "angreifer", "hyökkääjä", "anfallare", "angrep", "angriber",
		"útočník", "útočnice", "attaccante", "napastnik", "uzbrucējs", "нападающий", "delantero", "csatár", "laitahyökkääjä", "keskushyökkääjä"),
}

// skater are words for somebody who plays anywhere but in goal.
var skater = words("s", "skater", "player", "p", "f/d", "d/f", "utility", "u", "any", "-", "–", "n/a", "sk")

// positionOf reads a position. Unknown words are not ok.
func positionOf(text string) (p entry.Position, ok bool) {
	word := plain(text)
	if word == "" || skater[word] {
		return entry.PositionUnsaid, true
	}
	for _, p := range []entry.Position{entry.Keeps, entry.Defence, entry.Forward} {
		if positions[p][word] {
			return p, true
		}
	}
	return entry.PositionUnsaid, false
}

var statuses = map[entry.PlayerStatus]map[string]bool{
	entry.Dressed: words("dressed", "active", "playing", "plays", "yes", "y", "x", "ok", "available", "in", "present", "healthy",
		"rostered", "registered", "eligible", "regular", "full"),
	entry.Absent: words("absent", "out", "no", "n", "scratch", "scratched", "injured", "injury", "ill", "sick", "away",
		"not playing", "inactive", "unavailable", "not dressed", "dnp", "did not play"),
	entry.Late:      words("late", "arrives late", "coming late", "expected", "expected late", "running late"),
	entry.Suspended: words("suspended", "susp", "suspension", "serving suspension", "ineligible", "banned", "sus"),
	entry.Affiliate: words("affiliate", "affiliated", "ap", "affiliate player", "call-up", "called up", "call up", "spare",
		"substitute", "sub", "double rostered", "guest"),
}

// statusOf reads a status. Unknown words are not ok.
func statusOf(text string) (s entry.PlayerStatus, ok bool) {
	word := plain(text)
	if word == "" {
		return entry.Dressed, true
	}
	for _, s := range []entry.PlayerStatus{entry.Dressed, entry.Absent, entry.Late, entry.Suspended, entry.Affiliate} {
		if statuses[s][word] {
			return s, true
		}
	}
	return entry.Dressed, false
}

var staff = map[entry.Role]map[string]bool{
	entry.HeadCoach: words("head coach", "hc", "headcoach"),
	entry.Coach: words("coach", "assistant coach", "asst coach", "asst. coach", "assistant", "ac", "associate coach",
		"goalie coach", "goalkeeper coach"),
	entry.Manager: words("manager", "team manager", "team leader", "tm", "mgr"),
	entry.Trainer: words("trainer", "athletic trainer", "safety person", "physiotherapist", "physio", "hockey safety",
		"hcsp", "first aid", "medic", "doctor"),
	entry.OtherRole: words("staff", "official", "team official", "equipment manager", "equipment", "other", "volunteer",
		"stick", "video", "bench staff"),
}

// staffOf reads a role of somebody who does not play.
func staffOf(text string) (r entry.Role, ok bool) {
	word := plain(text)
	for _, r := range []entry.Role{entry.HeadCoach, entry.Coach, entry.Manager, entry.Trainer, entry.OtherRole} {
		if word != "" && staff[r][word] {
			return r, true
		}
	}
	return "", false
}

// letterOf reads the letter of a captain or an alternate.
func letterOf(text string) (captain, alternate, ok bool) {
	switch plain(text) {
	case "", "no", "n":
		return false, false, true
	case "c", "captain", "capt", "yes", "y", "x":
		return true, false, true
	case "a", "alternate", "assistant", "alternatecaptain", "assistantcaptain", "alt":
		return false, true, true
	default:
		return false, false, false
	}
}

// jersey reads a sweater number as people write it: 7, 07, #7, No. 7, and 7.0
// where a spreadsheet took it for a measure.
func jersey(text string) (entry.Jersey, bool) {
	text = strings.TrimSpace(text)
	for _, before := range []string{"#", "No.", "no.", "No", "no", "Nr.", "nr."} {
		if rest, found := strings.CutPrefix(text, before); found {
			text = strings.TrimSpace(rest)
			break
		}
	}
	text = strings.TrimSuffix(strings.TrimSuffix(text, "."), ".0")
	j := entry.Jersey(text)
	return j, text != "" && j.Valid()
}
