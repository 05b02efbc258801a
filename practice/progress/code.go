package progress

import (
	"encoding/base32"
	"hash/crc32"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"whistlestop/game/message"
	"whistlestop/practice/grade"
	"whistlestop/practice/plot"
)

// mostName is the most bytes that a name of a result has.
const mostName = 60

// letters leave out I, L, O and U, which are misread or misheard (the alphabet of
// Crockford's base 32, from memory).
var letters = base32.NewEncoding("0123456789ABCDEFGHJKMNPQRSTVWXYZ").WithPadding(base32.NoPadding)

// The first byte of a code. One with critical errors has the second, so that a site from
// before these were told apart says that it is older and does not take such a result for
// one without.
const (
	codeVersion  = 1
	codeCritical = 2
)

// EncodeResult writes a result as a short code that can be read out, typed or
// sent: five letters a group. Skills are kept as parts of a hundred.
func EncodeResult(r Result) (string, error) {
	name, script := strings.TrimSpace(r.Name), r.Script
	seat := slices.Index(Seats, r.Seat)
	switch {
	case name == "" || len(name) > mostName || !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		return "", message.New("kept.name", "most", mostName)
	case !plot.IsID(script):
		return "", message.New("kept.script", "script", message.Plain(script))
	case seat < 0:
		return "", message.New("kept.seat", "seat", message.Plain(r.Seat))
	case r.Level < 1 || r.Level > plot.Levels || r.Score < 0 || r.Score > 100 || r.Day < 0 || r.Day > 1<<16-1:
		return "", message.New("kept.values")
	}
	flags := byte(seat<<4 | r.Level)
	if r.Drill {
		flags |= 0x80
	}
	version := byte(codeVersion)
	if len(r.Critical) > 0 {
		version = codeCritical
	}
	raw := []byte{version, flags, byte(r.Day >> 8), byte(r.Day), byte(r.Score)}
	mask := uint32(0)
	var parts []byte
	for i, s := range plot.Skills {
		at := slices.IndexFunc(r.Skills, func(k grade.SkillScore) bool { return k.Skill == s && k.Of > 0 })
		if at >= 0 {
			k := r.Skills[at]
			mask |= 1 << i
			parts = append(parts, byte(100*min(max(0, k.Right), k.Of)/k.Of))
		}
	}
	raw = append(raw, byte(mask>>16), byte(mask>>8), byte(mask))
	raw = append(raw, parts...)
	if version == codeCritical {
		kinds := uint16(0)
		for i, kind := range grade.Criticals {
			if slices.Contains(r.Critical, kind) {
				kinds |= 1 << i
			}
		}
		raw = append(raw, byte(kinds>>8), byte(kinds))
	}
	raw = append(append(raw, byte(len(script))), script...)
	raw = append(append(raw, byte(len(name))), name...)
	sum := crc32.ChecksumIEEE(raw)
	raw = append(raw, byte(sum>>24), byte(sum>>16), byte(sum>>8), byte(sum))
	text := letters.EncodeToString(raw)
	var groups []string
	for len(text) > 5 {
		groups, text = append(groups, text[:5]), text[5:]
	}
	return strings.Join(append(groups, text), "-"), nil
}

// errCode is what is said of a code that cannot be read.
var errCode = message.New("kept.code")

// DecodeResult reads a code. Small letters, spaces and breaks do no harm, and O, I
// and L are taken for the digits that they look like.
func DecodeResult(code string) (Result, error) {
	if len(code) > 4096 {
		return Result{}, errCode
	}
	clean := strings.Map(func(r rune) rune {
		switch r = unicode.ToUpper(r); r {
		case 'O':
			return '0'
		case 'I', 'L':
			return '1'
		case '-', ' ', '\n', '\r', '\t':
			return -1
		}
		return r
	}, code)
	raw, err := letters.DecodeString(clean)
	if err != nil || len(raw) < 15 || letters.EncodeToString(raw) != clean {
		return Result{}, errCode
	}
	body, sum := raw[:len(raw)-4], raw[len(raw)-4:]
	if crc32.ChecksumIEEE(body) != uint32(sum[0])<<24|uint32(sum[1])<<16|uint32(sum[2])<<8|uint32(sum[3]) {
		return Result{}, errCode
	}
	if body[0] != codeVersion && body[0] != codeCritical {
		return Result{}, message.New("kept.newer")
	}
	seat := int(body[1] >> 4 & 7)
	r := Result{
		Level: int(body[1] & 15), Drill: body[1]&0x80 != 0, Day: Day(body[2])<<8 | Day(body[3]), Score: int(body[4]), Skills: []grade.SkillScore{},
	}
	if seat >= len(Seats) {
		return Result{}, errCode
	}
	r.Seat = Seats[seat]
	mask := uint32(body[5])<<16 | uint32(body[6])<<8 | uint32(body[7])
	rest := body[8:]
	for i, s := range plot.Skills {
		if mask>>i&1 == 0 {
			continue
		}
		if len(rest) == 0 || rest[0] > 100 {
			return Result{}, errCode
		}
		r.Skills = append(r.Skills, grade.SkillScore{Skill: s, Right: int(rest[0]), Of: 100})
		rest = rest[1:]
	}
	if body[0] == codeCritical {
		if r.Critical, rest, err = readCritical(rest); err != nil {
			return Result{}, err
		}
	}
	text := func() (string, bool) {
		if len(rest) == 0 || len(rest) < 1+int(rest[0]) {
			return "", false
		}
		out := string(rest[1 : 1+int(rest[0])])
		rest = rest[1+int(rest[0]):]
		return out, true
	}
	var known, named bool
	r.Script, known = text()
	r.Name, named = text()
	if !known || !named || len(rest) > 0 {
		return Result{}, errCode
	}
	if again, err := EncodeResult(r); err != nil || strings.ReplaceAll(again, "-", "") != clean {
		return Result{}, errCode
	}
	return r, nil
}

// readCritical reads the kinds of critical errors, which stand at the front.
func readCritical(raw []byte) (kinds []grade.Critical, rest []byte, err error) {
	if len(raw) < 2 {
		return nil, nil, errCode
	}
	mask := uint16(raw[0])<<8 | uint16(raw[1])
	if mask>>len(grade.Criticals) != 0 {
		return nil, nil, message.New("kept.newer") // it has kinds that this program does not know
	}
	for i, kind := range grade.Criticals {
		if mask>>i&1 == 1 {
			kinds = append(kinds, kind)
		}
	}
	return kinds, raw[2:], nil
}
