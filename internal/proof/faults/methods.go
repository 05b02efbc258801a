package faults

import (
	"os"
	"unsafe"

	"modernc.org/libc"
	"modernc.org/libc/sys/types"
	sqlite3 "modernc.org/sqlite/lib"
)

// header is what stands before the system's own file in memory: the pointer to
// our methods, kept at the alignment of any C type.
const header = 16

// The forms of SQLite's functions.
type (
	openFunc     = func(tls *libc.TLS, vfs, path, file uintptr, flags int32, out uintptr) int32
	deleteFunc   = func(tls *libc.TLS, vfs, path uintptr, folder int32) int32
	transferFunc = func(tls *libc.TLS, file, buffer uintptr, count int32, offset int64) int32
	truncateFunc = func(tls *libc.TLS, file uintptr, size int64) int32
	numberFunc   = func(tls *libc.TLS, file uintptr, number int32) int32
	plainFunc    = func(tls *libc.TLS, file uintptr) int32
	addressFunc  = func(tls *libc.TLS, file, address uintptr) int32
	controlFunc  = func(tls *libc.TLS, file uintptr, op int32, argument uintptr) int32
	mapFunc      = func(tls *libc.TLS, file uintptr, region, size, extend int32, out uintptr) int32
	lockFunc     = func(tls *libc.TLS, file uintptr, offset, count, flags int32) int32
	barrierFunc  = func(tls *libc.TLS, file uintptr)
	fetchFunc    = func(tls *libc.TLS, file uintptr, offset int64, count int32, out uintptr) int32
	unfetchFunc  = func(tls *libc.TLS, file uintptr, offset int64, address uintptr) int32
)

func systems() *sqlite3.Tsqlite3_vfs { return at[sqlite3.Tsqlite3_vfs](layer.real) }

// methods are the system's methods of one of our files.
func methods(file uintptr) *sqlite3.Tsqlite3_io_methods {
	return at[sqlite3.Tsqlite3_io_methods](at[sqlite3.Tsqlite3_file](file + header).FpMethods)
}

func open(tls *libc.TLS, _, path, id uintptr, flags int32, out uintptr) int32 {
	at[sqlite3.Tsqlite3_file](id).FpMethods = 0
	if path == 0 {
		return cannotOpen // a temporary file without a name: ledgers need none
	}
	folder, name := place(text(path))
	_, missing := os.Stat(text(path))
	made := flags&createFlag != 0 && missing != nil
	if v := judge(folder, Call{Kind: Open, File: name, Made: made}); v.Fails != 0 {
		return v.Fails
	}
	code := function[openFunc](systems().FxOpen)(tls, layer.real, path, id+header, flags, out)
	if at[sqlite3.Tsqlite3_file](id+header).FpMethods == 0 {
		return code
	}
	at[sqlite3.Tsqlite3_file](id).FpMethods = layer.methods
	layer.mutex.Lock()
	defer layer.mutex.Unlock()
	layer.files[id] = &file{folder: folder, name: name}
	return code
}

func remove(tls *libc.TLS, _, path uintptr, sync int32) int32 {
	folder, name := place(text(path))
	if v := judge(folder, Call{Kind: Delete, File: name, Folder: sync != 0}); v.Fails != 0 {
		return v.Fails
	}
	return function[deleteFunc](systems().FxDelete)(tls, layer.real, path, sync)
}

func fileOf(id uintptr) *file {
	layer.mutex.Lock()
	defer layer.mutex.Unlock()
	return layer.files[id]
}

func shut(tls *libc.TLS, id uintptr) int32 {
	code := function[plainFunc](methods(id).FxClose)(tls, id+header)
	layer.mutex.Lock()
	defer layer.mutex.Unlock()
	delete(layer.files, id)
	return code
}

func read(tls *libc.TLS, id, buffer uintptr, count int32, offset int64) int32 {
	f := fileOf(id)
	if v := judge(f.folder, Call{Kind: Read, File: f.name, Offset: offset}); v.Fails != 0 {
		return v.Fails
	}
	return function[transferFunc](methods(id).FxRead)(tls, id+header, buffer, count, offset)
}

func write(tls *libc.TLS, id, buffer uintptr, count int32, offset int64) int32 {
	f := fileOf(id)
	before := undo{offset: offset, size: size(tls, id)}
	before.bytes = peek(tls, id, offset, int64(count), before.size)
	through := function[transferFunc](methods(id).FxWrite)
	bytes := unsafe.Slice(at[byte](buffer), int(count))
	v := judge(f.folder, Call{Kind: Write, File: f.name, Offset: offset, Bytes: bytes})
	f.undo = append(f.undo, before)
	if v.Fails == 0 {
		return through(tls, id+header, buffer, count, offset)
	}
	if v.First > 0 {
		through(tls, id+header, buffer, min(count, int32(v.First)), offset)
	}
	return v.Fails
}

func truncate(tls *libc.TLS, id uintptr, to int64) int32 {
	f := fileOf(id)
	if v := judge(f.folder, Call{Kind: Truncate, File: f.name, Size: to}); v.Fails != 0 {
		return v.Fails
	}
	before := undo{offset: to, size: size(tls, id)}
	before.bytes = peek(tls, id, to, before.size-to, before.size)
	f.undo = append(f.undo, before)
	return function[truncateFunc](methods(id).FxTruncate)(tls, id+header, to)
}

