// Package sorting sorts slices of structs by a comparison, as package slices
// does. The compiler makes the whole of a sort in slices again for each type of
// element, which costs the program 20 kB a type; here it is shared.
package sorting

import "sort"

// By sorts s in ascending order of compare. Equal elements may change places.
func By[T any](s []T, compare func(a, b T) int) { sort.Slice(s, less(s, compare)) }

// Stable is By, except that equal elements keep their order.
func Stable[T any](s []T, compare func(a, b T) int) { sort.SliceStable(s, less(s, compare)) }

func less[T any](s []T, compare func(a, b T) int) func(i, j int) bool {
	return func(i, j int) bool { return compare(s[i], s[j]) < 0 }
}
