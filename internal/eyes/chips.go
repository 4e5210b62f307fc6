package eyes

// bound is an upper limit of the light that any order of three slots explains.
func (r *reader) bound(sums []vec, slot int) float32 {
	var f float32
	for i, v := range sums {
		if m := v.most(); m > 0 && r.norm[slot+i] > 0 {
			f += m * m / r.norm[slot+i]
		}
	}
	return f
}

// best3 is the best order, with or without a lost colour, of a chip of three
// slots from slot on.
func (r *reader) best3(sums []vec, slot int, total float32) candidate {
	best := candidate{slot: slot}
	aside := r.offsetPenalty(slot, 3)
	for i := range r.orders[0] {
		o := &r.orders[0][i]
		for lost := -1; lost < 3; lost++ {
			penalty := o.rare + aside
			if lost >= 0 {
				penalty += lostPenalty
			}
			if f := r.fit3(sums, slot, o.lights, lost)/total - penalty; f > best.fits {
				best.fits, best.order, best.lost, best.penalty = f, o, lost, penalty
			}
		}
	}
	return best
}

// offsetPenalty is the penalty of a chip that begins inside another's slots, where
// most do not.
func (r *reader) offsetPenalty(slot, chip int) float32 {
	if r.whole && (slot%r.scene.Slots != 0 || chip != r.scene.Slots) {
		return partPenalty
	}
	return 0
}

// fit3 is the light (sum of squares) that three slots explain with equally strong
// colours, without the lost one.
func (r *reader) fit3(sums []vec, slot int, o []int, lost int) float32 {
	var d, n float32
	for i, l := range o {
		if l != lost {
			d += sums[i][l]
			n += r.norm[slot+i]
		}
	}
	if d <= 0 || n == 0 {
		return 0
	}
	return d * d / n
}

// best4 is the best order of a chip of four slots.
func (r *reader) best4(sums []vec, slot int, total float32) candidate {
	best := candidate{slot: slot, lost: -1}
	aside := r.offsetPenalty(slot, 4)
	for i := range r.orders[1] {
		o := &r.orders[1][i]
		if f := r.fit4(sums, slot, o.lights)/total - o.rare - aside; f > best.fits {
			best.fits, best.order, best.penalty = f, o, o.rare+aside
		}
	}
	return best
}

// fit4 is fit3 with a white light, which shows in all three colours.
func (r *reader) fit4(sums []vec, slot int, o []int) float32 {
	w := 0
	for o[w] != white {
		w++
	}
	var d, n float32
	for i, l := range o {
		if l == white {
			continue
		}
		d += sums[i][l] + sums[w][l]
		n += r.norm[slot+i] + r.norm[slot+w] + 2*r.common[slot+min(i, w)][max(i-w, w-i)]
	}
	if d <= 0 || n == 0 {
		return 0
	}
	return d * d / n
}
