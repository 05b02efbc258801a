package people_test

import (
	"os"
	"reflect"
	"testing"

	"whistlestop/crew/people"
)

// What is written is read back as it was, also with signs that divide columns.
func TestWrittenListIsReadBack(t *testing.T) {
	seats := []string{"clock", "book", "box", "shots"}
	text, err := os.ReadFile("../../testdata/league/harbour-people.csv")
	if err != nil {
		t.Fatal(err)
	}
	text = append(text, "\"Vik, Ida \"\"Ina\"\"\",Vik,,,,,,,,,,,,,,\n"...)
	list, found := people.Read(text, seats)
	if len(list) != 11 || len(found) != 0 {
		t.Fatal(len(list), found)
	}
	list[0].Reach, list[1].Reach = "maren@harbour.example", "+47 555 01 23"
	written := people.Write(list, seats)
	again, found := people.Read(written, seats)
	if len(found) != 0 || !reflect.DeepEqual(again, list) {
		t.Errorf("%v\n%s", found, written)
	}
}
