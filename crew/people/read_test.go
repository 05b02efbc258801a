package people_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"whistlestop/crew/people"
)

var seats = []string{"clock", "book", "box", "shots"}

func TestAListIsRead(t *testing.T) {
	text, err := os.ReadFile("../../testdata/league/harbour-people.csv")
	if err != nil {
		t.Fatal(err)
	}
	list, found := people.Read(text, seats)
	if len(list) != 10 || len(found) != 0 {
		t.Fatalf("%d people, %+v", len(list), found)
	}
	maren := list[0]
	if maren.Name != "Maren Holt" || maren.Family != "Holt" || maren.Levels["clock"] != people.Guide || maren.Levels["shots"] != people.Ready ||
		len(maren.Away) != 1 || maren.Away[0].To.String() != "2026-11-14" || maren.DayMost != 2 || maren.Screened.String() != "2027-08-31" || !maren.OneFree || maren.Far[0] != "ropewalk" {
		t.Errorf("%+v", maren)
	}
	if jon := list[1]; len(jon.Days) != 2 || jon.Days[0].String() != "saturday" || jon.NotBefore.String() != "10:00" || jon.Levels["book"] != people.Not {
		t.Errorf("%+v", jon)
	}
	if list[7].Age != 13 || list[8].Most != 6 || len(list[2].Teams) != 2 {
		t.Errorf("%+v", list)
	}
}

// Two hundred lines in one paste: each mistake is named by its line, nothing stands
// twice, and what is right is kept.
func TestEachMistakeIsNamed(t *testing.T) {
	var text strings.Builder
	text.WriteString("Name\tFamily\tClock\tDays\tPhone number\tAway\tScreened until\tShoe size\n")
	for i := 2; i <= 200; i++ {
		switch i {
		case 7:
			text.WriteString("\tHolt\tready\n")
		case 20:
			text.WriteString("Person 19\tFamily 9\tready\n")
		case 33:
			text.WriteString("Person 33\tFamily 3\tgood\tsat\n")
		case 50:
			text.WriteString("Person 50\tFamily 3\tready\tsomeday\t\t2026-02-30\n")
		case 61:
			text.WriteString("Per\u202eson 61\tFamily 3\tready\n")
		default:
			fmt.Fprintf(&text, "Person %d\tFamily %d\tready\tsat\t555\t\n", i, i%10)
		}
	}
	list, found := people.Read([]byte(text.String()), seats)
	want := []string{"1 phone number not_kept", "1 shoe size unknown", "7 name no_name", "20 name twice", "33 clock unreadable", "50 days unreadable", "50 away unreadable", "61 name bad_letters"}
	var got []string
	for _, f := range found {
		got = append(got, fmt.Sprint(f.Line, " ", f.Column, " ", f.Kind))
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("found\n%s", strings.Join(got, "\n"))
	}
	if len(list) != 199-3 {
		t.Errorf("%d people", len(list))
	}
	for _, p := range list {
		if strings.Contains(fmt.Sprintf("%+v", p), "555") {
			t.Fatalf("a telephone number was kept: %+v", p)
		}
	}
}

func TestListsThatCannotBeRead(t *testing.T) {
	for text, want := range map[string]people.Kind{
		"": people.NoTitles, "Maren Holt,Holt": people.NoTitles, "name\n\xff\xfe": people.BadTable,
		"name,family\n\"Maren": people.BadTable, strings.Repeat("x", 1<<20+1): people.TooLong,
	} {
		_, found := people.Read([]byte(text), seats)
		if len(found) == 0 || found[len(found)-1].Kind != want {
			t.Errorf("%.30q: %+v, want %s", text, found, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("name,family,clock\nMaren Holt,Holt,guide\n"))
	f.Add([]byte("name\taway\n\"a\tb\"\t2026-01-01/2026-01-02\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, found := people.Read(text, seats)
		seen := map[string]bool{}
		for _, p := range list {
			key := strings.ToLower(p.Name + "\x00" + p.Family)
			if p.Name == "" || p.Family == "" || seen[key] || !utf8.ValidString(p.Name) {
				t.Fatalf("%+v", p)
			}
			seen[key] = true
		}
		for _, one := range found {
			if one.Line < 1 || len(one.Text) > 70 {
				t.Fatalf("%+v", one)
			}
		}
	})
}
