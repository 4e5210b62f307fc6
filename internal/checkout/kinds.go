package checkout

import (
	"maps"
	"slices"
)

// Kinds are all kinds of questions, by name.
func Kinds() []Kind { return slices.Sorted(maps.Keys(readings)) }
