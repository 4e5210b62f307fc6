//go:build linux

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// keys measures the latency from a key press to the datagram.
func keys(r *rig) ([]sample, error) {
	s, file, err := r.sinkProp()
	if err != nil {
		return nil, err
	}
	defer s.conn.Close()
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

// sinkProp opens a sink and writes a prop file whose address is that sink. The
// caller closes it.
func (r *rig) sinkProp() (s *sink, file string, err error) {
	if s, err = newSink(); err != nil {
		return nil, "", err
	}
	if file, err = r.sinkPropFile(s); err != nil {
		s.conn.Close()
	}
	return s, file, err
}

func (r *rig) sinkPropFile(s *sink) (string, error) {
	file := filepath.Join(r.dir, "quay.toml")
	os.Remove(file)
	if err := r.command("ringout", "new", "quay", "--defaults").Run(); err != nil {
		return "", err
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return "", err
	}
	text = bytes.Replace(text, []byte(`"127.0.0.1"`), fmt.Appendf(nil, "\"127.0.0.1\"\nport = %d", s.port()), 1)
	return file, os.WriteFile(file, text, 0o644)
}

// keyed returns the latency of 30 key presses in ms. Before each it waits until
// nothing has been sent for 60 ms. The keys in first lead to the page measured.
func (r *rig) keyed(s *sink, first []string, name string, args ...string) ([]float64, error) {
	p, err := r.brought(first, name, args...)
	if err != nil {
		return nil, err
	}
	defer p.end()
	var took []float64
	var last []byte
	b := make([]byte, 1500)
	if len(first) > 0 { // on a busy machine the page may come late
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

// changed waits for a packet whose slots differ from last. Keep-alive packets,
// which repeat the slots, are skipped.
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

// quiet waits until no packet has arrived for 60 ms, so that all repeats of a
// change have been sent. It returns the slots of the last packet.
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

// brought starts a program in a terminal and presses the keys that lead to a page.
func (r *rig) brought(first []string, name string, args ...string) (*running, error) {
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
	<-drawn
	time.Sleep(500 * time.Millisecond)
	for _, k := range first {
		p.tty.WriteString(k)
		time.Sleep(300 * time.Millisecond)
	}
	time.Sleep(700 * time.Millisecond) // all repeats of the last change have been sent
	return p, nil
}

// keysMoving measures the latency from a key press to the datagram during a chase of
// 40 steps per second, drawn on screen. Both programs limit themselves to 44 packets
// per second, so a key waits half a period on average. Keys change the level, which
// is the value of the brightest slot.
func keysMoving(r *rig) ([]sample, error) {
	s, file, err := r.sinkProp()
	if err != nil {
		return nil, err
	}
	defer s.conn.Close()
	ours, err := r.levels(s, []string{"\r", "1" + strings.Repeat("+", 12)}, []string{"\x1b[A", "\x1b[B"}, "ringout", file)
	if err != nil {
		return nil, err
	}
	least, err := r.levels(s, nil, []string{"l", "l"}, "smalldemo", "40", "127.0.0.1:"+strconv.Itoa(s.port()))
	if err != nil {
		return nil, err
	}
	return []sample{{ours, least}, {[]float64{quantile(ours, 0.99)}, []float64{quantile(least, 0.99)}}}, nil
}

// levels presses two keys in turn and returns the time in ms until the first datagram
// with another value of its brightest slot.
func (r *rig) levels(s *sink, first, pressed []string, name string, args ...string) ([]float64, error) {
	p, err := r.brought(first, name, args...)
	if err != nil {
		return nil, err
	}
	defer p.end()
	var took []float64
	for i := range 40 {
		time.Sleep(80*time.Millisecond + time.Duration(i)*time.Millisecond) // spread over the phases of a period
		if err := s.drain(); err != nil {
			return nil, err
		}
		was, err := s.brightest(func(byte) bool { return true })
		if err != nil {
			return nil, fmt.Errorf("%s: nothing is sent: %w", name, err)
		}
		began := time.Now()
		p.tty.WriteString(pressed[i%2])
		if _, err := s.brightest(func(now byte) bool { return now != was }); err != nil {
			return nil, fmt.Errorf("%s: no datagram after a key: %w", name, err)
		}
		took = append(took, float64(time.Since(began).Microseconds())/1e3)
	}
	return took, nil
}
