package prop

import (
	"fmt"
	"sort"
	"strings"

	"example.org/ringout/protocol"
)

// A Collision is a range of slots that two props both use.
type Collision struct {
	A, B     int // indexes into the props given
	Universe uint16
	From, To int  // slots from 0, both included
	Maybe    bool // one is multicast, one unicast: they collide only if the host also listens to multicast
}

// Say describes the collision in a sentence, with slots from 1.
func (c Collision) Say(props []*Prop) string {
	and := "and"
	if props[c.A].Name == props[c.B].Name {
		and = "and another"
	}
	s := fmt.Sprintf("%q %s %q both use universe %d slot %d", props[c.A].Name, and, props[c.B].Name, c.Universe, c.From+1)
	if c.To > c.From {
		s = fmt.Sprintf("%q %s %q both use universe %d slots %d to %d", props[c.A].Name, and, props[c.B].Name, c.Universe, c.From+1, c.To+1)
	}
	if c.Maybe {
		return s + fmt.Sprintf(" if %s also listens to multicast: move one of them", unicastOf(props[c.A], props[c.B]))
	}
	return s + fmt.Sprintf(" at %s: move one of them", props[c.A].Address.HostName())
}

func unicastOf(a, b *Prop) string {
	if a.Address.Host != "" {
		return a.Address.HostName()
	}
	return b.Address.HostName()
}

// sameHost reports whether two addresses reach the same host, or may do.
func sameHost(a, b Address) (yes, maybe bool) {
	sameNet := a.Interface == "" || b.Interface == "" || strings.EqualFold(a.Interface, b.Interface)
	switch {
	case a.Host == "" && b.Host == "":
		return sameNet, false
	case a.Host == "" || b.Host == "":
		return sameNet, sameNet
	}
	return hostKey(a) == hostKey(b), false
}

// hostKey is equal for two spellings of one host and port.
func hostKey(a Address) string {
	if a.Port == protocol.Port {
		a.Port = 0
	}
	a.Host = strings.TrimSuffix(strings.ToLower(a.Host), ".")
	return a.HostName()
}

// A claim is the slots of one universe that a prop uses, both included.
type claim struct {
	universe uint16
	from, to int
}

func claims(p *Prop) ([]claim, error) {
	patch, err := PatchFor(p)
	if err != nil {
		return nil, err
	}
	var out []claim
	for i, u := range patch.Universes() {
		from := 0
		if i == 0 {
			from = p.Address.Slot
		}
		if patch.Used(i) > from {
			out = append(out, claim{u, from, patch.Used(i) - 1})
		}
	}
	return out, nil
}

// Collisions finds every range of slots that two props share at one host, by universe
// and slot. It leaves out props that do not fit their universes, which Parse reports.
func Collisions(props []*Prop) []Collision {
	byUniverse := map[uint16][]propClaim{}
	var out []Collision
	for i, p := range props {
		cs, _ := claims(p)
		for _, c := range cs {
			out = append(out, overlaps(props, byUniverse[c.universe], c, i)...)
			byUniverse[c.universe] = append(byUniverse[c.universe], propClaim{c, i})
		}
	}
	sort.SliceStable(out, func(a, b int) bool {
		x, y := out[a], out[b]
		return x.Universe < y.Universe || x.Universe == y.Universe && x.From < y.From
	})
	return out
}

// overlaps returns where a claim of prop i overlaps earlier ones in its universe.
func overlaps(props []*Prop, earlier []propClaim, c claim, i int) (out []Collision) {
	for _, o := range earlier {
		from, to := max(o.from, c.from), min(o.to, c.to)
		if yes, maybe := sameHost(props[o.prop].Address, props[i].Address); yes && from <= to {
			out = append(out, Collision{o.prop, i, c.universe, from, to, maybe})
		}
	}
	return out
}

// A propClaim is a claim with the index of its prop.
type propClaim struct {
	claim
	prop int
}

// A HostUse is the load on one host.
type HostUse struct {
	Host          string   `json:"host"`
	Props         []string `json:"props"`
	Pixels        int      `json:"pixels"`
	Slots         int      `json:"slots"` // channels, one a slot
	Universes     []int    `json:"universes"`
	Next          Place    `json:"-"` // the first slot after the last in use
	NextUniverse  int      `json:"next_universe"`
	NextSlot      int      `json:"next_slot"` // from 1
	EmptyUniverse int      `json:"empty_universe"`
}

// Hosts adds up the props by host, in the order they first appear. Next is the slot
// after the last one in use, or the first slot of the next universe when that one is
// full; EmptyUniverse is the next one wholly unused. Both are 0 when universe 63999 is
// used up.
func Hosts(props []*Prop) []HostUse {
	var out []HostUse
	at := map[string]int{}
	seen := map[string]map[int]bool{}
	for _, p := range props {
		cs, err := claims(p)
		if err != nil {
			continue
		}
		key := hostKey(p.Address)
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key], seen[key] = i, map[int]bool{}
			out = append(out, HostUse{Host: p.Address.HostName()})
		}
		h := &out[i]
		h.Props = append(h.Props, p.Name)
		h.Pixels += p.Pixels()
		h.Slots += p.Pixels() * p.Chip.Order.Slots()
		for _, c := range cs {
			h.take(c, seen[key])
		}
	}
	for i := range out {
		out[i].finish()
	}
	return out
}

func (h *HostUse) take(c claim, seen map[int]bool) {
	if !seen[int(c.universe)] {
		seen[int(c.universe)] = true
		h.Universes = append(h.Universes, int(c.universe))
	}
	end := Place{c.universe, c.to + 1}
	if end.Universe > h.Next.Universe || end.Universe == h.Next.Universe && end.Slot > h.Next.Slot {
		h.Next = end
	}
}

func (h *HostUse) finish() {
	sort.Ints(h.Universes)
	if h.Next.Universe < MaxUniverse {
		h.EmptyUniverse = int(h.Next.Universe) + 1
	}
	if h.Next.Slot >= SlotsPerUniverse {
		h.Next = Place{uint16(h.EmptyUniverse), 0}
	}
	h.NextUniverse, h.NextSlot = int(h.Next.Universe), h.Next.Slot+1
	if h.NextUniverse == 0 {
		h.NextSlot = 0
	}
}
