package power

import (
	"math/rand/v2"

	"example.org/ringout/internal/prop"
)

// A ladderCase is one network with its pixels. To add one: 1. a row in
// ladderCases; 2. go test -run Ngspice -record, with ngspice installed.
type ladderCase struct {
	name, about string
	net         *Network
	draws       []Draw
	law         Law
}

func chain(pixels int, volts, plus, minus float64, taps ...Tap) *Network {
	n := &Network{Volts: volts, Taps: taps}
	for range pixels - 1 {
		n.Links = append(n.Links, Rails{plus, minus})
	}
	return n
}

func tap(pixel int, ohms float64) Tap { return Tap{pixel, Rails{ohms, ohms}} }

// cut breaks rails between pixel at and the next.
func (n *Network) cut(at int, plus, minus bool) *Network {
	if plus {
		n.Links[at].Plus = Broken
	}
	if minus {
		n.Links[at].Minus = Broken
	}
	return n
}

func (n *Network) ring(first, last int, ohms float64) *Network {
	n.Loops = append(n.Loops, Loop{first, last, Rails{ohms, ohms}})
	return n
}

func (n *Network) at(link int, plus, minus float64) *Network {
	n.Links[link] = Rails{plus, minus}
	return n
}

const step60 = 0.2 / 60 // ohms of one rail from pixel to pixel, 60 a metre at 0.2 ohms a metre

