package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/internal/store"
)

func TestWeakSettingsAreRefused(t *testing.T) {
	full := dsn(filepath.Join(t.TempDir(), "full.db"))
	for _, test := range []struct {
		name, source, setting string
	}{
		{"as we open it", full, ""},
		{"no write-ahead log", strings.Replace(full, "journal_mode%28WAL%29", "journal_mode%28DELETE%29", 1), "journal_mode"},
		{"in memory", "file::memory:?_pragma=journal_mode(WAL)", "journal_mode"},
		{"synchronous normal", strings.Replace(full, "FULL", "NORMAL", 1), "synchronous"},
		{"synchronous off", strings.Replace(full, "FULL", "OFF", 1), "synchronous"},
		{"no foreign keys", strings.Replace(full, "foreign_keys%28ON%29", "foreign_keys%28OFF%29", 1), "foreign_keys"},
		{"does not wait", strings.Replace(full, "busy_timeout%285000%29", "busy_timeout%280%29", 1), "busy_timeout"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if test.name != "as we open it" && test.source == full {
				t.Fatal("the case changes nothing")
			}
			db, err := sql.Open("sqlite", test.source)
			if err != nil {
				t.Fatal(err)
			}
			defer func() {
				if err := db.Close(); err != nil {
					t.Error(err)
				}
			}()
			db.SetMaxOpenConns(1)
			err = readBack(context.Background(), db)
			if test.setting == "" {
				if err != nil {
					t.Fatal(err)
				}
				return
			}
			var weak *store.WeakError
			if !errors.As(err, &weak) || weak.Setting != test.setting {
				t.Fatalf("got %v, want %s named", err, test.setting)
			}
		})
	}
}

func TestOlder(t *testing.T) {
	for version, want := range map[string]bool{
		"3.51.2": true, "3.50.9": true, "2.99.99": true, "3.51": true, "": true, "x.y.z": true,
		"3.51.3": false, "3.51.10": false, "3.54.1": false, "4.0.0": false,
	} {
		if got := older(version, versionLeast); got != want {
			t.Errorf("older(%q) = %v, want %v", version, got, want)
		}
	}
}
