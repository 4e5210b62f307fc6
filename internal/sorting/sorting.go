// Package sorting sorts slices of structs by a comparison, as package slices
// does. The compiler makes the whole of a sort in slices again for each type of
// element, which costs the program 20 kB a type; here it is shared.
package sorting

import "sort"

// By sorts s in ascending order of compare. Equal elements may change places.
func By[T any](s []T, compare func(a, b T) int) { sort.Sort(list[T]{s, compare}) }

// Stable is By, except that equal elements keep their order.
func Stable[T any](s []T, compare func(a, b T) int) { sort.Stable(list[T]{s, compare}) }

// A list is a slice and its order.
type list[T any] struct {
	all     []T
	compare func(a, b T) int
}

func (l list[T]) Len() int           { return len(l.all) }
func (l list[T]) Less(i, j int) bool { return l.compare(l.all[i], l.all[j]) < 0 }
func (l list[T]) Swap(i, j int)      { l.all[i], l.all[j] = l.all[j], l.all[i] }