func ladderCases() []ladderCase {
	named := func(s string) prop.Chip { c, _ := prop.ChipByName(s); return c }
	v5, old, rgbw, grouped := named("WS2812B V5"), named("WS2812B"), named("SK6812 RGBW"), named("WS2811 12V")
	white := func(name, about string, n *Network, c prop.Chip, level float64) ladderCase {
		return ladderCase{name, about, n, sameDraws(n.Pixels(), DrawOf(c, FullWhite(), level)), LawOf(c)}
	}
	mixed := func(name, about string, n *Network, c prop.Chip) ladderCase {
		r := rand.New(rand.NewPCG(7, 7))
		out := white(name, about, n, c, 1)
		for i := range out.draws {
			out.draws[i] = Draw{c.IdleAmps, c.ChannelAmps * r.Float64(), 2 * c.ChannelAmps * r.Float64()}
		}
		return out
	}
	rings := func() *Network { // 36 + 48 + 60, joints of leads between
		return chain(144, 5, step60, step60, tap(0, 0.032), tap(84, 0.032)).at(35, 0.024, 0.024).at(83, 0.024, 0.024)
	}
	forty := chain(1000, 5, step60, step60)
	for k := range 40 {
		forty.Taps = append(forty.Taps, tap(k*25, 0.02+0.001*float64(k)))
	}
	return []ladderCase{
		white("one-pixel", "one pixel on one feed", chain(1, 5, 0, 0, tap(0, 0.1)), old, 1),
		white("two-pixels-ring", "two pixels whose rails are joined both ways", chain(2, 5, 0.1, 0.1, tap(1, 0.1)).ring(0, 1, 0.3), old, 1),
		white("start", "60 pixels fed at the start", chain(60, 5, step60, step60, tap(0, 0.05)), old, 1),
		white("end", "60 pixels fed after the last", chain(60, 5, step60, step60, tap(59, 0.05)), old, 1),
		white("no-wire", "60 pixels, the supply right at the first", chain(60, 5, step60, step60, tap(0, 0)), old, 1),
		white("measured", "5 m at 60 a metre, all white, fed at one end from 5 V", chain(300, 5, step60, step60, tap(0, 0)), v5, 1),
		white("both-ends", "150 pixels fed at both ends", chain(150, 5, step60, step60, tap(0, 0.03), tap(149, 0.06)), old, 1),
		white("middle", "150 pixels fed in the middle", chain(150, 5, step60, step60, tap(75, 0.04)), v5, 1),
		white("thirds", "150 pixels fed at two places inside", chain(150, 5, step60, step60, tap(40, 0.04), tap(110, 0.05)), old, 1),
		white("five-feeds", "300 pixels, five feeds of unlike wire", chain(300, 5, step60, step60, tap(0, 0.02), tap(70, 0.3), tap(140, 0.05), tap(220, 0.1), tap(299, 0.02)), old, 1),
		white("same-pixel", "two feeds at one pixel and one beyond", chain(50, 5, step60, step60, tap(10, 0.1), tap(10, 0.2), tap(40, 0.1)), old, 1),
		white("plus-cut", "plus rail cut in the middle, fed at both ends", chain(100, 5, step60, step60, tap(0, 0.04), tap(99, 0.04)).cut(44, true, false), old, 1),
		white("minus-cut", "minus rail cut, fed at both ends", chain(100, 5, step60, step60, tap(0, 0.04), tap(99, 0.08)).cut(30, false, true), old, 1),
		white("plus-cut-dark", "plus rail cut, fed at the start: dark from there on", chain(80, 5, step60, step60, tap(0, 0.04)).cut(49, true, false), old, 1),
		white("dark-middle", "plus rail cut twice, fed at both ends, minus goes through", chain(90, 5, step60, step60, tap(0, 0.04), tap(89, 0.04)).cut(29, true, false).cut(59, true, false), old, 1),
		white("both-cut", "both rails cut, fed at both ends", chain(90, 5, step60, step60, tap(0, 0.04), tap(89, 0.04)).cut(50, true, true), old, 1),
		white("ring", "a ring of 60 joined end to start, one feed", chain(60, 5, step60, step60, tap(0, 0.05)).ring(0, 59, step60), old, 1),
		white("ring-inside", "the same, fed at its middle", chain(60, 5, step60, step60, tap(30, 0.05)).ring(0, 59, step60), old, 1),
		white("ring-two", "the same, two feeds", chain(60, 5, step60, step60, tap(5, 0.05), tap(40, 0.02)).ring(0, 59, step60), old, 1),
		white("ring-cut", "a ring whose plus rail is cut at one place", chain(60, 5, step60, step60, tap(0, 0.05)).ring(0, 59, step60).cut(20, true, false), old, 1),
		white("ring-minus-cut-twice", "a ring whose minus rail is cut at two places, two feeds", chain(60, 5, step60, step60, tap(3, 0.05), tap(33, 0.07)).ring(0, 59, step60).cut(20, false, true).cut(50, false, true), old, 1),
		white("three-rings", "three rings in a row, two feeds", rings(), old, 1),
		white("three-rings-closed", "three rings in a row, each joined end to start", rings().ring(0, 35, step60).ring(36, 83, step60).ring(84, 143, step60), old, 1),
		white("tail-ring-tail", "a closed ring between two straight runs", chain(120, 5, step60, step60, tap(0, 0.03), tap(119, 0.03)).ring(40, 79, 0.01), old, 1),
		white("parallel", "three runs apart, each on its own feed", chain(144, 5, step60, step60, tap(0, 0.03), tap(36, 0.04), tap(84, 0.05)).cut(35, true, true).cut(83, true, true), old, 1),
		white("parallel-rings", "three closed rings apart, each on its own feed", chain(144, 5, step60, step60, tap(0, 0.03), tap(36, 0.04), tap(100, 0.05)).cut(35, true, true).cut(83, true, true).ring(0, 35, step60).ring(36, 83, step60).ring(84, 143, step60), old, 1),
		white("bad-joint", "0.4 ohms too much in the plus rail of one joint", rings().at(83, 0.424, 0.024), old, 0.5),
		white("unlike-rails", "a minus rail four times as good as plus", chain(120, 5, step60, step60/4, tap(0, 0.03), tap(119, 0.03)), old, 1),
		white("plus-from-one-end", "plus fed at the start, minus at the end", chain(60, 5, step60, step60, Tap{0, Rails{0.05, Broken}}, Tap{59, Rails{Broken, 0.05}}), old, 1),
		mixed("mixed", "every pixel another colour, three feeds", chain(200, 5, step60, step60, tap(10, 0.04), tap(90, 0.03), tap(170, 0.05)), old),
		mixed("mixed-ring", "every pixel another colour on a closed ring", chain(200, 5, step60, step60, tap(10, 0.04), tap(120, 0.03)).ring(0, 199, step60), old),
		white("rgbw", "136 RGBW pixels, two feeds", chain(136, 5, step60, step60, tap(0, 0.027), tap(96, 0.034)), rgbw, 1),
		white("grouped-12v", "12 V strip, 100 groups of three", chain(100, 12, 0.01, 0.01, tap(0, 0.1)), grouped, 1),
		white("weak", "a very weak feed: nearly everything has sagged", chain(100, 5, 0.05, 0.05, tap(0, 3)), old, 1),
		white("forty-feeds-ring", "1,000 pixels, 40 feeds, joined end to start", forty.ring(0, 999, step60), old, 1),
	}
}
