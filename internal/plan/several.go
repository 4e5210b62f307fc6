package plan

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// PropSet relates several props: collisions, hosts, and free addresses for another
// prop.
type PropSet struct {
	Collisions []Collision    `json:"collisions"` // one per range of slots
	Hosts      []prop.HostUse `json:"hosts"`
}

// Together compares all props.
func Together(props []*prop.Prop) PropSet {
	s := PropSet{Collisions: []Collision{}, Hosts: prop.Hosts(props)}
	for _, c := range prop.Collisions(props) {
		s.Collisions = append(s.Collisions, Collision{[2]string{props[c.A].Name, props[c.B].Name}, int(c.Universe), c.From + 1, c.To + 1, c.Maybe, c.Say(props), c})
	}
	return s
}

// A Collision is a range of slots that two props both use. Slots count from 1.
type Collision struct {
	Props    [2]string `json:"props"`
	Universe int       `json:"universe"`
	From     int       `json:"first_slot"`
	To       int       `json:"last_slot"`
	Maybe    bool      `json:"maybe"` // one is multicast, one unicast: it depends on the host
	Text     string    `json:"text"`

	of prop.Collision
}

// Collide reports whether two props certainly use the same slot of one host.
func (s PropSet) Collide() bool {
	return slices.ContainsFunc(s.Collisions, func(c Collision) bool { return !c.Maybe })
}

// WriteCSV writes the address table of the props with an extra column: the slots of
// each run that another prop also uses.
func (s PropSet) WriteCSV(w io.Writer, props []*prop.Prop) error {
	var rows []prop.Row
	var owners []int
	for i, p := range props {
		own, err := prop.RowsFor(p)
		if err != nil {
			return err
		}
		for range own {
			owners = append(owners, i)
		}
		rows = append(rows, own...)
	}
	return prop.WriteCSV(w, rows, prop.Column{Name: "collides_with", Of: func(i int) string {
		return s.collidesWith(rows[i], owners[i])
	}})
}

// collidesWith lists the other props on the slots of a row, each with its range.
func (s PropSet) collidesWith(r prop.Row, owner int) string {
	var out []string
	for _, c := range s.Collisions {
		other := c.Props[1]
		switch owner {
		case c.of.A:
		case c.of.B:
			other = c.Props[0]
		default:
			continue
		}
		from, to := max(c.From, firstSlotIn(r, c.Universe)), min(c.To, lastSlotIn(r, c.Universe))
		if from <= to {
			said := fmt.Sprintf("%s U%d S%d-%d", other, c.Universe, from, to)
			if c.Maybe {
				said = "maybe " + said
			}
			out = append(out, said)
		}
	}
	return strings.Join(out, "; ")
}

// firstSlotIn is the first slot of a universe that a row uses, from 1;
// SlotsPerUniverse+1 if the row uses none.
func firstSlotIn(r prop.Row, universe int) int {
	switch {
	case universe == r.FirstUniverse:
		return r.FirstSlot
	case universe > r.FirstUniverse && universe <= r.LastUniverse:
		return 1
	}
	return prop.SlotsPerUniverse + 1
}

// lastSlotIn is the last slot of a universe that a row uses, from 1; 0 if the row uses
// none.
func lastSlotIn(r prop.Row, universe int) int {
	switch {
	case universe == r.LastUniverse:
		return r.LastSlot
	case universe < r.LastUniverse && universe >= r.FirstUniverse:
		return prop.SlotsPerUniverse
	}
	return 0
}

// Text is the comparison for a terminal.
func (s PropSet) Text(width int) string {
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
		head := "collision"
		if c.Maybe {
			head = "possible collision"
		}
		w.item("%s: %s", head, c.Text)
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
