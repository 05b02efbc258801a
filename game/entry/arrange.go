package entry

import "sort"

// Arrange puts a list in order, those that are equal as they were. It is not
// slices.SortStableFunc because the compiler makes that anew for each kind of
// list, which together is a fortieth of what a visitor of the practice site loads.
func Arrange[T any](list []T, compare func(a, b T) int) {
	for i := 1; i < len(list); i++ {
		if compare(list[i-1], list[i]) > 0 { // mostly a list is in order
			sort.Stable(arranging[T]{list, compare})
			return
		}
	}
}

type arranging[T any] struct {
	list    []T
	compare func(a, b T) int
}

func (a arranging[T]) Len() int           { return len(a.list) }
func (a arranging[T]) Less(i, j int) bool { return a.compare(a.list[i], a.list[j]) < 0 }
func (a arranging[T]) Swap(i, j int)      { a.list[i], a.list[j] = a.list[j], a.list[i] }
