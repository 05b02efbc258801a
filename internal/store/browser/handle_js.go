package browser

import (
	"errors"
	"syscall/js"
)

// file is a Handle of the page's worker: an object with size, read, write, truncate
// and flush as a FileSystemSyncAccessHandle has them. Each may answer at once or with
// a promise, for which a goroutine waits.
type file struct{ js.Value }

// HandleOf is a file that the page's worker opened.
func HandleOf(value js.Value) Handle { return file{value} }

// Read returns the whole file.
func (f file) Read() ([]byte, error) {
	size, err := f.ask("getSize")
	if err != nil {
		return nil, err
	}
	into := js.Global().Get("Uint8Array").New(size)
	got, err := f.ask("read", into, at(0))
	if err != nil {
		return nil, err
	}
	content := make([]byte, size.Int())
	if js.CopyBytesToGo(content, into) != got.Int() {
		return nil, errors.New("the browser read less than the file has")
	}
	return content, nil
}

// Write writes all of the content, or says why not.
func (f file) Write(content []byte, from int64) error {
	from8 := js.Global().Get("Uint8Array").New(len(content))
	js.CopyBytesToJS(from8, content)
	wrote, err := f.ask("write", from8, at(from))
	if err == nil && wrote.Int() != len(content) {
		err = errors.New("the browser wrote less than it was given: there is no more room")
	}
	return err
}

// Truncate cuts the file, or makes it longer by zeros.
func (f file) Truncate(size int64) error {
	_, err := f.ask("truncate", float64(size))
	return err
}

// Flush returns when what was written survives the end of the browser.
func (f file) Flush() error {
	_, err := f.ask("flush")
	return err
}

func at(offset int64) map[string]any { return map[string]any{"at": float64(offset)} }

// ask calls a method of the handle. What it throws is an error with the name of what
// happened, such as QuotaExceededError.
func (f file) ask(method string, arguments ...any) (answer js.Value, err error) {
	defer func() {
		if caught := recover(); caught != nil {
			thrown, is := caught.(js.Error)
			if !is {
				panic(caught)
			}
			err = thrown
		}
	}()
	answer = f.Call(method, arguments...)
	if answer.Type() != js.TypeObject || answer.Get("then").Type() != js.TypeFunction {
		return answer, nil
	}
	done := make(chan error, 1)
	kept := js.FuncOf(func(_ js.Value, got []js.Value) any {
		if len(got) > 0 {
			answer = got[0]
		}
		done <- nil
		return nil
	})
	failed := js.FuncOf(func(_ js.Value, why []js.Value) any {
		done <- js.Error{Value: why[0]}
		return nil
	})
	defer kept.Release()
	defer failed.Release()
	answer.Call("then", kept, failed)
	return answer, <-done
}
