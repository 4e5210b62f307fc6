//go:build linux

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// groups are all lines, in the table's order. The goals stood before the code.
var groups = []group{
	pace(1, 1.5), pace(16, 1.5), pace(100, 1.2), pace(500, 1.15),
	{name: "key to datagram", measure: keys, lines: []line{
		{"key in a terminal to the datagram, p50, beside the smallest Bubble Tea program", "ms", 2, atMostTimes},
		{"the same, p99", "ms", 3, atMostTimes},
		{"the same, p50, beside a bare loop", "ms", 0, none},
	}},
	{name: "start", measure: starts, lines: []line{
		{"start to the first frame", "ms", 20, atMost},
		{"--version, beside a Go program that prints a line", "ms", 3, atMostTimes},
	}},
	{name: "memory of the bench at rest", measure: benchMemory, lines: []line{{"memory: bench at rest", "MB", 15, atMost}}},
	{name: "demo", measure: demo, lines: []line{
		{"the demo at rest, beside the smallest Bubble Tea program that does it", "% of a core", 0.7, atMost},
		{"the demo at 40 steps a second, beside the same", "% of a core", 3, atMost},
	}},
	flatOut(), drawing(),
	{name: "binary", measure: size, lines: []line{{"the program, stripped, beside the least that links the same libraries", "MB", 11, atMost}}},
}

const period = 22_728 * time.Microsecond // 44 Hz, rounded up to a microsecond

// pace is the sender at 44 Hz with every packet repeated, beside C.
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
			{ours.jitter, yard.jitter}, // the median of all
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

// A beat is how a sender kept its time.
type beat struct {
	share, megabytes float64
	jitter           []float64 // µs
	off              float64   // of the mean rate, %
}

// paced watches a sender for a slice.
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
	times, err := s.arrivals(2 * time.Second)
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

// keys is the way from a key to the datagram.
func keys(r *rig) ([]sample, error) {
	file := filepath.Join(r.dir, "quay.toml")
	s, err := newSink()
	if err != nil {
		return nil, err
	}
	defer s.conn.Close()
	os.Remove(file)
	if err := r.command("ringout", "new", "quay", "--defaults").Run(); err != nil {
		return nil, err
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	text = bytes.Replace(text, []byte(`"127.0.0.1"`), fmt.Appendf(nil, "\"127.0.0.1\"\nport = %d", s.port()), 1)
	if err := os.WriteFile(file, text, 0o644); err != nil {
		return nil, err
	}
	ours, err := r.keyed(s, []string{"\r", "3"}, "ringout", file)
	if err != nil {
		return nil, err
	}
	at := "127.0.0.1:" + strconv.Itoa(s.port())
	small, err := r.keyed(s, nil, "smallest", at)
	if err != nil {
		return nil, err
	}
	bare, err := r.keyed(s, nil, "keyloop", at)
	if err != nil {
		return nil, err
	}
	return []sample{{ours, small}, {[]float64{quantile(ours, 0.99)}, []float64{quantile(small, 0.99)}}, {ours, bare}}, nil
}

// keyed presses keys 60 ms apart and times the next datagram; before that it
// presses first what brings the program there.
func (r *rig) keyed(s *sink, first []string, name string, args ...string) ([]float64, error) {
	drawn := make(chan struct{}, 1)
	p, err := r.startIn(func(b []byte) {
		select {
		case drawn <- struct{}{}:
		default:
		}
	}, name, args...)
	if err != nil {
		return nil, err
	}
	defer p.end()
	<-drawn
	time.Sleep(500 * time.Millisecond)
	for _, k := range first {
		p.tty.WriteString(k)
		time.Sleep(300 * time.Millisecond)
	}
	time.Sleep(700 * time.Millisecond) // all repeats of the last change are out
	var took []float64
	var last []byte
	b := make([]byte, 1500)
	if len(first) > 0 { // a busy machine may take longer to get there
		if err := changed(s, b, nil); err != nil {
			return nil, fmt.Errorf("%s: nothing is sent: %w", name, err)
		}
	}
	for i := range 30 {
		if last, err = quiet(s, b, last); err != nil {
			return nil, err
		}
		began := time.Now()
		p.tty.WriteString([]string{"\x1b[C", "\x1b[D"}[i%2])
		if err := changed(s, b, last); err != nil {
			return nil, fmt.Errorf("%s: no datagram after a key: %w", name, err)
		}
		took = append(took, float64(time.Since(began).Microseconds())/1e3)
	}
	return took, nil
}

// changed waits for a packet with other slots than the last one's; a repeat of
// that, which keeps a stream alive, is not it.
func changed(s *sink, b, last []byte) error {
	if err := s.conn.SetReadDeadline(time.Now().Add(5 * time.Second)); err != nil {
		return err
	}
	for {
		n, err := s.conn.Read(b)
		if err != nil || !bytes.Equal(b[126:n], last) {
			return err
		}
	}
}

// quiet waits until nothing has come for 60 ms, so that all repeats of one
// change are out, and gives the slots of the last packet.
func quiet(s *sink, b, last []byte) ([]byte, error) {
	for {
		if err := s.conn.SetReadDeadline(time.Now().Add(60 * time.Millisecond)); err != nil {
			return nil, err
		}
		n, err := s.conn.Read(b)
		if errors.Is(err, os.ErrDeadlineExceeded) {
			return last, nil
		}
		if err != nil {
			return nil, err
		}
		last = append(last[:0], b[126:n]...)
	}
}

// starts is the time to the first frame, and that of the shortest command.
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

// demo is the demo's share of a core with a still pattern, and with one that
// changes 40 times a second.
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
	for i, steps := range []string{"1", "40"} {
		if least[i], err = r.smallDemo(steps); err != nil {
			return nil, err
		}
	}
	return []sample{{[]float64{rest}, least[:1]}, {[]float64{moving}, least[1:]}}, nil
}

// smallDemo is the share of a core of the twin of the demo.
func (r *rig) smallDemo(steps string) (float64, error) {
	p, err := r.startIn(func([]byte) {}, "smalldemo", steps)
	if err != nil {
		return 0, err
	}
	defer p.end()
	time.Sleep(time.Second)
	return p.share(2 * time.Second), nil
}

// flatOut is the sender without a pace, from the benchmark of its package that
// alternates it with a bare loop of the same system call.
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

// drawing is the prop's drawing with every cell changing.
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

// benchmark runs a Go benchmark of a package once.
func (r *rig) benchmark(pkg, name, span string) (string, error) {
	c := exec.Command("go", "test", "-run", "^$", "-bench", name, "-benchtime", span, pkg)
	c.Dir = r.root
	out, err := c.CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%s: %w: %s", pkg, err, out)
	}
	return string(out), nil
}

// metric is one figure of a line of a benchmark's output.
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
