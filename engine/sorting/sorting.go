// Package sorting puts lists in order.
//
// Decision: the standard library's functions are compiled anew for each kind of
// element, some 8 kB of the browser's program for a stable sort and 15 kB for the
// other. Here the same functions sort the places of the elements, with the same
// comparisons and so the same outcome, and the elements follow; each kind adds less
// than 1 kB. What sorts much at each key (outlines) uses the standard library. It
// would change if the compiler shared such code.
package sorting

import "slices"

// Stable sorts a list by compare and keeps the order of what is equal, as
// slices.SortStableFunc does.
func Stable[T any](list []T, compare func(a, b T) int) {
	places := inPlace(len(list))
	slices.SortStableFunc(places, func(i, j int) int { return compare(list[i], list[j]) })
	follow(list, places)
}

// By sorts a list by compare, as slices.SortFunc does.
func By[T any](list []T, compare func(a, b T) int) {
	places := inPlace(len(list))
	slices.SortFunc(places, func(i, j int) int { return compare(list[i], list[j]) })
	follow(list, places)
}

func inPlace(n int) []int {
	places := make([]int, n)
	for i := range places {
		places[i] = i
	}
	return places
}

// follow moves each element to where its place went.
func follow[T any](list []T, places []int) {
	was := append([]T(nil), list...)
	for to, from := range places {
		list[to] = was[from]
	}
}
