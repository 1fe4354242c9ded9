// Package sorting sorts lists of records. The library's sort is compiled anew for every type of element, 20 KB each in a
// program for browsers; here only the moving of the elements is, and the sorting itself is that of integers.
package sorting

import (
	"cmp"
	"slices"
)

// By sorts list by compare, which is as for slices.SortFunc. Elements that are equal keep their order. Cost: O(n log n)
// comparisons, and each element is moved twice.
func By[E any](list []E, compare func(a, b E) int) {
	at := places(len(list), func(i, j int) int { return compare(list[i], list[j]) })
	sorted := make([]E, len(list))
	for i, from := range at {
		sorted[i] = list[from]
	}
	copy(list, sorted)
}

// places returns the places 0 to n-1 as their elements are to stand.
func places(n int, compare func(i, j int) int) []int {
	at := make([]int, n)
	for i := range at {
		at[i] = i
	}
	slices.SortFunc(at, func(i, j int) int { return cmp.Or(compare(i, j), i-j) })
	return at
}
