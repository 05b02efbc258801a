package roster

import (
	"regexp"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Level says how bad a finding is.
type Level string

// The levels.
const (
	Mistake Level = "mistake" // the roster cannot be used like that
	Look    Level = "look"    // it can, but somebody should look
)

// Field is what a cell of a roster is about.
type Field string

// The fields of a roster.
const (
	FieldNumber   Field = "number"
	FieldName     Field = "name"
	FieldFirst    Field = "first_name"
	FieldLast     Field = "last_name"
	FieldPosition Field = "position"
	FieldStatus   Field = "status"
	FieldLetter   Field = "letter" // C and A
	FieldRole     Field = "role"   // of staff
	FieldDressed  Field = "dressed"
)

// Finding is a mistake in a roster, or something to look at.
type Finding struct {
	Level  Level     `json:"level"`
	Row    int       `json:"row,omitempty"`    // from 1; 0: the whole roster
	Column int       `json:"column,omitempty"` // from 1; 0: the whole row
	Field  Field     `json:"field,omitempty"`
	Say    rules.Say `json:"say"`
}

// Sheet is a roster that was read.
type Sheet struct {
	Team     entry.Team `json:"team"`
	Findings []Finding  `json:"findings"` // of reading; Check adds its own
	Header   int        `json:"header"`   // row of the column names; 0: there is none, and the columns were guessed

	rows    []int         // of the players, in the order of the team
	columns map[Field]int // from 1; of the fields
}

// Limits of what is read.
const (
	rowsMost    = 1000
	columnsMost = 100
	textMost    = 200 // runes of a cell
)

// Usable reports whether a roster can be used.
func Usable(findings []Finding) bool {
	for _, f := range findings {
		if f.Level == Mistake {
			return false
		}
	}
	return true
}

func (s *Sheet) find(level Level, row int, field Field, key string, pairs ...string) {
	f := Finding{Level: level, Row: row, Field: field, Say: sayPairs(key, pairs...)}
	if row > 0 {
		f.Column = s.columns[field]
	}
	s.Findings = append(s.Findings, f)
}

// clean takes out of a cell what nobody sees: control and format characters, and
// white space at the ends or doubled. Letters are composed, so that the same name
// is the same text.
func clean(text string) string {
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case !unicode.IsGraphic(r) || r == unicode.ReplacementChar: // an entry takes none of them
			return -1
		default:
			return r
		}
	}, text)
	return norm.NFC.String(strings.Join(strings.Fields(text), " "))
}

// plain is a word without case, accents, dots and the like, to compare with.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '#' {
			return unicode.ToLower(r)
		}
		return -1
	}, norm.NFD.String(text))
}

// Cells reads a sheet of cells: the rows as they stand, empty ones too. Rows and
// columns of findings are those of the sheet.
func Cells(rows [][]string) Sheet {
	s := Sheet{Findings: []Finding{}, columns: map[Field]int{}}
	if len(rows) > rowsMost {
		s.find(Mistake, rowsMost+1, "", "roster.too_many_rows", "most", number(rowsMost))
		return s
	}
	cleaned := make([][]string, len(rows))
	for i, row := range rows {
		if len(row) > columnsMost {
			s.find(Mistake, i+1, "", "roster.too_many_columns", "most", number(columnsMost))
			return s
		}
		cleaned[i] = make([]string, len(row))
		for j, text := range row {
			if len([]rune(text)) > textMost {
				s.Findings = append(s.Findings, Finding{
					Level: Mistake, Row: i + 1, Column: j + 1,
					Say: rules.Say{Key: "roster.too_long", Args: rules.Pairs("most", number(textMost))},
				})
				text = string([]rune(text)[:textMost])
			}
			kept, dropped := withoutPrivate(clean(text))
			for _, key := range dropped {
				s.Findings = append(s.Findings, Finding{Level: Look, Row: i + 1, Column: j + 1, Say: rules.Say{Key: key}})
			}
			cleaned[i][j] = kept
		}
	}
	s.read(cleaned)
	return s
}

// read reads rows of clean cells.
func (s *Sheet) read(rows [][]string) {
	s.findHeader(rows)
	if s.Header == 0 {
		s.columns = guess(rows)
	}
	for i, row := range rows {
		switch {
		case empty(row):
		case i+1 < s.Header, s.Header == 0 && alone(row):
			s.title(row)
		case i+1 == s.Header:
		case heading(row):
		default:
			s.person(i+1, row)
		}
	}
	if len(s.Team.Players) == 0 {
		s.find(Mistake, 0, "", "roster.nobody")
	}
}

func empty(row []string) bool {
	for _, text := range row {
		if text != "" {
			return false
		}
	}
	return true
}

// alone reports whether a row has a single cell with text that is no number.
func alone(row []string) bool {
	count := 0
	for _, text := range row {
		if text != "" {
			count++
			if _, ok := jersey(text); ok {
				return false
			}
		}
	}
	return count == 1
}

// headings are rows that begin a part of a list.
var headings = words("players", "roster", "line up", "lineup", "team staff", "staff", "coaches", "coaching staff",
	"bench staff", "team officials", "team roster", "official roster", "game roster", "player list", "list of players", "goalkeepers", "goalies", "forwards", "defence", "defense", "skaters")

func heading(row []string) bool { return alone(row) && headings[plain(strings.Join(row, ""))] }

// title takes the name of the team from a line above the players.
func (s *Sheet) title(row []string) {
	var texts []string
	for _, text := range row {
		if text != "" {
			texts = append(texts, text)
		}
	}
	if s.Team.Name != "" || heading(row) {
		return
	}
	name, rest, labelled := strings.Cut(strings.Join(texts, " "), ":")
	switch {
	case labelled && ofTeam[plain(name)]:
		s.Team.Name = withoutTitle(rest)
	case len(texts) == 2 && ofTeam[plain(texts[0])]:
		s.Team.Name = withoutTitle(texts[1])
	case len(texts) == 1 && !labelled:
		s.Team.Name = withoutTitle(texts[0])
	}
}

// ofTeam are the words before the name of a team.
var ofTeam = words("team", "team name", "club", "roster", "team roster", "line-up", "squad")

// season is what titles of sheets have beside the name of a team.
var season = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)[ ,–-]*\b(?:season)? ?(?:19|20)\d\d(?:[/–-](?:19|20)?\d\d)?\b`)
})

// withoutTitle leaves the name of a team of the title of a sheet, such as "Kelp
// Bay - Roster 2026/27". A title that names nobody leaves nothing.
func withoutTitle(text string) string {
	text = season().ReplaceAllString(text, " ")
	for again := true; again; {
		again = false
		for _, word := range []string{"official team roster", "team roster", "game roster", "roster", "player list", "list of players", "players", "line-up", "lineup", "squad"} {
			if rest, found := cutSuffixFold(strings.TrimSpace(text), word); found {
				text, again = strings.TrimRight(rest, " ,–-:|"), true
			}
		}
	}
	return strings.TrimSpace(text)
}

func cutSuffixFold(text, end string) (string, bool) {
	at := len(text) - len(end)
	if at < 0 || !strings.EqualFold(text[at:], end) || at > 0 && text[at-1] != ' ' {
		return text, false
	}
	return text[:at], true
}
