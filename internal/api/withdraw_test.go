package api

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// number puts one number in every place of a number, and one side in every place
// of a side.
func number(v reflect.Value, as entry.Jersey) {
	switch v.Kind() {
	case reflect.String:
		switch v.Type() {
		case reflect.TypeFor[entry.Jersey]():
			v.SetString(string(as))
		case reflect.TypeFor[entry.Side]():
			v.SetString(string(entry.Home))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				number(v.Field(i), as)
			}
		}
	case reflect.Pointer:
		number(v.Elem(), as)
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			number(v.Index(i), as)
		}
	}
}

// Who was taken out has no number in what strangers see, in no place of it, and
// seats go on with the number.
func TestStrangersSeeNoNumberOfWhoWasTakenOut(t *testing.T) {
	s, _ := planted(t)
	number(reflect.ValueOf(&s).Elem(), "77")
	s.Bench.Names, s.Terms[0].Row = true, "home/77"
	seen := func(s rules.State) string {
		t.Helper()
		text, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	for i := range s.Teams {
		s.Teams[i].Withdrawn = nil
	}
	if n := strings.Count(seen(Public(s)), `"77"`); n < 15 {
		t.Fatalf("the number stands in %d places: the test shows nothing", n)
	}
	for i := range s.Teams { // a zero before it makes no other player
		s.Teams[i].Withdrawn = []entry.Jersey{"077"}
	}
	if text := seen(Public(s)); strings.Contains(text, `"77"`) || strings.Contains(text, `/77"`) || !strings.Contains(text, `"scorer":"—"`) {
		t.Errorf("strangers see %s", text)
	}
	if text := seen(SeatView(s, entry.BoxSeat)); strings.Count(text, `"77"`) < 15 {
		t.Errorf("a seat sees %s", text)
	}
}
