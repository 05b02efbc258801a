package site_test

import (
	"crypto/ed25519"
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/roots"
)

// A follower takes a proof along, which holds against what stands at the hub; a link of
// another team opens none, and neither does a game that is not there.
func TestAFollowerKeepsAProof(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	game := g.id
	kelp, other := h.issue(office.Team, "Kelp Bay"), h.issue(office.Team, "Nobody")
	path := "/v1/follow/" + kelp + "/games/" + game + "/proof"
	if got := h.get(path); got.StatusCode != http.StatusNotFound {
		t.Errorf("a hub without a key: %d", got.StatusCode)
	}
	_, key, err := ed25519.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	h.site.Roots = &roots.Keeper{Association: association, Games: h.store.Games, Key: func() (ed25519.PrivateKey, error) { return key, nil }, Now: h.clock}
	got := h.get(path)
	var proof roots.Proof
	if err := json.Unmarshal([]byte(got.body), &proof); err != nil || got.StatusCode != http.StatusOK {
		t.Fatal(got.StatusCode, got.body, err)
	}
	var hashes []string
	for _, line := range g.lines {
		e, err := entry.ReadLine([]byte(strings.TrimSpace(line)))
		if err != nil {
			t.Fatal(err)
		}
		hash, err := e.Hash()
		if err != nil {
			t.Fatal(err)
		}
		hashes = append(hashes, hash)
	}
	if err := proof.Check(); err != nil {
		t.Error(err)
	}
	if err := proof.Holds(hashes); err != nil || proof.Seq != len(g.lines) {
		t.Errorf("%+v %v", proof, err)
	}
	for what, path := range map[string]string{
		"another team's link": "/v1/follow/" + other + "/games/" + game + "/proof",
		"no such game":        "/v1/follow/" + kelp + "/games/01JD0000000000000000GAME09/proof",
		"no game":             "/v1/follow/" + kelp + "/games/x/proof",
	} {
		if got := h.get(path); got.StatusCode != http.StatusNotFound {
			t.Errorf("%s: %d %s", what, got.StatusCode, got.body)
		}
	}
}
