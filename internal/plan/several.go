package plan

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// Several tells what props have to do with each other: collisions, hosts, and
// where the next prop may go.
type Several struct {
	Collisions []string       `json:"collisions"` // sentences, one a stretch of slots
	Hosts      []prop.HostUse `json:"hosts"`
}

// Together looks at all props at once.
func Together(props []*prop.Prop) Several {
	s := Several{Collisions: []string{}, Hosts: prop.Hosts(props)}
	for _, c := range prop.Collisions(props) {
		s.Collisions = append(s.Collisions, c.Say(props))
	}
	return s
}

// Text is for a terminal.
func (s Several) Text(width int) string {
	w := &writer{width: max(width, 40)}
	w.line("All together")
	for _, h := range s.Hosts {
		next := "no universe is left"
		if h.NextUniverse > 0 {
			next = fmt.Sprintf("next free U%d S%d, next empty universe %d", h.NextUniverse, h.NextSlot, h.EmptyUniverse)
		}
		w.item("%s: %d pixels, %d slots in %s %s (%s); %s", h.Host, h.Pixels, h.Slots,
			words.Plural(len(h.Universes), "universe", "universes"), ranges(h.Universes), strings.Join(h.Props, ", "), next)
	}
	for _, c := range s.Collisions {
		w.item("collision: %s", c)
	}
	if len(s.Collisions) == 0 {
		w.item("no two props use the same slot of the same host")
	}
	return w.String()
}

// ranges writes ascending numbers as "1-3, 7".
func ranges(ns []int) string {
	var parts []string
	for i := 0; i < len(ns); {
		k := i
		for k+1 < len(ns) && ns[k+1] == ns[k]+1 {
			k++
		}
		if k == i {
			parts = append(parts, fmt.Sprint(ns[i]))
		} else {
			parts = append(parts, fmt.Sprintf("%d-%d", ns[i], ns[k]))
		}
		i = k + 1
	}
	return strings.Join(parts, ", ")
}
