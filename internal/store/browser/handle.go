package browser

// Handle is one file of the browser, which nobody else has open.
type Handle interface {
	Read() ([]byte, error)                // all of it
	Write(content []byte, at int64) error // all of it, or an error
	Truncate(size int64) error
	Flush() error // returns when what was written survives the end of the browser
}
