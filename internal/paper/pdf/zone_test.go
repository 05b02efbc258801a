package pdf

import (
	"testing"
	"time"
)

// TestZones: a time of day says how far it is ahead of UTC, as ISO 8601 counts it.
func TestZones(t *testing.T) {
	for seconds, want := range map[int]string{0: "UTC", 3600: "UTC+1", -5 * 3600: "UTC-5", 5*3600 + 30*60: "UTC+5:30", -(3*3600 + 30*60): "UTC-3:30", 45 * 60: "UTC+0:45"} {
		if got := utc(time.UnixMilli(0).In(time.FixedZone("any", seconds))); got != want {
			t.Errorf("%d seconds: %s, want %s", seconds, got, want)
		}
	}
}
