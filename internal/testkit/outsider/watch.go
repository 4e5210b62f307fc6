package outsider

import "slices"

// A change is what one place does over the moments.
type change int

const (
	still change = iota
	sparkling
	coming // it is dark at one moment and lit at another
)

// changes tells of every place what it does.
func (e eyes) changes() []change {
	out := make([]change, len(e.names))
	for i := range out {
		darks, names := 0, map[string]bool{}
		for _, m := range e.moments {
			names[m[i]] = true
			if !isLit(m[i]) {
				darks++
			}
		}
		switch {
		case darks > 0 && len(names) > 1:
			out[i] = coming
		case len(names) > 1:
			out[i] = sparkling
		}
	}
	return out
}

// anyLit reports whether anything is lit at any moment.
func (e eyes) anyLit() bool {
	return slices.ContainsFunc(e.moments, func(m []string) bool { return slices.ContainsFunc(m, isLit) })
}

func (e eyes) steady() string {
	does := e.changes()
	switch {
	case slices.Contains(does, sparkling):
		return "sparkles"
	case !slices.Contains(does, coming):
		return "steady"
	case slices.ContainsFunc(e.moments, func(m []string) bool { return !slices.ContainsFunc(m, isLit) }):
		return "comes-all"
	}
	return "comes"
}

// staysLit is the last place along the data that is lit at every moment.
func (e eyes) staysLit() string {
	does := e.changes()
	if !e.anyLit() {
		return "none"
	}
	if !slices.Contains(does, coming) {
		return "steady"
	}
	for i, name := range slices.Backward(e.names) {
		if isLit(name) && does[i] != coming {
			return name
		}
	}
	return "none"
}

func (e eyes) even() string {
	does := e.changes()
	switch {
	case !e.anyLit():
		return "none"
	case slices.Contains(does, sparkling):
		return "sparkles"
	case slices.Contains(does, coming):
		return "mixed"
	}
	main := mostLit(e.names)
	lit := len(e.names)
	for lit > 0 && !isLit(e.names[lit-1]) {
		lit--
	}
	odd := others(e.names, main)
	switch {
	case lit < len(e.names) && others(e.names[:lit], main) <= 3:
		return "tail"
	case odd == 0 && main == hueName(e.probe.Base):
		return "all"
	case odd == 0:
		return "other"
	case odd <= 3:
		return "few"
	}
	return "mixed"
}

// mostLit is the lit name that most places have; of two with equally many the
// one met first along the data.
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

// others counts the places with another name.
func others(names []string, main string) (n int) {
	for _, name := range names {
		if name != main {
			n++
		}
	}
	return n
}
