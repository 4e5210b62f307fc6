package checkout

import (
	"fmt"
	"math"
	"os"
	"testing"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A walk plays all check-outs of one prop at once, each with its own fault and
// perfect answers: faults that gave the same answers so far share a session.
type walk struct {
	f    *field
	seen map[strip.Kind]*tally
	bad  []string
	far  int
}

type tally struct{ n, sum, worst, exact, stop int }

// play goes on from a session for these true hypotheses.
func (w *walk) play(s *Session, truth []int) {
	p, ok := s.Next()
	if !ok {
		w.end(s, truth)
		return
	}
	by := map[int][]int{}
	var b builder
	slots := slotsOf(w.f, &p)
	for _, h := range truth {
		b.watch(w.f.hyps[h].strip, slots)
		k := b.answer(&p.Spec, w.f.sizes, p.Answers)
		by[k] = append(by[k], h)
	}
	for k := 0; k <= len(p.Answers); k++ {
		if hs := by[k]; len(hs) > 0 {
			c := s.Clone()
			if err := c.Answer(k); err != nil {
				panic(err)
			}
			w.play(c, hs)
		}
	}
}

// slotsOf are the slots the show sends for a probe.
func slotsOf(f *field, p *Probe) [][]byte {
	frame := p.Show(nil, f.pixels, 0)
	for i, c := range frame {
		for ch := range patterns.Channel(patterns.NumChannels) {
			frame[i] = frame[i].With(ch, uint8(math.Round(float64(c.Get(ch))*p.Level)))
		}
	}
	return f.sound.Lay(frame).Slots()
}

// end notes how a check-out of these faults came out.
func (w *walk) end(s *Session, truth []int) {
	ws := s.belief.weights()
	top := 0
	for i := range ws {
		if ws[i] > ws[top] {
			top = i
		}
	}
	for _, h := range truth {
		k := strip.Kind("good")
		if len(w.f.hyps[h].faults) > 0 {
			k = w.f.hyps[h].faults[0].Kind
		}
		t := w.seen[k]
		if t == nil {
			t = &tally{}
			w.seen[k] = t
		}
		t.n++
		t.sum += s.Answered()
		t.worst = max(t.worst, s.Answered())
		if w.f.hyps[h].twin == s.belief.hyps[top].group {
			t.exact++
		} else if len(w.bad) < 40 {
			w.bad = append(w.bad, fmt.Sprintf("%v: ended with %v at %.3f (true %.4f) after %d: %s", w.f.hyps[h].faults, s.belief.hyps[top].faults, ws[top], ws[w.f.hyps[h].twin], s.Answered(), s.Stopped()))
		}
	}
}

func rings42() *prop.Prop {
	p := prop.Porthole()
	p.Name = "four rings"
	p.Runs = nil
	for i, n := range []int{42, 52, 61, 71} {
		p.Runs = append(p.Runs, prop.Run{Name: fmt.Sprintf("ring %d", i+1), Pixels: n, Shape: prop.Shape{Kind: prop.Ring}})
	}
	p.Feeds = nil
	return p
}

func single(name string, n int) *prop.Prop {
	p := prop.Porthole()
	p.Name, p.Feeds = name, nil
	p.Runs = []prop.Run{{Name: name, Pixels: n, Shape: prop.Shape{Kind: prop.Line}}}
	return p
}

func propByEnv() *prop.Prop {
	props := map[string]*prop.Prop{"porthole": prop.Porthole(), "pennant": prop.Pennant(), "rings": rings42(), "line": single("line", 680), "star": single("star", 120), "buoy": prop.BuoyLamp()}
	p := props[os.Getenv("PROP")]
	if p == nil {
		p = prop.Porthole()
	}
	return p
}

func TestWalkDev(t *testing.T) {
	if os.Getenv("PROP") == "" {
		t.Skip("set PROP")
	}
	p := propByEnv()
	s, err := New(p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	w := &walk{f: s.field, seen: map[strip.Kind]*tally{}}
	var truth []int
	for i := range s.field.hyps {
		if !s.field.hyps[i].behind {
			truth = append(truth, i)
		}
	}
	w.play(s, truth)
	bound := math.Log(float64(s.field.classes)) / math.Log(6)
	fmt.Printf("%s hyps %d classes %d bound %.2f goal %.2f\n", p.Name, len(s.field.hyps), s.field.classes, bound, 1.3*bound+1)
	tot := tally{}
	for _, k := range append(strip.Kinds(), "good") {
		if x := w.seen[k]; x != nil {
			fmt.Printf("%-14s n %5d mean %5.2f worst %2d exact %d\n", k, x.n, float64(x.sum)/float64(x.n), x.worst, x.exact)
			tot.n += x.n
			tot.sum += x.sum
		}
	}
	fmt.Printf("all mean %.2f\n", float64(tot.sum)/float64(tot.n))
	for _, b := range w.bad {
		fmt.Println(b)
	}
}
