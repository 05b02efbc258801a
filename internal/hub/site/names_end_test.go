package site_test

import (
	"net/http"
	"strings"
	"testing"
)

// Benches are told that names end where the association decided so, with the hub's time,
// in the answer that they get anyway.
func TestWhatIsKeptAtBenches(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	g := played(t, "third-period", h.clock())
	h.send(g, 0, 5).head(t)
	told := func() bool {
		t.Helper()
		got := h.asBench("GET", "/v1/ledgers/"+g.id, "")
		got.head(t)
		ends, now := strings.Contains(got.body, `"names_end":true`), strings.Contains(got.body, `"now_ms":`+itoa(int(h.clock())))
		if ends != now {
			t.Errorf("one without the other: %s", got.body)
		}
		return ends
	}
	shown := func(state, words string) {
		t.Helper()
		if page := admin.page("/admin").body; !strings.Contains(page, `data-hub="names-end" data-on="`+state+`"`) || !strings.Contains(page, words) {
			t.Errorf("the page does not say %s", words)
		}
	}
	shown("no", "Names stay until somebody takes them out") // as in one that was there before
	if told() {
		t.Error("names end although nobody decided so")
	}
	for _, on := range []string{"yes", "no", "yes"} {
		if got := admin.post("/admin/switch", "switch", "names_end", "on", on); got.StatusCode != http.StatusSeeOther {
			t.Fatal(got.Status, got.body)
		}
		if told() != (on == "yes") {
			t.Errorf("%s: benches hear something else", on)
		}
	}
	shown("yes", "Names end 30 days after the seal")
	log, err := h.store.Log(t.Context(), association, 0, 100)
	if err != nil || log[len(log)-1].What != "turned_on" || log[len(log)-1].Object != "names_end" {
		t.Errorf("%+v, %v", log[len(log)-1], err)
	}
}
