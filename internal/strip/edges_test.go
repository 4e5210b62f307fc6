package strip

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
)

// The universes that a controller listens to, counted by hand: 170 whole pixels
// of three slots a universe, 63999 the last that E1.31 has (6.2.7).
func TestUniversesListenedTo(t *testing.T) {
	at := func(u protocol.Universe, pixels int) *prop.Prop {
		p := bench("GRB", pixels)
		p.Address.Universe = uint16(u)
		return p
	}
	for _, row := range []struct {
		p      *prop.Prop
		faults []Fault
		want   []protocol.Universe
	}{
		{at(1, 1), nil, []protocol.Universe{1}}, {at(7, 170), nil, []protocol.Universe{7}}, {at(7, 171), nil, []protocol.Universe{7, 8}}, {at(7, 341), nil, []protocol.Universe{7, 8, 9}},
		{at(7, 10), []Fault{{Kind: WrongAddress, N: 1}}, []protocol.Universe{7, 8}}, {at(7, 10), []Fault{{Kind: WrongAddress, N: -1}}, []protocol.Universe{7}},
		{at(7, 170), []Fault{{Kind: SlotShift, N: 3}}, []protocol.Universe{7, 8}}, {at(63998, 171), nil, []protocol.Universe{63998, 63999}},
		{at(63999, 170), []Fault{{Kind: SlotShift, N: 3}}, []protocol.Universe{63999}}, {at(63998, 171), []Fault{{Kind: SlotShift, N: 511}}, []protocol.Universe{63998, 63999}},
		{at(7, 171), []Fault{{Kind: NoSupply}}, []protocol.Universe{7, 8}},
	} {
		assert.Equal(t, row.want, mustStrip(t, row.p, row.faults...).Universes(), "%v of %d pixels from universe %d on", row.faults, row.p.Pixels(), row.p.Address.Universe)
	}
}

// A fault that changes no light leaves no trace in the fingerprint, wherever it
// parts the row of chips: a colour dead in a pixel of a run that lacks it, and
// another order from a pixel of the last run on whose chips have the planned
// one all the same.
func TestCutsLeaveNoTrace(t *testing.T) {
	five := bench("RGBWC", 2, 9)
	turned := bench("GRB", 4, 6)
	turned.Runs[1].Reverse = true
	compared := 0
	for _, p := range append(manyProps(), five, turned, bench("GRBW", 3, 12), bench("GRB", 150, 25)) {
		last := len(p.Runs) - 1
		swapped := prop.Order(string([]byte{p.Chip.Order[1], p.Chip.Order[0]}) + string(p.Chip.Order[2:]))
		for _, more := range [][]Fault{nil, {{Kind: RunMirrored, Run: last}}, {{Kind: Mirrored}}, {{Kind: Grouped, N: 2}}, {{Kind: Grouped, N: 3}, {Kind: RunMirrored, Run: last}}, {{Kind: SlotShift, N: 1}},
			{{Kind: SlotShift, N: 2}, {Kind: Mirrored}}, {{Kind: WrongChip, Pixel: p.FirstPixel(last) + 2, N: 3}}, {{Kind: WrongChip, Pixel: p.FirstPixel(last) + 3, N: 4}, {Kind: RunMirrored, Run: last}}, {{Kind: HiddenFirst}}, {{Kind: WrongAddress, N: 1}}, {{Kind: WrongPacking}}} {
			alike := func(base, parting []Fault) {
				s, err := New(p, append(slices.Clone(more), base...)...)
				if err != nil {
					return
				}
				o, err := New(p, append(slices.Clone(more), append(base, parting...)...)...)
				if err != nil {
					return
				}
				d := s.Lay(noise(p.Pixels(), 1))
				require.Equal(t, look3(s.ShineInto(nil, d)), look3(o.ShineInto(nil, d)), "%v is to change nothing", o.Faults())
				require.Equal(t, s.Fingerprint(), o.Fingerprint(), "%v", o.Faults())
				compared++
			}
			for at := p.FirstPixel(last); at < p.Pixels(); at++ {
				for _, ch := range p.Chip.Order.Channels() {
					alike([]Fault{{Kind: RunChannel, Run: last, Channel: ch}}, []Fault{{Kind: DeadChannel, Pixel: at, Channel: ch}})
				}
				if more == nil || more[0].Kind != WrongChip {
					alike([]Fault{{Kind: RunOrder, Run: last, Order: p.Chip.Order}, {Kind: RunMirrored, Run: 0}}, []Fault{{Kind: WrongOrder, Pixel: at, Order: swapped}})
					alike(nil, []Fault{{Kind: RunOrder, Run: last, Order: p.Chip.Order}, {Kind: WrongOrder, Pixel: at, Order: swapped}})
				}
			}
		}
	}
	require.Greater(t, compared, 3000)
}

