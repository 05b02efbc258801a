package people_test

import (
	"testing"

	"whistlestop/crew/people"
)

// Levels change in their column, a column is added where it is needed, and the rest of
// the list stays.
func TestRelevel(t *testing.T) {
	list := "\ufeffName;Shirt; Clock \nMaren Holt;M;ready\nJon Holt;\"L; wide\"\n;;\n"
	got, err := people.Relevel([]byte(list), []string{"clock", "book"}, func(name, family, seat string) (string, bool) {
		return string(people.Guide), name == "Maren Holt" && seat == "clock" || family == "Jon Holt" && seat == "book"
	})
	want := "Name;Shirt;\" Clock \";book\nMaren Holt;M;guide\nJon Holt;\"L; wide\";;guide\n;;\n"
	if err != nil || string(got) != want {
		t.Errorf("%v\n%s", err, got)
	}
	if _, err := people.Relevel([]byte("a,\"b\nc"), nil, nil); err == nil {
		t.Error("what is no table was read")
	}
}
