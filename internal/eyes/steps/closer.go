package steps

import "example.org/ringout/internal/eyes"

// Unread is the number of places with light that was not read.
func (p Proof) Unread() int {
	if p.Result == nil {
		return 0
	}
	return len(unreadOf(p.Result))
}

// Closer begins a second run, from nearer or another side, that adds to the result.
func (p Proof) Closer() Proof {
	next := New(p.Scene, p.Level, nil).Adding(p.Result)
	next.Text = "Come nearer to what is unread, or look from another side."
	return next
}

// Adding makes a proof add to the result of an earlier run. Part of the prop may be outside
// its pictures, so places around the unread ones are marked.
func (p Proof) Adding(before *eyes.Result) Proof {
	p.Result, p.Partial = before, true
	p.Wanted = wanted(fourAround(p.Scene, unreadOf(before)), p.Marks)
	return p
}

// unreadOf are the places that a result has not read.
func unreadOf(r *eyes.Result) (out []int) {
	for i, one := range r.Places {
		if one.State == eyes.Unread {
			out = append(out, i)
		}
	}
	return out
}
