//go:build linux

package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// groups are all rows in the table's order. The goals were set before the code
// was written.
var groups = []group{
	pace(1, 1.5), pace(16, 1.5), pace(100, 1.2), pace(500, 1.15),
	{name: "key to datagram", measure: keys, lines: []line{
		{"key in a terminal to the datagram, p50, beside the smallest Bubble Tea program", "ms", 2, atMostTimes},
		{"the same, p99", "ms", 3, atMostTimes},
		{"the same, p50, beside a bare loop", "ms", 0, none},
	}},
	{name: "key while drawing", measure: keysMoving, lines: []line{
		{"key to the datagram while 40 steps a second are sent and drawn, p50, beside the smallest program that does it", "ms", 2, atMostTimes},
		{"the same, p99", "ms", 3, atMostTimes},
	}},
	{name: "start", measure: starts, lines: []line{
		{"start to the first frame", "ms", 20, atMost},
		{"--version, beside a Go program that prints a line", "ms", 3, atMostTimes},
	}},
	{name: "memory of the bench at rest", measure: benchMemory, lines: []line{{"memory: bench at rest", "MB", 15, atMost}}},
	{name: "demo", measure: demo, lines: []line{
		{"the demo at rest", "% of a core", 0.7, atMost},
		{"the same, beside the smallest Bubble Tea program that does it", "% of a core", 1.5, atMostTimes},
		{"the demo at 40 steps a second", "% of a core", 3, atMost},
		{"the same, beside the smallest program", "% of a core", 1.5, atMostTimes},
	}},
	flatOut(), drawing(),
	{name: "binary", measure: size, lines: []line{{"the program, stripped, beside the least that links the same libraries", "MB", 11, atMost}}},
}

const period = 22_728 * time.Microsecond // 44 Hz, rounded up to a microsecond

// pace compares the sender at 44 Hz, without suppression of repeats, with a C
// program and with the least Go program.
func pace(universes int, goal float64) group {
	of := fmt.Sprintf("%d universe", universes)
	if universes > 1 {
		of += "s"
	}
	g := group{name: "pace of " + of, lines: []line{
		{"processor at 44 Hz, " + of, "% of a core", goal, atMostTimes},
		{"jitter of intervals, p50, " + of, "µs", 1.2, atMostTimes},
		{"jitter of intervals, p99, " + of, "µs", 1.2, atMostTimes},
		{"mean rate off the wanted one, " + of, "%", 0.1, within},
		{"processor again, beside the least that a Go program does, " + of, "% of a core", goal, atMostTimes},
		{"jitter again, p50, beside the same, " + of, "µs", 1.2, atMostTimes},
		{"jitter again, p99, beside the same, " + of, "µs", 1.2, atMostTimes},
	}}
	limit, has := map[int]float64{100: 20, 500: 40}[universes]
	if has {
		g.lines = append(g.lines, line{"memory: sending " + of, "MB", limit, atMost})
	}
	g.measure = func(r *rig) ([]sample, error) {
		s, err := newSink()
		if err != nil {
			return nil, err
		}
		defer s.conn.Close()
		ours, err := r.paced(s, "ringout", "send", "even", "--steady", "--to", "127.0.0.1", "--port", strconv.Itoa(s.port()),
			"--pixels", strconv.Itoa(170*universes))
		if err != nil {
			return nil, err
		}
		yard, err := r.paced(s, "pace", strconv.Itoa(s.port()), strconv.Itoa(universes))
		if err != nil {
			return nil, err
		}
		least, err := r.paced(s, "gopace", strconv.Itoa(s.port()), strconv.Itoa(universes))
		if err != nil {
			return nil, err
		}
		out := []sample{
			{[]float64{ours.share}, []float64{yard.share}},
			{ours.jitter, yard.jitter}, // row takes the median of all
			{[]float64{quantile(ours.jitter, 0.99)}, []float64{quantile(yard.jitter, 0.99)}},
			{[]float64{ours.off}, []float64{yard.off}},
			{[]float64{ours.share}, []float64{least.share}},
			{ours.jitter, least.jitter},
			{[]float64{quantile(ours.jitter, 0.99)}, []float64{quantile(least.jitter, 0.99)}},
		}
		if has {
			out = append(out, sample{ours: []float64{ours.megabytes}})
		}
		return out, nil
	}
	return g
}

// A beat is the timing and the cost of a sender.
type beat struct {
	share, megabytes float64
	jitter           []float64 // µs
	off              float64   // deviation of the mean rate, %
}

// paced measures a sender for four seconds: of fewer than two hundred intervals the
// 99th percentile is the longest.
func (r *rig) paced(s *sink, name string, args ...string) (beat, error) {
	p, err := r.start(name, args...)
	if err != nil {
		return beat{}, err
	}
	defer p.end()
	time.Sleep(700 * time.Millisecond)
	if err := s.drain(); err != nil {
		return beat{}, err
	}
	before, began := p.used(), time.Now()
	times, err := s.arrivals(4 * time.Second)
	if err != nil {
		return beat{}, err
	}
	b := beat{share: 100 * float64(p.used()-before) / float64(time.Since(began)), megabytes: p.megabytes()}
	if len(times) < 10 {
		return beat{}, fmt.Errorf("%s sent %d packets only", name, len(times))
	}
	for i := 1; i < len(times); i++ {
		d := times[i].Sub(times[i-1]) - period
		b.jitter = append(b.jitter, float64(d.Abs().Nanoseconds())/1e3)
	}
	mean := times[len(times)-1].Sub(times[0]) / time.Duration(len(times)-1)
	b.off = 100 * (float64(period)/float64(mean) - 1)
	return b, nil
}

