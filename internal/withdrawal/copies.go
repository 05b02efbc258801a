package withdrawal

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"time"

	"whistlestop/internal/folder/durable"
	"whistlestop/internal/mirror"
)

// scrubBackups goes through backups, and returns those that it could not.
func (k *Kept) scrubBackups(what mirror.Scrub, paths []string) (failed []string) {
	failed = []string{}
	for _, path := range paths {
		var err error
		if info, bad := os.Stat(path); bad == nil && info.IsDir() {
			err = what.Folder(durable.System(), path)
		} else {
			err = what.File(durable.System(), path)
			if bad := what.File(durable.System(), mirror.NamesOf(path)); !errors.Is(bad, fs.ErrNotExist) {
				err = errors.Join(err, bad)
			}
		}
		if err != nil {
			k.Logger.Error("go through a backup", "file", path, "error", err)
			failed = append(failed, path)
		}
	}
	return failed
}

// scrubbed returns the copy folders that are not there, or not gone through yet.
// A folder that is there is gone through at once; what hangs is named.
func (k *Kept) scrubbed(ctx context.Context) (waiting []string) {
	const tries, pause = 50, 100 * time.Millisecond
	for range tries {
		waiting = []string{}
		busy := false
		for _, c := range k.Copies.State() {
			if c.State == mirror.UpToDate || c.State == mirror.Differs {
				continue
			}
			waiting = append(waiting, c.Folder)
			busy = busy || c.State == mirror.Behind
		}
		if !busy {
			return waiting
		}
		select {
		case <-time.After(pause):
		case <-ctx.Done():
			return waiting
		}
	}
	return waiting
}