func syncFile(tls *libc.TLS, id uintptr, flags int32) int32 {
	f := fileOf(id)
	v := judge(f.folder, Call{Kind: Sync, File: f.name})
	if v.Fails == 0 {
		f.undo = nil
		return function[numberFunc](methods(id).FxSync)(tls, id+header, flags)
	}
	if v.Drops {
		f.takeBack(tls, id)
	}
	return v.Fails
}

// takeBack undoes what was written since the last sync: after a sync that failed
// the system may show what was written, and forget it later.
func (f *file) takeBack(tls *libc.TLS, id uintptr) {
	through := function[transferFunc](methods(id).FxWrite)
	cut := function[truncateFunc](methods(id).FxTruncate)
	for i := len(f.undo) - 1; i >= 0; i-- {
		u := f.undo[i]
		if len(u.bytes) > 0 {
			buffer := libc.Xmalloc(tls, types.Size_t(len(u.bytes)))
			copy(unsafe.Slice(at[byte](buffer), len(u.bytes)), u.bytes)
			through(tls, id+header, buffer, int32(len(u.bytes)), u.offset)
			libc.Xfree(tls, buffer)
		}
		cut(tls, id+header, u.size)
	}
	f.undo = nil
}

// size returns the size of a file; 0 when it cannot be told.
func size(tls *libc.TLS, id uintptr) int64 {
	out := libc.Xmalloc(tls, 8)
	defer libc.Xfree(tls, out)
	*at[int64](out) = 0
	function[addressFunc](methods(id).FxFileSize)(tls, id+header, out)
	return *at[int64](out)
}

// peek returns what stands in a file, as far as the file goes.
func peek(tls *libc.TLS, id uintptr, offset, count, size int64) []byte {
	if count = min(count, size-offset); count <= 0 {
		return nil
	}
	buffer := libc.Xmalloc(tls, types.Size_t(count))
	defer libc.Xfree(tls, buffer)
	function[transferFunc](methods(id).FxRead)(tls, id+header, buffer, int32(count), offset)
	return append([]byte{}, unsafe.Slice(at[byte](buffer), int(count))...)
}

// methodsOfFiles makes the table of our methods. Those that change nothing go
// straight through.
func methodsOfFiles(tls *libc.TLS) {
	layer.methods = libc.Xmalloc(tls, types.Size_t(unsafe.Sizeof(sqlite3.Tsqlite3_io_methods{})))
	*at[sqlite3.Tsqlite3_io_methods](layer.methods) = sqlite3.Tsqlite3_io_methods{
		FiVersion:  layerVersion,
		FxClose:    pointer[plainFunc](shut),
		FxRead:     pointer[transferFunc](read),
		FxWrite:    pointer[transferFunc](write),
		FxTruncate: pointer[truncateFunc](truncate),
		FxSync:     pointer[numberFunc](syncFile),
		FxFileSize: pointer[addressFunc](func(tls *libc.TLS, id, out uintptr) int32 {
			return function[addressFunc](methods(id).FxFileSize)(tls, id+header, out)
		}),
		FxLock: pointer[numberFunc](func(tls *libc.TLS, id uintptr, n int32) int32 {
			return function[numberFunc](methods(id).FxLock)(tls, id+header, n)
		}),
		FxUnlock: pointer[numberFunc](func(tls *libc.TLS, id uintptr, n int32) int32 {
			return function[numberFunc](methods(id).FxUnlock)(tls, id+header, n)
		}),
		FxCheckReservedLock: pointer[addressFunc](func(tls *libc.TLS, id, out uintptr) int32 {
			return function[addressFunc](methods(id).FxCheckReservedLock)(tls, id+header, out)
		}),
		FxFileControl: pointer[controlFunc](func(tls *libc.TLS, id uintptr, op int32, argument uintptr) int32 {
			return function[controlFunc](methods(id).FxFileControl)(tls, id+header, op, argument)
		}),
		FxSectorSize: pointer[plainFunc](func(tls *libc.TLS, id uintptr) int32 {
			return function[plainFunc](methods(id).FxSectorSize)(tls, id+header)
		}),
		FxDeviceCharacteristics: pointer[plainFunc](func(tls *libc.TLS, id uintptr) int32 {
			return function[plainFunc](methods(id).FxDeviceCharacteristics)(tls, id+header)
		}),
		FxShmMap: pointer[mapFunc](func(tls *libc.TLS, id uintptr, region, size, extend int32, out uintptr) int32 {
			return function[mapFunc](methods(id).FxShmMap)(tls, id+header, region, size, extend, out)
		}),
		FxShmLock: pointer[lockFunc](func(tls *libc.TLS, id uintptr, offset, count, flags int32) int32 {
			return function[lockFunc](methods(id).FxShmLock)(tls, id+header, offset, count, flags)
		}),
		FxShmBarrier: pointer[barrierFunc](func(tls *libc.TLS, id uintptr) {
			function[barrierFunc](methods(id).FxShmBarrier)(tls, id+header)
		}),
		FxShmUnmap: pointer[numberFunc](func(tls *libc.TLS, id uintptr, n int32) int32 {
			return function[numberFunc](methods(id).FxShmUnmap)(tls, id+header, n)
		}),
		FxFetch: pointer[fetchFunc](func(tls *libc.TLS, id uintptr, offset int64, count int32, out uintptr) int32 {
			return function[fetchFunc](methods(id).FxFetch)(tls, id+header, offset, count, out)
		}),
		FxUnfetch: pointer[unfetchFunc](func(tls *libc.TLS, id uintptr, offset int64, address uintptr) int32 {
			return function[unfetchFunc](methods(id).FxUnfetch)(tls, id+header, offset, address)
		}),
	}
}
