package show

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
)

// sink is an Output that signals each Put and stores nothing.
type sink struct{ got chan struct{} }

func (s sink) Put([][]byte) {
	select {
	case s.got <- struct{}{}:
	default:
	}
}
func (sink) Status() []link.Status       { return nil }
func (sink) Close(context.Context) error { return nil }

func benchShow(b testing.TB, pixels int) *Show {
	s, err := New(Config{Out: sink{make(chan struct{}, 1)}, Prop: &prop.Prop{
		Chip: prop.Chip{Order: "GRB", IdleAmps: 0.001, ChannelAmps: 0.02},
		Runs: []prop.Run{{Pixels: pixels}}, Supply: prop.Supply{Amps: 5}, Address: prop.Address{Universe: 1}}})
	if err != nil {
		b.Fatal(err)
	}
	s.guard = newGuard(pixels, time.Unix(0, 0))
	return s
}

// BenchmarkFrame times one frame from pattern to slots, without snapshots.
func BenchmarkFrame(b *testing.B) {
	for _, n := range []int{144, 10_000} {
		for _, id := range []string{"chase", "count-up", "sweep", "even"} {
			b.Run(fmt.Sprintf("%s/%d", id, n), func(b *testing.B) {
				s := benchShow(b, n)
				now := time.Unix(0, 0)
				set := patterns.Settings{Speed: 40}
				s.change(now, Want{Pattern: id, Auto: true, Level: 1, Settings: set}, true)
				b.ReportAllocs()
				for b.Loop() {
					now = now.Add(25 * time.Millisecond)
					s.draw(now)
				}
			})
		}
	}
}

// BenchmarkSetToPut times Set to Put with the show's goroutine asleep before.
func BenchmarkSetToPut(b *testing.B) {
	s := benchShow(b, 144)
	got := s.out.(sink).got
	ctx, stop := context.WithCancel(b.Context())
	done := make(chan error)
	go func() { done <- s.Run(ctx) }()
	<-got
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		s.Set(Want{Pattern: "single", Step: i % 144, Level: 0.03}) // too dim for the guard to hold
		<-got
	}
	stop()
	<-done
}

// A frame must cost no allocation, however long the strip.
func TestFrameAllocatesNothing(t *testing.T) {
	s := benchShow(t, 500)
	now := time.Unix(0, 0)
	s.change(now, Want{Pattern: "sweep", Auto: true, Level: 1, Settings: patterns.Settings{Speed: 40}, Mask: []Span{{First: 0, Last: 400}}}, true)
	s.draw(now)
	s.draw(now.Add(30 * time.Millisecond))
	n := testing.AllocsPerRun(100, func() {
		now = now.Add(25 * time.Millisecond)
		s.draw(now)
		s.deadline(now)
	})
	if n != 0 {
		t.Fatalf("%g allocations a frame", n)
	}
}

// BenchmarkStepLateness reports how late steps are at 40 a second, over five seconds.
func BenchmarkStepLateness(b *testing.B) {
	s := benchShow(b, 144)
	out := &stamps{}
	s.out = out
	ctx, stop := context.WithTimeout(b.Context(), 5*time.Second)
	defer stop()
	s.Set(Want{Pattern: "chase", Auto: true, Level: 0.2, Settings: patterns.Settings{Speed: 40}})
	if err := s.Run(ctx); err != nil {
		b.Fatal(err)
	}
	var late []time.Duration
	for _, at := range out.at {
		late = append(late, at.Sub(out.at[0])%(25*time.Millisecond))
	}
	slices.Sort(late)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(len(out.at))/5, "steps/s")
	b.ReportMetric(float64(late[len(late)/2].Microseconds()), "p50-µs")
	b.ReportMetric(float64(late[len(late)*99/100].Microseconds()), "p99-µs")
}

type stamps struct {
	sink
	at []time.Time
}

func (s *stamps) Put([][]byte) { s.at = append(s.at, time.Now()) }