// Two faults go together but where they say two things of one: a pixel that is
// dead in two ways, a run that is soldered in by one end and fed from it, one
// kind given twice for one place, an order that the other's chips cannot have.
func TestFaultsThatGoTogether(t *testing.T) {
	p := bench("GRB", 100, 71, 30)
	sample := func(k Kind, pixel, run int) Fault {
		f := Fault{Kind: k}
		if k.reads(fieldPixel) {
			f.Pixel = pixel
		}
		if k.reads(fieldRun) {
			f.Run = run
		}
		if k.reads(fieldRun2) {
			f.Run2 = (run + 1) % 3
		}
		if k.reads(fieldChannel) {
			f.Channel = patterns.Green
		}
		switch k {
		case WrongOrder, RunOrder:
			f.Order = "RGB"
		case WrongChip, RunChip:
			f.N = 4
		case UniversesSwapped:
			f.N, f.N2 = 1, 2
		default:
			if k.reads(fieldN) {
				f.N = 2
			}
		}
		return f
	}
	dead := map[Kind]bool{DeadStop: true, DeadPixel: true, DeadChannel: true, StuckOn: true, StuckChannel: true}
	chips := func(f Fault, run, pixel int) bool { // whether f gives the chip there four slots
		return f.Kind == RunChip && f.Run == run || f.Kind == WrongChip && f.Pixel <= pixel
	}
	fits := func(a, b Fault) bool { // whether the order of a fits what b makes of the chips
		switch a.Kind {
		case RunOrder:
			return !chips(b, a.Run, p.FirstPixel(a.Run))
		case WrongOrder:
			run, _ := p.Find(a.Pixel)
			return !chips(b, run, a.Pixel)
		}
		return true
	}
	for _, k := range Kinds() {
		for _, l := range Kinds() {
			for _, at := range []int{120, 121} {
				for run := range 2 {
					a, b := sample(k, 120, 1), sample(l, at, run)
					ok := fits(a, b) && fits(b, a)
					switch placed := k.reads(fieldPixel); {
					case k == l && k.reads(fieldRun2):
						ok = run != 1
					case k == l && placed:
						ok = at != 120
					case k == l && k.reads(fieldRun):
						ok = ok && run != 1
					case k == l:
						ok = false
					case dead[k] && dead[l] && at == 120:
						ok = false
					case (k == RunBackwards && l == RunMirrored || k == RunMirrored && l == RunBackwards) && run == 1:
						ok = false
					}
					_, err := New(p, a, b)
					assert.Equal(t, ok, err == nil, "%v and %v: %v", a, b, err)
				}
			}
		}
	}
	for _, row := range []struct {
		left, at int // pixels that are left of 71, and one of them
		ok       bool
	}{{5, 105, false}, {5, 104, true}, {1, 100, true}, {1, 101, false}, {5, 99, true}, {5, 171, true}} {
		_, err := New(p, Fault{Kind: Count, Run: 1, N: row.left - 71}, Fault{Kind: DeadPixel, Pixel: row.at})
		assert.Equal(t, row.ok, err == nil, "%+v: %v", row, err)
		if err != nil {
			assert.ErrorContains(t, err, fmt.Sprintf("has only %d pixels then", row.left))
		}
	}
	for want, f := range map[string]Fault{
		"open-joint at pixel 0: the prop has pixels 1 to 201": {Kind: OpenJoint, Pixel: -1}, "dead-stop at pixel 202: the prop has pixels 1 to 201": {Kind: DeadStop, Pixel: 201},
		"count of run 0: the prop has runs 1 to 3": {Kind: Count, Run: -1, N: 1}, "run-mirrored of run 4: the prop has runs 1 to 3": {Kind: RunMirrored, Run: 3},
		"runs-swapped of run 0: the prop has runs 1 to 3": {Kind: RunsSwapped, Run2: -1}, "runs-parallel of run 4: the prop has runs 1 to 3": {Kind: RunsParallel, Run2: 3},
	} {
		_, err := New(p, f)
		assert.ErrorContains(t, err, want)
	}
	_, err := New(p, Fault{Kind: DeadChannel, Pixel: 3, Channel: patterns.Red}, Fault{Kind: DeadChannel, Pixel: 3, Channel: patterns.Blue})
	assert.NoError(t, err, "two colours of one pixel")
	_, err = New(p, Fault{Kind: RunOrder, Run: 1, Order: "GRB"}, Fault{Kind: WrongOrder, Order: "RGB"})
	assert.NoError(t, err, "one run as planned")
	_, err = New(p, Fault{Kind: WrongOrder, Order: "GRB"})
	assert.Error(t, err)
	_, err = New(p, Fault{Kind: RunChip, Run: 0, N: 4}, Fault{Kind: WrongOrder, Pixel: 0, Order: "GRBW"})
	assert.NoError(t, err)
	_, err = New(p, Fault{Kind: WrongChip, Pixel: 120, N: 4}, Fault{Kind: WrongOrder, Pixel: 119, Order: "GRBW"})
	assert.Error(t, err, "the chips there have three slots")
}

