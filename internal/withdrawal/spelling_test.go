package withdrawal

import "testing"

// A name is found however a file writes it, and only then.
func TestNames(t *testing.T) {
	for text, want := range map[string]bool{
		`"name":"B\u00f8e"`:          true,
		`"name":"B\u00D8E"`:          true,
		`"name":"Bøe"`:               true,
		"BØE":                        true,
		"\xff\xfeB\x00\xf8\x00e\x00": true, // little-endian, with its mark
		"x\x00B\x00\xd8\x00E":        true, // big-endian, from an odd place on
		"\x80\x81Bøe\x80":            true, // among bytes that are no text
		`"name":"Bo"`:                false,
		"":                           false,
		"B\x00o\x00e\x00":            false,
		"B\x00\xf8":                  false,
	} {
		if got := Names([]byte(text), "  Bøe "); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}
