package league

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/message"
)

// Edit is a change of one setting of a league file's text. The rest of the text stays as
// it is, with its comments.
type Edit struct {
	Table  string // as the header has it: standings, rink, division.standings; empty: the settings at the top
	At     int    // which of the tables of a list, from 0; as many as there are: a new one
	Key    string // empty with Remove: the whole table, one of a list or a division's own
	Value  string // JSON: a text, a number, true or false, a list, or a list of settings in a line
	Remove bool
}

// days are the settings whose texts are days, which a file has without quotes.
var days = []string{"from", "to", "on", "except"}

// lists are the tables that stand in a list.
var lists = []string{"rink", "ice", "closed", "shared", "division", "person", ownTriggers}

// Apply makes edits in the text of a league file, one after another. It also gives the
// comments that go with what was replaced. What comes of it is not validated.
func Apply(text []byte, edits []Edit) (out []byte, lost []string, err error) {
	t := toText(text)
	for _, e := range edits {
		if err := t.apply(e); err != nil {
			return nil, nil, err
		}
	}
	return []byte(strings.Join(t.lines, "\n")), t.lost, nil
}

type editor struct {
	lines []string
	lost  []string
}

func toText(text []byte) *editor {
	return &editor{lines: strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n")}
}

func (t *editor) apply(e Edit) error {
	value := ""
	if !e.Remove {
		var v any
		decoder := json.NewDecoder(strings.NewReader(e.Value))
		decoder.UseNumber()
		if err := decoder.Decode(&v); err != nil {
			return message.New("league_edit.value", "setting", message.Plain(e.Key))
		}
		value = literal(e.Key, v, true)
	}
	if e.Key != "" && !plainKey(e.Key) || !known(e.Table) {
		return message.New("league_edit.value", "setting", message.Plain(e.Table+"."+e.Key))
	}
	begin, end, there := t.table(e.Table, e.At)
	switch {
	case e.Key == "" && e.Remove && removable(e.Table):
		if there {
			t.take(e.Table, begin-1, end)
		}
		if e.Table == OwnBook { // its tables may stand anywhere in the file
			t.takeWithin(OwnBook)
		}
		return nil
	case e.Key == "":
		return message.New("league_edit.value", "setting", message.Plain(e.Table))
	case !there && e.Remove:
		return nil
	case !there:
		if begin, end, there = t.add(e.Table, e.At); !there {
			return message.New("league_edit.value", "setting", message.Plain(e.Table))
		}
	}
	from, to, is := t.setting(e.Key, begin, end)
	switch {
	case is && e.Remove:
		t.drop(from, to)
	case is:
		after := ""
		if to == from+1 {
			_, after = cutComment(t.lines[from])
		} else {
			t.note(from, to)
		}
		if after != "" {
			after = " " + after
		}
		indent := t.lines[from][:len(t.lines[from])-len(strings.TrimLeft(t.lines[from], " \t"))]
		t.lines = slices.Replace(t.lines, from, to, strings.Split(indent+e.Key+" = "+value+after, "\n")...)
	case !e.Remove:
		at := t.last(begin, end)
		t.lines = slices.Insert(t.lines, at, strings.Split(e.Key+" = "+value, "\n")...)
	}
	return nil
}

// Tables within tables.
const (
	ofDivision  = "division."
	own         = ".own"
	serving     = ".serving"
	ownTriggers = OwnBook + ".trigger"
)

// OwnBook is the table of a league's own book of suspensions. Its rules are a list within.
const OwnBook = "suspensions" + own

// known says whether a league file has such a table.
func known(table string) bool {
	return table == "" || slices.Contains(lists, table) || slices.Contains([]string{
		"limits", "standings", "standings" + own, "suspensions", "suspensions" + serving, OwnBook, OwnBook + serving, "hand_in", "figures", ofDivision + "standings", ofDivision + "standings" + own,
	}, table)
}

// removable says whether such a table may be taken out as a whole.
func removable(table string) bool {
	return slices.Contains(lists, table) || strings.HasPrefix(table, ofDivision) || strings.HasSuffix(table, own) || table == "suspensions"+serving
}

// take takes a table out with the tables within it. A comment over the next header stays
// with that.
func (t *editor) take(name string, from, end int) {
	for end < len(t.lines) {
		if header, _ := headerOf(t.lines[end]); !strings.HasPrefix(header, name+".") {
			break
		}
		for end++; end < len(t.lines); end++ {
			if header, _ := headerOf(t.lines[end]); header != "" {
				break
			}
			if _, to, is := t.settingAt(end, len(t.lines)); is {
				end = to - 1
			}
		}
	}
	end = t.last(from, end)
	if from > 0 && strings.TrimSpace(t.lines[from-1]) == "" && (end == len(t.lines) || strings.TrimSpace(t.lines[end]) == "") {
		from--
	}
	t.drop(from, end)
}

// takeWithin takes out every table within one, wherever it stands.
func (t *editor) takeWithin(name string) {
	for i := 0; i < len(t.lines); i++ {
		if header, _ := headerOf(t.lines[i]); !strings.HasPrefix(header, name+".") {
			if _, to, is := t.settingAt(i, len(t.lines)); header == "" && is {
				i = to - 1
			}
			continue
		}
		end := i + 1
		for ; end < len(t.lines); end++ {
			if header, _ := headerOf(t.lines[end]); header != "" {
				break
			}
			if _, to, is := t.settingAt(end, len(t.lines)); is {
				end = to - 1
			}
		}
		t.drop(i, max(i+1, t.last(i, end)))
		i--
	}
}

func plainKey(key string) bool {
	return strings.Trim(key, "abcdefghijklmnopqrstuvwxyz_0123456789") == ""
}

// table finds the lines of a table after its header.
func (t *editor) table(name string, at int) (begin, end int, there bool) {
	count, division, inside := -1, -1, name == ""
	if inside {
		begin, there = 0, true
	}
	for i := 0; i < len(t.lines); i++ {
		header, list := headerOf(t.lines[i])
		if header == "" {
			if _, to, is := t.settingAt(i, len(t.lines)); is {
				i = to - 1 // what is in a list of several lines is no header
			}
			continue
		}
		if inside {
			return begin, i, true
		}
		if list && header == "division" {
			division++
		}
		if header != name {
			continue
		}
		if list {
			count++
		}
		of := 0
		if strings.HasPrefix(name, ofDivision) {
			of = division
		} else if list {
			of = count
		}
		if of == at {
			begin, inside, there = i+1, true, true
		}
	}
	return begin, len(t.lines), there
}

// add puts a table into the file: one of a division behind what the division has, any
// other at the end.
func (t *editor) add(name string, at int) (begin, end int, added bool) {
	place, header := len(t.lines), "["+name+"]"
	if slices.Contains(lists, name) {
		header = "[[" + name + "]]"
		if at > 0 {
			if _, _, before := t.table(name, at-1); !before {
				return 0, 0, false
			}
		}
	}
	if strings.HasPrefix(name, ofDivision) {
		_, to, there := t.table("division", at)
		if !there {
			return 0, 0, false
		}
		if upper, is := strings.CutSuffix(name, own); is {
			if _, behind, has := t.table(upper, at); has {
				to = behind
			}
		}
		place = to
	}
	place = t.last(0, place)
	t.lines = slices.Insert(t.lines, place, "", header)
	return place + 2, place + 2, true
}

// last is behind the last line with something on it.
func (t *editor) last(begin, end int) int {
	for end > begin && strings.TrimSpace(t.lines[end-1]) == "" {
		end--
	}
	for end > begin && strings.HasPrefix(strings.TrimSpace(t.lines[end-1]), "#") && end < len(t.lines) {
		end-- // a comment over the next header belongs to that
	}
	for end > begin && strings.TrimSpace(t.lines[end-1]) == "" {
		end--
	}
	return end
}

// setting finds the lines of a setting.
func (t *editor) setting(key string, begin, end int) (from, to int, is bool) {
	for i := begin; i < end; i++ {
		name, last, found := t.settingAt(i, end)
		if found && name == key {
			return i, last, true
		}
		if found {
			i = last - 1
		}
	}
	return 0, 0, false
}

// settingAt reads the setting that begins on a line, and where its lines end.
func (t *editor) settingAt(at, end int) (name string, to int, is bool) {
	code, _ := cutComment(t.lines[at])
	name, value, is := strings.Cut(code, "=")
	name = strings.TrimSpace(name)
	if !is || !plainKey(name) || name == "" {
		return "", 0, false
	}
	depth := depthOf(value)
	for to = at + 1; depth > 0 && to < end; to++ {
		code, _ := cutComment(t.lines[to])
		depth += depthOf(code)
	}
	return name, to, true
}

func (t *editor) drop(from, to int) {
	t.note(from, to)
	t.lines = slices.Delete(t.lines, from, to)
}

// note keeps the comments of lines that go.
func (t *editor) note(from, to int) {
	for _, line := range t.lines[from:to] {
		if _, comment := cutComment(line); comment != "" {
			t.lost = append(t.lost, comment)
		}
	}
}

// headerOf is the table that a line begins, and whether it is one of a list.
func headerOf(line string) (name string, list bool) {
	code, _ := cutComment(line)
	code = strings.TrimSpace(code)
	if inner, is := strings.CutPrefix(code, "[["); is {
		name, is = strings.CutSuffix(inner, "]]")
		return strings.TrimSpace(name), is
	}
	if inner, is := strings.CutPrefix(code, "["); is {
		if name, is = strings.CutSuffix(inner, "]"); is {
			return strings.TrimSpace(name), false
		}
	}
	return "", false
}

// cutComment takes a line apart at its comment, which is not within quotes.
func cutComment(line string) (code, comment string) {
	at := outside(line, func(c byte) bool { return c == '#' })
	if at < 0 {
		return line, ""
	}
	return line[:at], line[at:]
}

// depthOf is how many brackets a piece of code opens more than it closes.
func depthOf(code string) (depth int) {
	outside(code, func(c byte) bool {
		switch c {
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		}
		return false
	})
	return depth
}

// outside finds the first byte outside of quotes that is wanted.
func outside(text string, wanted func(byte) bool) int {
	quote := byte(0)
	for i := 0; i < len(text); i++ {
		c := text[i]
		switch {
		case quote == '"' && c == '\\':
			i++
		case quote != 0 && c == quote:
			quote = 0
		case quote != 0:
		case c == '"' || c == '\'':
			quote = c
		case wanted(c):
			return i
		}
	}
	return -1
}

// literal writes a value as TOML has it.
func literal(key string, v any, top bool) string {
	switch v := v.(type) {
	case string:
		if slices.Contains(days, key) && isDay(v) {
			return v
		}
		return quoted(v)
	case json.Number:
		return v.String()
	case bool:
		return strconv.FormatBool(v)
	case []any:
		parts := make([]string, len(v))
		rows := false
		for i, one := range v {
			_, row := one.(map[string]any)
			rows = rows || row
			parts[i] = literal(key, one, false)
		}
		if top && rows {
			return "[\n  " + strings.Join(parts, ",\n  ") + ",\n]"
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		slices.SortFunc(names, func(a, b string) int {
			if first := rank(a) - rank(b); first != 0 {
				return first
			}
			return strings.Compare(a, b)
		})
		parts := make([]string, len(names))
		for i, name := range names {
			parts[i] = bareKey(name) + " = " + literal(name, v[name], false)
		}
		if len(parts) == 0 {
			return "{}"
		}
		return "{ " + strings.Join(parts, ", ") + " }"
	}
	return quoted("")
}

// rank puts what a row is known by first.
func rank(name string) int {
	if at := slices.Index([]string{"id", "name", "home"}, name); at >= 0 {
		return at
	}
	return 3
}

func bareKey(name string) string {
	if name != "" && strings.Trim(name, "abcdefghijklmnopqrstuvwxyz_0123456789-") == "" {
		return name
	}
	return quoted(name)
}

func isDay(text string) bool {
	return len(text) == len("2026-10-03") && text[4] == '-' && text[7] == '-' && strings.Trim(text, "0123456789-") == ""
}

// quoted writes a text between quotes; what has no place on a line becomes a blank.
func quoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range strings.ToValidUTF8(text, "") {
		switch {
		case c == '"' || c == '\\':
			b.WriteByte('\\')
			b.WriteRune(c)
		case c < ' ' || c == 0x7f:
			b.WriteByte(' ')
		default:
			b.WriteRune(c)
		}
	}
	b.WriteByte('"')
	return b.String()
}
