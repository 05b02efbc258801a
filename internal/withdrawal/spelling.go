package withdrawal

import (
	"bytes"
	"encoding/binary"
	"strings"
	"unicode/utf16"
)

// Names says whether a file's bytes hold a name, in capitals or not, in any of the ways in
// which files write it: UTF-8, UTF-16 of both orders at even and odd places, and JSON with
// letters as \u escapes.
func Names(content []byte, name string) bool {
	name = strings.Join(strings.Fields(name), " ")
	lower := strings.ToLower(name)
	plain := bytes.ToLower(content)
	if bytes.Contains(plain, []byte(lower)) {
		return true
	}
	for _, written := range []string{name, lower, strings.ToUpper(name)} {
		if bytes.Contains(plain, escaped(written)) {
			return true
		}
	}
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		for odd := range 2 {
			if strings.Contains(strings.ToLower(wide(content, order, odd)), lower) {
				return true
			}
		}
	}
	return false
}

// escaped is a name with \u escapes, in small letters as far as they are ASCII's.
func escaped(name string) []byte {
	const hex = "0123456789abcdef"
	var out []byte
	for _, unit := range utf16.Encode([]rune(name)) {
		if unit < 0x80 {
			out = append(out, byte(unit))
		} else {
			out = append(out, '\\', 'u', hex[unit>>12], hex[unit>>8&15], hex[unit>>4&15], hex[unit&15])
		}
	}
	return bytes.ToLower(out)
}

// wide reads bytes as UTF-16 from a place on.
func wide(content []byte, order binary.ByteOrder, from int) string {
	units := make([]uint16, 0, len(content)/2)
	for ; from+1 < len(content); from += 2 {
		units = append(units, order.Uint16(content[from:]))
	}
	return string(utf16.Decode(units))
}