// starts measures the time to the first frame, and the run time of --version.
func starts(r *rig) ([]sample, error) {
	first := make(chan struct{}, 1)
	size := 0
	began := time.Now()
	p, err := r.startIn(func(b []byte) {
		if size += len(b); size > 1000 { // more than the terminal's set-up
			select {
			case first <- struct{}{}:
			default:
			}
		}
	}, "ringout")
	if err != nil {
		return nil, err
	}
	defer p.end()
	select {
	case <-first:
	case <-time.After(5 * time.Second):
		return nil, errors.New("no frame was drawn")
	}
	frame := time.Since(began)
	var version, hello []float64
	for range 5 {
		for name, list := range map[string]*[]float64{"ringout": &version, "hello": &hello} {
			began := time.Now()
			if err := r.command(name, "--version").Run(); err != nil {
				return nil, err
			}
			*list = append(*list, float64(time.Since(began).Microseconds())/1e3)
		}
	}
	return []sample{{ours: []float64{float64(frame.Microseconds()) / 1e3}}, {version, hello}}, nil
}

func benchMemory(r *rig) ([]sample, error) {
	p, err := r.startIn(func([]byte) {}, "ringout")
	if err != nil {
		return nil, err
	}
	defer p.end()
	time.Sleep(time.Second)
	p.tty.WriteString("\r")
	time.Sleep(2 * time.Second)
	return []sample{{ours: []float64{p.megabytes()}}}, nil
}

// demo measures the demo's use of a core with a still pattern, and with 40 steps
// per second.
func demo(r *rig) ([]sample, error) {
	p, err := r.startIn(func([]byte) {}, "ringout", "demo")
	if err != nil {
		return nil, err
	}
	defer p.end()
	time.Sleep(time.Second)
	p.tty.WriteString("\r")
	time.Sleep(200 * time.Millisecond)
	p.tty.WriteString("8")
	time.Sleep(time.Second)
	rest := p.share(3 * time.Second)
	p.tty.WriteString("1" + strings.Repeat("+", 12))
	time.Sleep(time.Second)
	moving := p.share(3 * time.Second)
	var least [2]float64
	for i, steps := range []string{"0", "40"} {
		if least[i], err = r.smallDemo(steps); err != nil {
			return nil, err
		}
	}
	return []sample{{ours: []float64{rest}}, {[]float64{rest}, least[:1]}, {ours: []float64{moving}}, {[]float64{moving}, least[1:]}}, nil
}

// smallDemo measures the use of a core, in percent, by the demo's reference program.
func (r *rig) smallDemo(steps string) (float64, error) {
	p, err := r.startIn(func([]byte) {}, "smalldemo", steps)
	if err != nil {
		return 0, err
	}
	defer p.end()
	time.Sleep(time.Second)
	return p.share(2 * time.Second), nil
}

// flatOut is the sender at its highest rate. The figures come from the benchmark of
// its package, which alternates it with a bare loop of the same system call.
func flatOut() group {
	g := group{name: "send flat out"}
	sizes := []int{1, 16, 100, 500}
	for _, n := range sizes {
		g.lines = append(g.lines, line{fmt.Sprintf("send flat out, %d universes, beside a bare Go loop of the same call", n), "packets/s", 0.95, atLeastTimes})
	}
	g.measure = func(r *rig) ([]sample, error) {
		text, err := r.benchmark("./protocol/link", "^BenchmarkSend$", "300ms")
		if err != nil {
			return nil, err
		}
		var out []sample
		for _, n := range sizes {
			row := fmt.Sprintf("universes=%d", n)
			a, b := metric(text, row, "packets/s"), metric(text, row, "bare-packets/s")
			out = append(out, sample{[]float64{a}, []float64{b}})
		}
		return out, nil
	}
	return g
}

// drawing is the time to draw the prop when every cell changes.
func drawing() group {
	return group{name: "drawing", lines: []line{{"a drawing of 4,440 cells, all changed, beside a hand-built string", "ms", 0.2, atMost}}, measure: func(r *rig) ([]sample, error) {
		text, err := r.benchmark("./tui/canvas", "^Benchmark(EveryCellChanges|HandBuilt)$", "300ms")
		if err != nil {
			return nil, err
		}
		ours, least := metric(text, "EveryCellChanges", "ns/op")/1e6, metric(text, "HandBuilt", "ns/op")/1e6
		return []sample{{[]float64{ours}, []float64{least}}}, nil
	}}
}

// benchmark runs a Go benchmark of a package once and returns its output.
func (r *rig) benchmark(pkg, name, span string) (string, error) {
	c := exec.Command("go", "test", "-run", "^$", "-bench", name, "-benchtime", span, pkg)
	c.Dir = r.root
	out, err := c.CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%s: %w: %s", pkg, err, out)
	}
	return string(out), nil
}

// metric extracts the figure with a unit from one row of a benchmark's output.
func metric(text, row, unit string) float64 {
	for line := range strings.Lines(text) {
		if !strings.Contains(line, row+"-") && !strings.Contains(line, row+" ") && !strings.Contains(line, row+"\t") {
			continue
		}
		if m := regexp.MustCompile(`([0-9.e+]+) ` + regexp.QuoteMeta(unit) + `(\s|$)`).FindStringSubmatch(line); m != nil {
			v, _ := strconv.ParseFloat(m[1], 64)
			return v
		}
	}
	return 0
}

func size(r *rig) ([]sample, error) {
	var megabytes [2]float64
	for i, name := range []string{"ringout", "links"} {
		info, err := os.Stat(r.files[name])
		if err != nil {
			return nil, err
		}
		megabytes[i] = float64(info.Size()) / 1e6
	}
	return []sample{{megabytes[:1], megabytes[1:]}}, nil
}
