package checkout

import (
	"fmt"
	"os"
	"testing"
	"time"

	"example.org/ringout/internal/strip"
)

func TestTimeDev(t *testing.T) {
	if os.Getenv("PROP") == "" {
		t.Skip("set PROP")
	}
	p := propByEnv()
	t0 := time.Now()
	base, _ := New(p, Options{})
	fmt.Println("new", time.Since(t0), len(base.field.hyps), "globals", len(base.field.globals))
	for _, ft := range []strip.Fault{{}, {Kind: strip.DeadPixel, Pixel: 77}, {Kind: strip.OpenJoint, Pixel: 50}, {Kind: strip.WrongOrder, Order: "RGB", Pixel: 40}, {Kind: strip.Flicker, Pixel: 30}, {Kind: strip.Count, N: 3, Run: 1}} {
		var fs []strip.Fault
		if ft.Kind != "" {
			fs = append(fs, ft)
		}
		st, err := strip.New(p, fs...)
		if err != nil {
			continue
		}
		s := base.Clone()
		fmt.Println(ft)
		for {
			t0 := time.Now()
			s.reconsider()
			t1 := time.Since(t0)
			t0 = time.Now()
			pr, ok := s.Next()
			t2 := time.Since(t0)
			if !ok {
				fmt.Println("  end rec", t1, "next", t2, "hyps", len(s.belief.hyps), s.Findings()[0].Title)
				break
			}
			var b builder
			b.watch(st, slotsOf(s.field, &pr))
			k := b.answer(&pr.Spec, s.field.sizes, pr.Answers)
			t0 = time.Now()
			s.Answer(k)
			fmt.Println("  rec", t1, "next", t2, "answer", time.Since(t0), "hyps", len(s.belief.hyps), pr.Spec.Kind)
		}
	}
}
