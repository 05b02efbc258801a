package rules

// block is room for values of which a fold makes many: it is asked for once, and
// handed out in pieces that do not grow into each other.
type block[T any] struct{ free []T }

// blockOf is room for so many.
func blockOf[T any](n int) block[T] { return block[T]{make([]T, n)} }

// take returns the next n. Where the room is used up, more is made.
func (b *block[T]) take(n int) []T {
	if n > len(b.free) {
		b.free = make([]T, max(n, 16))
	}
	piece := b.free[:n:n]
	b.free = b.free[n:]
	return piece
}

// keep returns a place with a value in it.
func (b *block[T]) keep(value T) *T {
	place := &b.take(1)[0]
	*place = value
	return place
}
