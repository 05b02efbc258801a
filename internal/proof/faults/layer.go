package faults

import (
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"unsafe"

	"modernc.org/libc"
	"modernc.org/libc/sys/types"
	sqlite3 "modernc.org/sqlite/lib"
)

// Kind is what a call asks of the file layer.
type Kind int

// The kinds of calls.
const (
	Open Kind = iota // of a file that may have to be made
	Delete
	Read
	Write
	Truncate
	Sync
)

// Call is one call of SQLite to the file layer.
type Call struct {
	Kind   Kind
	File   string // its name without the folder
	Offset int64  // of a read or write
	Bytes  []byte // that are written; not to be kept
	Size   int64  // after a truncate
	Folder bool   // a delete that is to be made safe in the folder as well
	Made   bool   // an open that has to make the file
}

// Changes reports whether the call changes what a disk holds or promises.
func (c Call) Changes() bool { return c.Kind != Read && (c.Kind != Open || c.Made) }

// Verdict is what becomes of a call. The zero value lets it through.
type Verdict struct {
	Fails int32 // SQLite's code of the failure, such as Full
	First int   // bytes that a failing write still writes
	Drops bool  // a failing sync loses what was not synced before, as real disks do
}

// The codes of failures.
const (
	Full         = int32(sqlite3.SQLITE_FULL)
	cannotOpen   = int32(sqlite3.SQLITE_CANTOPEN)
	deleteFails  = int32(sqlite3.SQLITE_IOERR_DELETE)
	readFails    = int32(sqlite3.SQLITE_IOERR_READ)
	writeFails   = int32(sqlite3.SQLITE_IOERR_WRITE)
	cutFails     = int32(sqlite3.SQLITE_IOERR_TRUNCATE)
	syncFails    = int32(sqlite3.SQLITE_IOERR_FSYNC)
	statusOK     = int32(sqlite3.SQLITE_OK)
	createFlag   = int32(sqlite3.SQLITE_OPEN_CREATE)
	layerVersion = int32(3)
)

// Failure returns the code with which a call of the kind fails on a bad disk.
func (k Kind) Failure() int32 {
	return [...]int32{cannotOpen, deleteFails, readFails, writeFails, cutFails, syncFails}[k]
}

// Hook is asked about every call, one after another.
type Hook func(Call) Verdict

// layer is the one file layer of a process.
var layer struct {
	once    sync.Once
	real    uintptr // the system's sqlite3_vfs
	methods uintptr // our sqlite3_io_methods
	failure error

	mutex sync.Mutex
	hooks map[string]Hook // by folder
	files map[uintptr]*file
}

// file is an open file that SQLite reaches through us.
type file struct {
	folder, name string
	undo         []undo // newest last: what was there before writes that no sync followed
}

type undo struct {
	offset int64
	bytes  []byte
	size   int64
}

// Install makes the layer the way by which SQLite reaches every file that this
// process opens from now on. Without a hook it only lets calls through.
func Install() error {
	layer.once.Do(func() { layer.failure = install() })
	return layer.failure
}

// Watch installs the layer and asks the hook about the files of a folder until
// the test ends.
func Watch(t testing.TB, folder string, hook Hook) {
	t.Helper()
	if err := Install(); err != nil {
		t.Fatal(err)
	}
	Ask(folder, hook)
	t.Cleanup(func() { Ask(folder, nil) })
}

// Ask asks the hook about the files of a folder from now on; nil asks nobody.
func Ask(folder string, hook Hook) {
	layer.mutex.Lock()
	defer layer.mutex.Unlock()
	if hook == nil {
		delete(layer.hooks, filepath.Clean(folder))
		return
	}
	layer.hooks[filepath.Clean(folder)] = hook
}

// Cut takes back whatever was written to the open files of a folder and not synced,
// as a power cut may. Whoever has them open must be at rest, and its further calls
// have to fail.
func Cut(folder string) {
	layer.mutex.Lock()
	defer layer.mutex.Unlock()
	tls := libc.NewTLS()
	defer tls.Close()
	for id, f := range layer.files {
		if f.folder == filepath.Clean(folder) && !strings.HasSuffix(f.name, "-shm") {
			f.takeBack(tls, id)
		}
	}
}

// judge asks the folder's hook. SQLite's helper for shared memory is no file of
// ours: it means nothing after a crash.
func judge(folder string, call Call) Verdict {
	layer.mutex.Lock()
	hook := layer.hooks[folder]
	layer.mutex.Unlock()
	if hook == nil || strings.HasSuffix(call.File, "-shm") {
		return Verdict{}
	}
	return hook(call)
}

func install() error {
	tls := libc.NewTLS() // kept: the layer lives as long as the process
	layer.hooks, layer.files = map[string]Hook{}, map[uintptr]*file{}
	layer.real = sqlite3.Xsqlite3_vfs_find(tls, 0)
	if layer.real == 0 {
		return fmt.Errorf("SQLite has no file layer on this system")
	}
	name, err := libc.CString("faults")
	if err != nil {
		return err
	}
	methodsOfFiles(tls)
	own := libc.Xmalloc(tls, types.Size_t(unsafe.Sizeof(sqlite3.Tsqlite3_vfs{})))
	vfs := at[sqlite3.Tsqlite3_vfs](own)
	*vfs = *at[sqlite3.Tsqlite3_vfs](layer.real) // what is not replaced is the system's
	vfs.FszOsFile += int32(header)
	vfs.FpNext, vfs.FzName = 0, name
	vfs.FxOpen = pointer(open)
	vfs.FxDelete = pointer(remove)
	if code := sqlite3.Xsqlite3_vfs_register(tls, own, 1); code != statusOK {
		return fmt.Errorf("register the file layer: SQLite says %d", code)
	}
	return nil
}

// at is memory of SQLite as a Go value. The address comes from SQLite's own
// allocator, so Go's garbage collector neither moves nor frees it.
func at[T any](address uintptr) *T { return *(**T)(unsafe.Pointer(&address)) }

// pointer makes a Go function one that SQLite can call.
func pointer[F any](function F) uintptr {
	held := new(F)
	*held = function
	keep = append(keep, held)
	return *(*uintptr)(unsafe.Pointer(held))
}

// keep keeps the functions that SQLite holds.
var keep []any

// function makes a pointer of SQLite a Go function.
func function[F any](p uintptr) F {
	held := &struct{ uintptr }{p}
	return *(*F)(unsafe.Pointer(held))
}

func text(address uintptr) string { return libc.GoString(address) }

func place(path string) (folder, name string) {
	return filepath.Dir(filepath.Clean(path)), filepath.Base(path)
}
