//go:build unix

package checkout

import (
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// BenchmarkWholeRuns plays whole check-outs of 1,000 pixels, one run and four,
// with single faults, pairs, and faults outside the list, and gives the
// processor time that the next probe takes, the collector's included: half of
// all steps, 95 % of them, and the slowest.
func BenchmarkWholeRuns(b *testing.B) {
	var took []time.Duration
	for b.Loop() {
		took = took[:0]
		for _, p := range []*prop.Prop{single("long line", 1000), ringProp("four rings", 250, 250, 250, 250)} {
			for seed := range uint64(20) {
				took = append(took, stepTimes(b, p, seed)...)
			}
		}
	}
	slices.Sort(took)
	at := func(part float64) float64 { return took[int(part*float64(len(took)-1))].Seconds() * 1000 }
	b.ReportMetric(float64(len(took)), "steps")
	b.ReportMetric(at(0.5), "ms/half")
	b.ReportMetric(at(0.95), "ms/95%")
	b.ReportMetric(at(1), "ms/slowest")
}

// stepTimes plays one check-out: of four, two have one fault, one two, and one
// is outside the list.
func stepTimes(b *testing.B, p *prop.Prop, seed uint64) []time.Duration {
	b.Helper()
	faults := []strip.Fault{strip.Random(p, 100+seed)}
	var opts Options
	switch seed % 4 {
	case 2:
		if more := append(faults, strip.Random(p, 200+seed)); more[1].Kind != faults[0].Kind {
			if _, err := strip.New(p, more...); err == nil {
				faults = more
			}
		}
	case 3:
		opts.Without = []strip.Kind{faults[0].Kind}
	}
	st, err := strip.New(p, faults...)
	require.NoError(b, err)
	s, err := New(p, opts)
	require.NoError(b, err)
	var eyes builder
	var out []time.Duration
	pr, ok := s.Next()
	for ok {
		k := key(s.field, &pr, st, &eyes)
		from := processorTime(b)
		require.NoError(b, s.Answer(k))
		pr, ok = s.Next()
		out = append(out, processorTime(b)-from)
	}
	return out
}

// processorTime is what this process has used so far.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
