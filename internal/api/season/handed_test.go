package season

import (
	"encoding/json"
	"reflect"
	"testing"
)

// Whatever stands in the file of what was handed in, it is read whole or refused; what was
// read is the same once it was written again.
func FuzzReadHanded(f *testing.F) {
	for _, text := range []string{
		`{"version":1,"games":{}}`, `{"version":1,"games":{"u14-1":{"at_ms":5,"by_ms":9,"sha256":"ab","fingerprint":"cd","sealed":true,"ledger":"01J","receipt":"R 7"}}}`,
		`{"version":2,"games":{}}`, `{"version":1}`, `{"version":1,"games":{}} {}`, `{"version":1,"games":{},"more":1}`, `[`, ``, "\xff",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		file, err := readHanded(text)
		if err != nil {
			if !reflect.DeepEqual(file, handedFile{}) {
				t.Fatalf("refused, and %+v is left", file)
			}
			return
		}
		if file.Version != 1 || file.Games == nil || !json.Valid(text) {
			t.Fatalf("%q was read", text)
		}
		raw, err := json.Marshal(file)
		if err != nil {
			t.Fatal(err)
		}
		again, err := readHanded(raw)
		if err != nil || !reflect.DeepEqual(file, again) {
			t.Fatalf("%+v became %+v, %v", file, again, err)
		}
	})
}
