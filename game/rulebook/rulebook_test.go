package rulebook

import "testing"

func TestBuiltInFilesAreSound(t *testing.T) {
	if len(Codes()) < 7 || len(Divisions()) < 5 {
		t.Fatalf("%d codes, %d divisions", len(Codes()), len(Divisions()))
	}
}
