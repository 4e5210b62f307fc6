package checkout

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"example.org/ringout/internal/strip"
)

func TestNoiseDev(t *testing.T) {
	if os.Getenv("PROP") == "" {
		t.Skip("set PROP")
	}
	p := propByEnv()
	base, _ := New(p, Options{})
	f := base.field
	d := f.sound.Lay(noise(f.pixels))
	n, right, certain, wrongCertain, sum := 0, 0, 0, 0, 0
	N, _ := strconv.Atoi(os.Getenv("N"))
	rate, _ := strconv.ParseFloat(os.Getenv("RATE"), 64)
	for seed := range uint64(N) {
		rng := rand.New(rand.NewPCG(seed, 7))
		ft := strip.Random(p, seed)
		st, err := strip.New(p, ft)
		if err != nil {
			t.Fatal(err)
		}
		s := base.Clone()
		errs := 0
		for {
			pr, ok := s.Next()
			if !ok {
				break
			}
			var b builder
			b.watch(st, slotsOf(f, &pr))
			k := b.answer(&pr.Spec, f.sizes, pr.Answers)
			if rng.Float64() < rate {
				errs++
				o := 1 + rng.IntN(len(pr.Answers)-1)
				if o >= k {
					o++
				}
				k = o
			}
			s.Answer(k)
		}
		n++
		sum += s.Answered()
		w := s.belief.weights()
		top, _ := s.belief.best(w)
		a, _ := print64(st, d, nil)
		b, _ := print64(s.belief.hyps[top].strip, d, nil)
		if w[top] >= certainShare {
			certain++
		}
		if a == b {
			right++
		} else {
			fmt.Printf("seed %d %v -> %v %.5f after %d with %d wrong\n", seed, ft, s.belief.hyps[top].faults, w[top], s.Answered(), errs)
			if w[top] >= certainShare {
				wrongCertain++
			}
		}
	}
	fmt.Printf("runs %d right %d (%.3f) certain %d wrongcertain %d mean %.2f\n", n, right, float64(right)/float64(n), certain, wrongCertain, float64(sum)/float64(n))
}
