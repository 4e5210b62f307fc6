package outsider

// Faults of one pixel, and of all pixels from one on.

func openJoint(d draft) []string {
	at := d.laterPixel()
	if at < 0 {
		return nil
	}
	d.chip(at).Open = true
	return names("open-joint pixel %d", at+1)
}

func deadStop(d draft) []string {
	at := d.laterPixel()
	if at < 0 {
		return nil
	}
	d.chip(at).Stops = true
	return names("dead-stop pixel %d", at+1)
}

func railLost(d draft) []string {
	at := d.laterPixel()
	if at < 0 {
		return nil
	}
	d.chip(at).NoPower = true
	return names("rail-lost pixel %d", at+1)
}

func deadPixel(d draft) []string {
	at := d.laterPixel()
	if at < 0 {
		return nil
	}
	d.chip(at).Dead = true
	return names("dead-pixel pixel %d", at+1)
}

func deadColour(d draft) []string {
	at, c := d.onePixel(), d.Order[d.IntN(len(d.Order))]
	d.chip(at).Lacks = c
	return names("dead-channel pixel %d colour %s", at+1, colours[c])
}

func stuckPixel(d draft) []string {
	at := d.laterPixel()
	if at < 0 {
		return nil
	}
	d.chip(at).Stuck = d.Order
	return names("stuck-on pixel %d", at+1)
}

func stuckColour(d draft) []string {
	at, c := d.onePixel(), d.Order[d.IntN(len(d.Order))]
	d.chip(at).Stuck = string(c)
	return names("stuck-channel pixel %d colour %s", at+1, colours[c])
}

func wholeOrder(d draft) []string {
	order := d.otherOrder()
	d.each(0, func(c *Chip) { c.Order = order })
	return names("wrong-order pixel 1 order %s", order)
}

func orderFrom(d draft) []string {
	at, order := d.laterPixel(), d.otherOrder()
	if at < 0 {
		return nil
	}
	d.each(at, func(c *Chip) { c.Order = order })
	return names("wrong-order pixel %d order %s", at+1, order)
}

// otherChip returns the colour order of a chip with one channel more or fewer.
func (d draft) otherChip() string {
	if len(d.Order) == 3 {
		return d.Order + "W"
	}
	return d.Order[:3]
}

func chipFrom(d draft) []string {
	at, order := d.laterPixel(), d.otherChip()
	if at < 0 {
		return nil
	}
	d.each(at, func(c *Chip) { c.Order = order })
	return names("wrong-chip pixel %d slots %d", at+1, len(order))
}

func loose(d draft) []string {
	at := d.laterPixel()
	if at < 0 {
		return nil
	}
	d.chip(at).Loose = true
	return names("flicker pixel %d", at+1)
}

// twoDead makes two dead pixels.
func twoDead(d draft) []string {
	a, b := d.laterPixel(), d.laterPixel()
	if a < 0 || a == b {
		return nil
	}
	a, b = min(a, b), max(a, b)
	d.chip(a).Dead, d.chip(b).Dead = true, true
	return names("dead-pixel pixel %d, dead-pixel pixel %d", a+1, b+1)
}

// jointAndColour makes a pixel without a colour and, after it, an open joint.
func jointAndColour(d draft) []string {
	a, b := d.laterPixel(), d.laterPixel()
	if a < 0 || a == b {
		return nil
	}
	a, b = min(a, b), max(a, b)
	c := d.Order[d.IntN(len(d.Order))]
	d.chip(a).Lacks, d.chip(b).Open = c, true
	return names("open-joint pixel %d, dead-channel pixel %d colour %s", b+1, a+1, colours[c])
}

// unknown is the name of a fault that strip --fault cannot express.
const unknown = "unknown"

// strangeChip replaces a pixel by one with another colour order.
func strangeChip(d draft) []string {
	at := d.laterPixel()
	if at < 0 {
		return nil
	}
	d.chip(at).Order = d.otherOrder()
	return names(unknown)
}
