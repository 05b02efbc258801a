package evening

import (
	"bytes"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
)

// rostered are the numbers of the players that every roster of the evening has.
const rosteredFrom, rosteredTo = 2, 9

// noNumber is what strangers see in place of the number of who was taken out.
const noNumber = "—"

// withdraw takes the name of a player out, in the middle of everything.
func (v *evening) withdraw() {
	if v.laptop.program == nil || v.laptop.troubled() || len(v.gone) >= 2 {
		return
	}
	name := fmt.Sprintf("%s %d", nameMark, rosteredFrom+v.random.IntN(rosteredTo-rosteredFrom))
	var done struct {
		Done bool
		Left []string
	}
	status := v.ask(v.here("POST", "/api/withdrawals", fmt.Appendf(nil, `{"name":%q,"act":true}`, name)), &done)
	v.note("withdrawn", "%s: %d, %v, %d files left", name, status, done.Done, len(done.Left))
	if status != http.StatusOK || !done.Done || len(done.Left) > 0 {
		v.fault("%s is not taken out: %d, left %v", name, status, done.Left)
		return
	}
	v.gone[name] = true
	v.out.Counts["names taken out"]++
	v.lookAll()
	v.nowhere()
}

// unnamed holds what people are shown against the names that were taken out.
func (v *evening) unnamed(where string, raw []byte) {
	for _, name := range sorted(v.gone) {
		if bytes.Contains(raw, []byte(name)) {
			v.fault("%s was taken out, and stands in %s", name, where)
		}
	}
}

// nowhere searches every file beside the games for the names that were taken out.
func (v *evening) nowhere() {
	if len(v.gone) == 0 {
		return
	}
	names, err := os.ReadDir(v.Folder)
	if err != nil {
		v.fault("the folder cannot be listed: %v", err)
	}
	for _, one := range names {
		if one.IsDir() || strings.HasSuffix(one.Name(), ".lock") {
			continue
		}
		content, err := os.ReadFile(filepath.Join(v.Folder, one.Name()))
		if err != nil {
			v.fault("a file of the folder cannot be read: %v", err)
		}
		v.unnamed(one.Name(), content)
	}
	v.out.Counts["folders searched"]++
}

// copiesUnnamed searches the copies, once everything was well for a while.
func (v *evening) copiesUnnamed() {
	for _, folder := range []string{filepath.Join(v.Folder, "copies"), stickFolder} {
		files := v.laptop.disk.files(folder)
		for _, path := range sorted(files) {
			v.unnamed(path, files[path])
		}
	}
}
