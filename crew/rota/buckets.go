package rota

// buckets is a queue of nodes by small whole distances: one list for each
// distance, so that putting and taking cost next to nothing.
type buckets struct {
	lists [][]int32
	at    int
	used  int // lists up to here may hold something
	heap  []entry
}

// entry is a node whose distance is too large for a list.
type entry struct{ dist, node int32 }

// listsMost keeps the lists small; distances beyond go into a heap.
const listsMost = 4096

func (b *buckets) clear() {
	for i := range b.used {
		b.lists[i] = b.lists[i][:0]
	}
	b.at, b.used, b.heap = 0, 0, b.heap[:0]
}

func (b *buckets) put(node, dist int32) {
	if dist >= listsMost {
		b.up(entry{dist, node})
		return
	}
	for int(dist) >= len(b.lists) {
		b.lists = append(b.lists, nil)
	}
	b.lists[dist] = append(b.lists[dist], node)
	b.used = max(b.used, int(dist)+1)
}

func (b *buckets) take() (node, dist int32, found bool) {
	for ; b.at < b.used; b.at++ {
		if list := b.lists[b.at]; len(list) > 0 {
			b.lists[b.at] = list[:len(list)-1]
			return list[len(list)-1], int32(b.at), true
		}
	}
	if len(b.heap) == 0 {
		return 0, 0, false
	}
	top := b.heap[0]
	b.down()
	return top.node, top.dist, true
}

func (b *buckets) up(e entry) {
	b.heap = append(b.heap, e)
	for i := len(b.heap) - 1; i > 0; {
		above := (i - 1) / 2
		if b.heap[above].dist <= b.heap[i].dist {
			return
		}
		b.heap[above], b.heap[i] = b.heap[i], b.heap[above]
		i = above
	}
}

func (b *buckets) down() {
	last := len(b.heap) - 1
	b.heap[0] = b.heap[last]
	b.heap = b.heap[:last]
	for i := 0; ; {
		least := i
		for child := 2*i + 1; child <= 2*i+2 && child < last; child++ {
			if b.heap[child].dist < b.heap[least].dist {
				least = child
			}
		}
		if least == i {
			return
		}
		b.heap[least], b.heap[i] = b.heap[i], b.heap[least]
		i = least
	}
}
