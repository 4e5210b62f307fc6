package strip

import "strings"

// kindList is all kinds in one line.
func kindList() string {
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = string(k.kind)
	}
	return strings.Join(names, ", ")
}
