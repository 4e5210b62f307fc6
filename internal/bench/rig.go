//go:build linux

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/creack/pty"
)

// A rig holds the built programs to measure.
type rig struct {
	dir, root string
	files     map[string]string // path by name
	started   int               // number of programs started
}

func newRig() (*rig, error) {
	dir, err := os.MkdirTemp("", "ringout-bench-")
	if err != nil {
		return nil, err
	}
	r := &rig{dir: dir, files: map[string]string{}}
	root, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "example.org/ringout").Output()
	if err != nil {
		return r, errors.Join(fmt.Errorf("run it inside the project: %w", err), r.close())
	}
	r.root = strings.TrimSpace(string(root))
	for name, pkg := range map[string]string{
		"ringout": "./cmd/ringout", "gopace": "./internal/bench/twins/gopace", "hello": "./internal/bench/twins/hello",
		"keyloop": "./internal/bench/twins/keyloop", "smallest": "./internal/bench/twins/smallest",
		"links": "./internal/bench/twins/links", "smalldemo": "./internal/bench/twins/smalldemo",
	} {
		r.files[name] = filepath.Join(dir, name)
		if err := r.do("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", r.files[name], pkg); err != nil {
			return r, errors.Join(err, r.close())
		}
	}
	r.files["pace"] = filepath.Join(dir, "pace")
	if err := r.do("cc", "-O2", "-o", r.files["pace"], "internal/bench/twins/pace.c"); err != nil {
		return r, errors.Join(err, r.close())
	}
	return r, nil
}

func (r *rig) close() error { return os.RemoveAll(r.dir) }

// do runs a command in the module's root, without cgo.
func (r *rig) do(name string, args ...string) error {
	c := exec.Command(name, args...)
	c.Dir, c.Env = r.root, append(os.Environ(), "CGO_ENABLED=0")
	if out, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("%s %s: %w: %s", name, args[0], err, out)
	}
	return nil
}

// command returns one of the built programs with a new configuration folder, so
// the page of cautions always comes first and takes the first key.
func (r *rig) command(name string, args ...string) *exec.Cmd {
	c := exec.Command(r.files[name], args...)
	r.started++
	config := filepath.Join(r.dir, "config", strconv.Itoa(r.started))
	c.Dir, c.Env = r.dir, append(os.Environ(), "RINGOUT_CONFIG="+config, "TERM=xterm-256color", "COLORTERM=truecolor")
	return c
}

// running is a started program.
type running struct {
	cmd *exec.Cmd
	tty *os.File // nil without a terminal
}

func (r *rig) start(name string, args ...string) (*running, error) {
	p := &running{cmd: r.command(name, args...)}
	return p, p.cmd.Start()
}

// startIn starts a program in a pseudo-terminal of 120 by 40 cells. Its own
// goroutine calls drawn with the output as it arrives.
func (r *rig) startIn(drawn func([]byte), name string, args ...string) (*running, error) {
	p := &running{cmd: r.command(name, args...)}
	var err error
	if p.tty, err = pty.StartWithSize(p.cmd, &pty.Winsize{Cols: 120, Rows: 40}); err != nil {
		return nil, err
	}
	go func() {
		b := make([]byte, 65536)
		for {
			n, err := p.tty.Read(b)
			drawn(b[:n])
			if err != nil {
				return
			}
		}
	}()
	return p, nil
}

// end interrupts the program and waits for it.
func (p *running) end() {
	p.cmd.Process.Signal(syscall.SIGTERM)
	p.cmd.Wait()
	if p.tty != nil {
		p.tty.Close()
	}
}

// used is the processor time of all threads so far, in nanoseconds: the first
// number of each thread's schedstat (kernel documentation, "Scheduler Statistics").
func (p *running) used() time.Duration {
	names, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/schedstat", p.cmd.Process.Pid))
	var all time.Duration
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			continue // the thread has ended
		}
		first, _, _ := strings.Cut(string(text), " ")
		n, _ := strconv.ParseInt(first, 10, 64)
		all += time.Duration(n)
	}
	return all
}

// share is the processor time used during a span, in percent of one core.
func (p *running) share(span time.Duration) float64 {
	before, began := p.used(), time.Now()
	time.Sleep(span)
	return 100 * float64(p.used()-before) / float64(time.Since(began))
}

// megabytes is the resident memory in MB (proc(5), VmRSS).
func (p *running) megabytes() float64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		return 0
	}
	for line := range bytes.Lines(text) {
		var kB float64
		if n, _ := fmt.Sscanf(string(line), "VmRSS: %f kB", &kB); n == 1 {
			return kB / 1024
		}
	}
	return 0
}
