package eyes

// Merge joins the results of two runs of one plan. A place that is unread in one is
// taken from the other; a place on which they disagree is unread. Positions are
// those of the run from which a place is taken. When the numbers of places differ
// it returns a.
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

// alike reports whether two places have the same state and reading.
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
