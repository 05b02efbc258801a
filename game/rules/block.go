package rules

import "strings"

// room is where the many small things lie that a fold makes. All of them are asked for
// at once where it is known how many there will be.
type room struct {
	terms   block[term]
	parts   block[calledPart]
	rows    block[row]
	slots   block[slot]
	lists   block[*slot] // of slots, for as long as a whistle
	moments block[Moment]
	reasons block[Reason]
	args    block[Arg]
	words   words
}

// pairs makes arguments of names and texts in turn.
func (r *room) pairs(pairs ...string) Args {
	args := r.args.take(len(pairs) / 2)
	for i := range args {
		args[i] = Arg{Name: pairs[2*i], Text: pairs[2*i+1]}
	}
	return args
}

// block is room for values of which a fold makes many: it is asked for once, and
// handed out in pieces that do not grow into each other.
type block[T any] struct {
	all  []T
	used int
}

// blockOf is room for so many.
func blockOf[T any](n int) block[T] { return block[T]{all: make([]T, n)} }

// take returns the next n. Where the room is used up, more is made.
func (b *block[T]) take(n int) []T {
	if n > len(b.all)-b.used {
		*b = blockOf[T](max(n, 16))
	}
	b.used += n
	return b.all[b.used-n : b.used : b.used]
}

// keep returns a place with a value in it.
func (b *block[T]) keep(value T) *T {
	place := &b.take(1)[0]
	*place = value
	return place
}

// words is room for texts that are put together: they are written one behind the other
// and share their memory.
type words struct{ written *strings.Builder }

// join writes the parts as one text.
func (w *words) join(parts ...string) string {
	size := 0
	for _, part := range parts {
		size += len(part)
	}
	if w.written == nil || w.written.Cap()-w.written.Len() < size {
		w.written = new(strings.Builder)
		w.written.Grow(max(size, 1024))
	}
	from := w.written.Len()
	for _, part := range parts {
		w.written.WriteString(part)
	}
	return w.written.String()[from:]
}
