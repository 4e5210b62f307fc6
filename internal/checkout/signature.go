package checkout

import "slices"

// A signature is what a family of faults does at its place, found by looking:
// how each colour is seen there, and whether what lies after it goes dark or
// comes and goes. It says which questions split the places.
type signature struct {
	at     [White + 1]Name // how each colour, sent to all, is seen at the place
	beyond bool            // all after it is dark
	loose  bool            // it comes and goes
	white  Hue             // a light of its own that the place does not show as white; "" if none
}

// signatureOf looks at the fault in the middle of the family.
func (m *stripBuilder) signatureOf(fam *family, w *watcher) signature {
	f := m.field
	var sig signature
	if fam.to == fam.from {
		return sig
	}
	h := &f.hyps[(fam.from+fam.to)/2]
	run, at := f.prop.Find(h.place())
	w.field = f
	for n := Red; n <= White; n++ {
		w.watch(f, &Spec{Kind: AskEven, Paint: even(n.hue(), f.pixels), Level: f.level, Base: n.hue()})
		w.lights(h)
		sig.at[n] = nameAt(w.light.Runs[run], at)
		last := len(f.sizes) - 1
		sig.beyond = sig.at[n] == Dark && nameAt(w.light.Runs[last], -1) == Dark && h.place() < f.pixels-1
		sig.loose = w.see.letGo != nil
	}
	for _, white := range f.whites()[1:] {
		w.watch(f, &Spec{Kind: AskEven, Paint: even(white, f.pixels), Level: f.level, Base: white})
		w.lights(h)
		if nameAt(w.light.Runs[run], at) != White {
			sig.white = white
		}
	}
	return sig
}

// changed reports whether any colour is seen as another.
func (s *signature) changed() bool {
	for n := Red; n <= White; n++ {
		if s.at[n] != n {
			return true
		}
	}
	return false
}

// dark reports whether every colour is dark there.
func (s *signature) dark() bool {
	for n := Red; n <= White; n++ {
		if s.at[n] != Dark {
			return false
		}
	}
	return true
}

// hues are hues to paint bands with so that the place gives itself away: each
// is seen as another than itself and than the hues of the bands beside it. The
// last one is seen unchanged, if there is one such.
func (s *signature) hues() []Hue {
	var best []Name
	var grow func(path []Name)
	grow = func(path []Name) {
		if len(path) > len(best) {
			best = slices.Clone(path)
		}
		if len(best) == mostOthers-1 {
			return
		}
		for n := Red; n <= White; n++ {
			if s.fitsAfter(path, n) {
				grow(append(path, n))
			}
		}
	}
	grow(nil)
	hues := make([]Hue, 0, len(best)+1)
	for _, n := range best {
		hues = append(hues, n.hue())
	}
	for _, n := range []Name{White, Red, Green, Blue} {
		if s.at[n] == n && !slices.Contains(best, n) {
			return append(hues, n.hue())
		}
	}
	return hues
}

// fitsAfter reports whether a band of a colour may follow the others.
func (s *signature) fitsAfter(path []Name, n Name) bool {
	if s.at[n] == n || slices.Contains(path, n) {
		return false
	}
	if k := len(path); k > 0 {
		return s.at[path[k-1]] != n && s.at[n] != path[k-1]
	}
	return true
}

// base is a colour that the place shows as another, to set marks on.
func (s *signature) base() (Hue, bool) {
	for _, n := range []Name{Red, Green, Blue, White} {
		if s.at[n] != n {
			return n.hue(), true
		}
	}
	return s.white, s.white != ""
}

// signatures are those of all families with places.
func (f *field) signatures() []signature {
	m, w := stripBuilder{field: f}, &watcher{}
	out := make([]signature, len(f.families))
	for i := range f.families {
		if fam := &f.families[i]; fam.places && !fam.behind {
			out[i] = m.signatureOf(fam, w)
		} else if fam.behind {
			out[i] = out[fam.of]
		}
	}
	return out
}

// An appearance is a rough sort of looks: faults of one sort may be taken for
// one another.
type appearance uint8

// look is the appearance of a family; 0 for one without places.
func (s *signature) look() appearance {
	switch {
	case s.at == [White + 1]Name{} && !s.beyond:
		return 0
	case s.loose:
		return 4
	case s.beyond:
		return 1
	case s.changed() && s.at[White] != White:
		return 2
	}
	return 3
}
