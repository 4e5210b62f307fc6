package checkout

import "slices"

// A signature is the effect of a family of faults at its place, found with the
// simulated strip. It decides which questions can split the places.
type signature struct {
	seenAs    [White + 1]Name // by colour sent to all pixels: the colour seen at the place
	darkAfter bool            // the place and all pixels after it are dark
	loose     bool            // it flickers
	white     Hue             // a white channel that the place does not show as white; "" if none
}

// signatureOf is the signature of the fault in the middle of the family.
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
		sig.seenAs[n] = nameAt(w.light.Runs[run], at)
		last := len(f.sizes) - 1
		sig.darkAfter = sig.seenAs[n] == Dark && nameAt(w.light.Runs[last], -1) == Dark && h.place() < f.pixels-1
		sig.loose = w.see.contactOpen != nil
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
		if s.seenAs[n] != n {
			return true
		}
	}
	return false
}

// dark reports whether every colour is dark there.
func (s *signature) dark() bool {
	for n := Red; n <= White; n++ {
		if s.seenAs[n] != Dark {
			return false
		}
	}
	return true
}

// hues are the hues of bands in which the fault shows: the place shows each of
// them as a colour that is neither that hue nor a neighbouring band's. The last
// hue is one that the fault does not change, if there is one.
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
		if s.seenAs[n] == n && !slices.Contains(best, n) {
			return append(hues, n.hue())
		}
	}
	return hues
}

// fitsAfter reports whether a band of colour n may follow those of path.
func (s *signature) fitsAfter(path []Name, n Name) bool {
	if s.seenAs[n] == n || slices.Contains(path, n) {
		return false
	}
	if k := len(path); k > 0 {
		return s.seenAs[path[k-1]] != n && s.seenAs[n] != path[k-1]
	}
	return true
}

// base is a colour for marked that the place shows as another; false when there
// is none.
func (s *signature) base() (Hue, bool) {
	for _, n := range []Name{Red, Green, Blue, White} {
		if s.seenAs[n] != n {
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
		if fam := &f.families[i]; fam.placed && !fam.moreAfter {
			out[i] = m.signatureOf(fam, w)
		} else if fam.moreAfter {
			out[i] = out[fam.of]
		}
	}
	return out
}

// An appearance is a rough class of light; faults of one class are easily
// confused.
type appearance uint8

// appearance is the appearance of a family; 0 for one without places.
func (s *signature) appearance() appearance {
	switch {
	case s.seenAs == [White + 1]Name{} && !s.darkAfter:
		return 0
	case s.loose:
		return 4
	case s.darkAfter:
		return 1
	case s.changed() && s.seenAs[White] != White:
		return 2
	}
	return 3
}
