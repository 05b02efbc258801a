package onduty

import (
	"bytes"
	"testing"
)

// A file from elsewhere is refused or read: what was read is the same when it was kept and
// read again, also what a bench noted of it.
func FuzzRead(f *testing.F) {
	text, err := whole.Keep()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add([]byte(`{"version":1,"games":[{"game":"u14-001","home":"Kelp Bay","visitors":"Northmole","seats":[{"seat":"box"}]}]}`))
	f.Add([]byte(`{"version":2,"lines":[]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		if file, err := Read(text); err == nil {
			kept, err := file.Keep()
			if err != nil {
				t.Fatal(err)
			}
			again, err := Read(kept)
			if err != nil {
				t.Fatalf("%v: %s", err, kept)
			}
			if twice, err := again.Keep(); err != nil || !bytes.Equal(kept, twice) {
				t.Fatalf("%s is %s when it was kept again", kept, twice)
			}
		} else if err.Error() == "" {
			t.Fatal("no reason is given")
		}
		if noted, err := ReadNoted(text); err == nil {
			kept, err := noted.Keep()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := ReadNoted(kept); err != nil {
				t.Fatalf("%v: %s", err, kept)
			}
		} else if err.Error() == "" {
			t.Fatal("no reason is given")
		}
	})
}