// What a falling voltage leaves obeys Ohm's and Kirchhoff's laws: each step of
// the rails, there and back, drops what flows past it times its ohms.
func TestSagInTheNetwork(t *testing.T) {
	for _, milli := range []int{300, 700, 1500, 4000} {
		for _, level := range []uint8{30, 90, 255} {
			s := mustStrip(t, bench("GRB", 40, 60), Fault{Kind: Sag, N: milli})
			frame := all(100, patterns.Colour{R: level, G: level, B: level})
			volts, err := s.Volts(frame)
			require.NoError(t, err)
			require.InDelta(t, 5, volts[0], 1e-5)
			draw, beyond := s.sag.draw(frame[0], 1), 0.0
			for i := 99; i > 0; i-- {
				amps, _ := s.sag.law.Amps(draw, volts[i])
				beyond += amps
				require.InDelta(t, beyond*float64(milli)/1000/60, volts[i-1]-volts[i], 1e-5, "before pixel %d", i+1)
			}
		}
	}
}

// What is said in large letters: numbers and runs counted from 1.
func TestLargeWords(t *testing.T) {
	p := bench("GRB", 5, 7)
	p.Runs[1].Name = "tail"
	for _, row := range []struct {
		f    Fault
		want string
	}{
		{Fault{Kind: Count, N: -1}, "a: 4, not 5"}, {Fault{Kind: Count, Run: 1, N: 2}, "tail: 9, not 7"}, {Fault{Kind: Count, Run: 2}, "Count is off"}, {Fault{Kind: Count, Run: -1}, "Count is off"},
		{Fault{Kind: OpenJoint, Pixel: 5}, "Dark from 6"}, {Fault{Kind: RailLost}, "Dark from 1"}, {Fault{Kind: WrongOrder, Pixel: 2, Order: "RGB"}, "Order RGB from 3"}, {Fault{Kind: Resistance, Run: 1, N: 1500}, "Joint 2: 1.5 ohm too much"}, {Fault{Kind: RunOrder, Run: 1, Order: "RGB"}, "tail has RGB, not GRB"}, {Fault{Kind: RunChip, Run: 1, N: 4}, "tail has 4 slots, not 3"},
		{Fault{Kind: WrongAddress, N: 2}, "Universe 3, not 1"}, {Fault{Kind: SlotShift, N: 3}, "Starts at slot 4, not 1"}, {Fault{Kind: UniversesSwapped, N: 1, N2: 2}, "Universes 1 and 2 swapped"},
		{Fault{Kind: Grouped, N: 3}, "3 lights act as one"}, {Fault{Kind: RunsSwapped, Run2: 1}, "Runs 1 and 2 swapped"}, {Fault{Kind: RunMirrored, Run: 1}, "tail: data at wrong end"}, {Fault{Kind: RunChannel, Channel: patterns.Blue}, "a lacks blue"},
		{Fault{Kind: DeadPixel, Pixel: 11}, "Pixel 12 dark"}, {Fault{Kind: DeadChannel, Pixel: 3, Channel: patterns.Green}, "Pixel 4 lacks green"}, {Fault{Kind: "no such kind"}, "Fault found"},
	} {
		assert.Equal(t, row.want, row.f.Large(p)[0], "%v", row.f)
	}
	assert.Equal(t, "Run 2: wrong end", Fault{Kind: RunMirrored, Run: 1}.Large(p)[1])
	assert.Equal(t, "12 dark", Fault{Kind: DeadPixel, Pixel: 11}.Large(p)[1])
	assert.Equal(t, []string{"Order RGB from 3", "RGB from 3"}, Fault{Kind: WrongOrder, Pixel: 2, Order: "RGB"}.Large(p))
	assert.Equal(t, []string{"RGB, not GRB"}, Fault{Kind: WrongOrder, Order: "RGB"}.Large(p))
	assert.Equal(t, []string{"Runs 1 and 2 in parallel", "Runs in parallel"}, Fault{Kind: RunsParallel, Run2: 1}.Large(p))
	assert.Equal(t, []string{"tail: 9, not 7", "9, not 7"}, Fault{Kind: Count, Run: 1, N: 2}.Large(p))
	assert.Equal(t, []string{"9 or more, not 7", "9 or more"}, Fault{Kind: Count, Run: 1, N: 2, OrMore: true}.Large(p))
	p.Runs = p.Runs[1:]
	assert.Equal(t, []string{"9 pixels, not 7", "9, not 7"}, Fault{Kind: Count, N: 2}.Large(p), "a prop of one run needs no name")
}

