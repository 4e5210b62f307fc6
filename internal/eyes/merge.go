package eyes

// Merge is what two runs of the same plan have read together. A place that one
// of them left unread is the other's; where both are sure and do not agree, it
// is unread. Places lie where the run that read them saw them.
func Merge(a, b *Result) *Result {
	if len(a.Places) != len(b.Places) {
		return a
	}
	out := *a
	out.Places = make([]Place, len(a.Places))
	for i := range out.Places {
		p, q := a.Places[i], b.Places[i]
		unsteady := max(p.Unsteady, q.Unsteady)
		switch {
		case p.State == Unread:
			out.Places[i] = q
		case q.State == Unread || p.alike(q):
			out.Places[i] = p
		default:
			out.Places[i] = p
			out.Places[i].State, out.Places[i].Reading.Sure = Unread, false
		}
		out.Places[i].Unsteady = unsteady
	}
	out.Watched = a.Watched && b.Watched
	out.Measures.Spacing = max(a.Measures.Spacing, b.Measures.Spacing)
	return &out
}

// alike reports whether two places say the same.
func (p Place) alike(q Place) bool {
	if p.State != q.State {
		return false
	}
	return p.State != Read || p.Reading.Slot == q.Reading.Slot && p.Reading.Chip == q.Reading.Chip && p.Reading.Order == q.Reading.Order
}

// RunOf is the run of a place and the place in it, all from 0.
func (s *Scene) RunOf(place int) (run, at int) {
	for r := range s.Runs {
		if n := len(s.Runs[r].Places); place < n {
			return r, place
		} else {
			place -= n
		}
	}
	return 0, 0
}
