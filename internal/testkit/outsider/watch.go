package outsider

import "slices"

// comes reports whether a place varies: at some moment its name differs from that
// at rest.
func (e eyes) comes(place int) bool {
	return slices.ContainsFunc(e.moments, func(m []string) bool { return m[place] != e.names[place] })
}

// sparkles reports whether a lit place shows another colour at some moment. Dark
// moments do not count.
func (e eyes) sparkles(place int) bool {
	return isLit(e.names[place]) && slices.ContainsFunc(e.moments, func(m []string) bool {
		return isLit(m[place]) && m[place] != e.names[place]
	})
}

// anyPlace reports whether a condition holds for any place.
func (e eyes) anyPlace(is func(place int) bool) bool {
	for i := range e.names {
		if is(i) {
			return true
		}
	}
	return false
}

// anyLit reports whether any place is lit at any moment.
func (e eyes) anyLit() bool {
	return slices.ContainsFunc(e.moments, func(m []string) bool { return slices.ContainsFunc(m, isLit) })
}

func (e eyes) steady() string {
	switch {
	case e.anyPlace(e.sparkles):
		return "sparkles"
	case !e.anyPlace(e.comes):
		return "steady"
	case slices.ContainsFunc(e.moments, func(m []string) bool { return !slices.ContainsFunc(m, isLit) }):
		return "comes-all"
	}
	return "comes"
}

// staysLit answers with the last place in data order that is lit at every moment.
func (e eyes) staysLit() string {
	if !e.anyLit() {
		return "none"
	}
	if !e.anyPlace(e.comes) {
		return "steady"
	}
	for i, name := range slices.Backward(e.names) {
		if isLit(name) && !e.comes(i) {
			return name
		}
	}
	return "none"
}

func (e eyes) even() string {
	switch {
	case !e.anyLit():
		return "none"
	case e.anyPlace(e.sparkles):
		return "sparkles"
	case e.anyPlace(e.comes):
		return "mixed"
	}
	main := mostLit(e.names)
	lit := len(e.names)
	for lit > 0 && !isLit(e.names[lit-1]) {
		lit--
	}
	different := others(e.names, main)
	switch {
	case lit < len(e.names) && others(e.names[:lit], main) <= 3:
		return "tail"
	case different == 0 && main == hueName(e.probe.Base):
		return "all"
	case different == 0:
		return "other"
	case different <= 3:
		return "few"
	}
	return "mixed"
}

// mostLit is the most frequent colour name of the lit places; of equally frequent
// ones, the first in data order.
func mostLit(names []string) string {
	count, best := map[string]int{}, ""
	for _, n := range names {
		count[n]++
	}
	for _, n := range names {
		if isLit(n) && count[n] > count[best] {
			best = n
		}
	}
	return best
}

// others counts the places whose name is not main.
func others(names []string, main string) (n int) {
	for _, name := range names {
		if name != main {
			n++
		}
	}
	return n
}
