package busnode

import (
	"path/filepath"
	"testing"
	"time"

	"whistlestop/internal/hub/nodekeys"
)

// A node that listens at every address of its computer tells the others the one in its keys.
func TestNodesTellTheAddressInTheirKeys(t *testing.T) {
	for _, host := range []string{"node-a", "10.0.0.1"} {
		folder := filepath.Join(t.TempDir(), "keys")
		if err := nodekeys.Make(folder, map[string][]string{"a": {host}}, time.Now()); err != nil {
			t.Fatal(err)
		}
		keys, err := nodekeys.Load(filepath.Join(folder, "a"))
		if err != nil {
			t.Fatal(err)
		}
		o, err := Config{Name: "a", Listen: "0.0.0.0:4222", Cluster: "0.0.0.0:6222", Keys: keys}.options()
		if err != nil {
			t.Fatal(err)
		}
		if want := host + ":6222"; o.Cluster.Advertise != want {
			t.Errorf("it tells %q, want %q", o.Cluster.Advertise, want)
		}
	}
}
