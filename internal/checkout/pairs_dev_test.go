package checkout

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"

	"example.org/ringout/internal/strip"
)

// playTo answers perfectly until the session is done.
func playTo(s *Session, st *strip.Strip) {
	for {
		pr, ok := s.Next()
		if !ok {
			return
		}
		var b builder
		b.watch(st, slotsOf(s.field, &pr))
		k := b.answer(&pr.Spec, s.field.sizes, pr.Answers)
		if os.Getenv("VERB") != "" {
			fmt.Printf("   %s %v -> %d of %v\n", pr.Spec.Kind, short(pr.Spec.Paint), k, pr.Answers)
			if su := s.Standing(); len(su) > 0 {
				fmt.Printf("      before: %.3f %v\n", su[0].Share, su[0].Causes[0])
			}
		}
		s.Answer(k)
	}
}

func short(p Paint) string {
	if len(p) > 8 {
		return fmt.Sprint(p[:8], "...")
	}
	return fmt.Sprint(p)
}

func TestPairsDev(t *testing.T) {
	if os.Getenv("PROP") == "" {
		t.Skip("set PROP")
	}
	p := propByEnv()
	base, _ := New(p, Options{})
	f := base.field
	d := f.sound.Lay(noise(f.pixels))
	N, _ := strconv.Atoi(os.Getenv("N"))
	from, _ := strconv.Atoi(os.Getenv("FROM"))
	n, ok, sum := 0, 0, 0
	pr := func(fs ...strip.Fault) uint64 {
		st, err := strip.New(p, fs...)
		if err != nil {
			return 1
		}
		x, _ := print64(st, d, nil)
		return x
	}
	for seed := from; n < N; seed++ {
		a, b := strip.Random(p, uint64(2*seed+1)), strip.Random(p, uint64(2*seed))
		st, err := strip.New(p, a, b)
		if err != nil || a.Kind == b.Kind {
			continue
		}
		n++
		s := base.Clone()
		playTo(s, st)
		sum += s.Answered()
		got := s.Findings()[0]
		left := []strip.Fault{a, b}
		hit := func(left []strip.Fault, got Finding) []strip.Fault {
			for _, c := range got.Causes {
				// a cause that names what is there, or what looks just so alone
				rest := slices.DeleteFunc(slices.Clone(left), func(x strip.Fault) bool {
					for _, y := range c.Faults {
						if x == y || pr(x) == pr(y) {
							return true
						}
					}
					return false
				})
				if len(rest) < len(left) {
					return rest
				}
			}
			if !got.Good && len(got.Causes[0].Faults) > 0 && pr(got.Causes[0].Faults...) == pr(left...) {
				return nil // looks just like both
			}
			return left
		}
		rest := hit(left, got)
		if len(rest) == 2 {
			fmt.Printf("seed %d %v + %v -> %.3f %v after %d (%s)\n", seed, a, b, got.Share, got.Title, s.Answered(), s.Stopped())
			continue
		}
		if len(rest) == 1 {
			st, err := strip.New(p, rest...)
			if err != nil {
				t.Fatal(err)
			}
			s := base.Clone()
			playTo(s, st)
			got := s.Findings()[0]
			if rest = hit(rest, got); len(rest) > 0 {
				fmt.Printf("seed %d second %v -> %v\n", seed, rest, got.Title)
				continue
			}
		}
		ok++
	}
	fmt.Printf("pairs %d both found %d (%.3f) mean first round %.2f\n", n, ok, float64(ok)/float64(n), float64(sum)/float64(n))
}