// A fault is written so that it reads back as it is, a strength that is left out
// for none given alone.
func TestStrengthsAreWritten(t *testing.T) {
	for n, want := range map[int]string{0: "sag", 1: "sag by 1", 2: "sag by 2", 1500: "sag by 1500"} {
		f := Fault{Kind: Sag, N: n}
		assert.Equal(t, want, f.String())
		back, err := ParseFault(want, bench("GRB", 9))
		require.NoError(t, err)
		assert.Equal(t, f, back)
	}
}

// Values that are drawn by lot for demonstrations lie within what is likely for
// their kind, and all of them come up.
func TestValuesDrawnByLot(t *testing.T) {
	p := bench("GRB", 20, 30, 200)
	p.Address.Universe, p.Address.Slot = 9, 30
	met := map[Kind]map[int]bool{}
	firsts, others := 0, 0
	for seed := range uint64(6000) {
		f := Random(p, seed)
		if met[f.Kind] == nil {
			met[f.Kind] = map[int]bool{}
		}
		met[f.Kind][f.N] = true
		if f.Kind == WrongChip {
			if _, at := p.Find(f.Pixel); at == 0 {
				firsts++
			} else {
				others++
			}
		}
		if f.Kind == UniversesSwapped {
			require.Less(t, f.N, f.N2)
		}
	}
	values := func(ns ...int) map[int]bool {
		out := map[int]bool{}
		for _, n := range ns {
			out[n] = true
		}
		return out
	}
	for k, want := range map[Kind]map[int]bool{WrongAddress: values(-2, -1, 1, 2), SlotShift: values(-2, -1, 1, 2), Count: values(-3, -2, -1, 1, 2, 3), Grouped: values(2, 3), WrongChip: values(4), RunChip: values(4), NoSupply: values(0)} {
		assert.Equal(t, want, met[k], k)
	}
	assert.InDelta(t, 0.5, float64(firsts)/float64(firsts+others), 0.15, "whole reels are wrong more often than pieces")
}
