package checkout

import (
	"fmt"
	"os"
	"testing"
)

func TestGoodDev(t *testing.T) {
	if os.Getenv("PROP") == "" {
		t.Skip("set PROP")
	}
	p := propByEnv()
	s, _ := New(p, Options{})
	st := s.field.sound
	for {
		pr, ok := s.Next()
		if !ok {
			break
		}
		var b builder
		b.watch(st, slotsOf(s.field, &pr))
		k := b.answer(&pr.Spec, s.field.sizes, pr.Answers)
		fmt.Printf("%d %s %.4f | %s | ", pr.ID, pr.Spec.Kind, pr.Level, pr.Question)
		for _, a := range pr.Answers {
			fmt.Printf("%d %s; ", a.Key, a.Text)
		}
		fmt.Println("->", k, pr.Why)
		s.Answer(k)
		fmt.Println("   ", s.Standing()[0].Share)
	}
	fmt.Println(s.Stopped())
	for _, f := range s.Findings() {
		fmt.Printf("%+v\n", f)
	}
}
