package roots

import (
	"bytes"
	"crypto/sha256"
	"math/bits"
)

// Hash is one of the tree's.
type Hash = [sha256.Size]byte

// What stands before the bytes of a leaf and of a node, so that none can be taken for the
// other (RFC 9162, section 2.1.1).
const (
	leafPrefix = 0
	nodePrefix = 1
)

// Leaf is the hash of a leaf.
func Leaf(content []byte) Hash { return sha256.Sum256(append([]byte{leafPrefix}, content...)) }

func node(left, right Hash) Hash {
	return sha256.Sum256(append(append([]byte{nodePrefix}, left[:]...), right[:]...))
}

// split is the largest power of two below n, for n of at least 2.
func split(n int) int { return 1 << (bits.Len(uint(n-1)) - 1) }

// Over is the hash over all leaves, in their order.
func Over(leaves []Hash) Hash {
	switch n := len(leaves); n {
	case 0:
		return sha256.Sum256(nil)
	case 1:
		return leaves[0]
	default:
		k := split(n)
		return node(Over(leaves[:k]), Over(leaves[k:]))
	}
}

// Path is the way from a leaf to the root: what stands beside it at each height.
func Path(leaves []Hash, index int) []Hash {
	n := len(leaves)
	if n <= 1 {
		return nil
	}
	k := split(n)
	if index < k {
		return append(Path(leaves[:k], index), Over(leaves[k:]))
	}
	return append(Path(leaves[k:], index-k), Over(leaves[:k]))
}

// Leads reports whether a way leads from a leaf at a place among size leaves to a root
// (RFC 9162, section 2.1.3.2).
func Leads(leaf Hash, index, size int, path []Hash, root Hash) bool {
	if index < 0 || index >= size {
		return false
	}
	fn, sn, r := index, size-1, leaf
	for _, p := range path {
		if sn == 0 {
			return false
		}
		if fn&1 == 1 || fn == sn {
			r = node(p, r)
			for fn&1 == 0 && fn != 0 {
				fn, sn = fn>>1, sn>>1
			}
		} else {
			r = node(r, p)
		}
		fn, sn = fn>>1, sn>>1
	}
	return sn == 0 && bytes.Equal(r[:], root[:])
}
