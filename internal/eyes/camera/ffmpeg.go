package camera

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"time"

	"example.org/ringout/internal/eyes"
)

// ErrNoFFmpeg says how to get the program that reads cameras and films.
var ErrNoFFmpeg = errors.New("cameras and films are read by the program ffmpeg, which is not installed: " + howToGet(runtime.GOOS))

func howToGet(system string) string {
	switch system {
	case "darwin":
		return "\"brew install ffmpeg\""
	case "windows":
		return "\"winget install ffmpeg\", then open a new terminal"
	}
	return "\"sudo apt install ffmpeg\", or your system's own way"
}

// A process is a running ffmpeg.
type process struct {
	cmd  *exec.Cmd
	out  *bufio.Reader
	said *tail
}

// start runs ffmpeg with its pictures on a pipe.
func start(ctx context.Context, args ...string) (*process, error) {
	return startWith(ctx, nil, args...)
}

// startWith is start with a second output pipe. ffmpeg writes to it as pipe:0, its standard
// input: no other descriptor is passed to a child process on every system.
func startWith(ctx context.Context, second *os.File, args ...string) (*process, error) {
	path, err := exec.LookPath("ffmpeg")
	if err != nil {
		return nil, ErrNoFFmpeg
	}
	all := append([]string{"-hide_banner", "-nostdin", "-nostats", "-loglevel", "error"}, args...)
	p := &process{cmd: exec.CommandContext(ctx, path, all...), said: &tail{}}
	p.cmd.Stderr = p.said
	if second != nil {
		p.cmd.Stdin = second
	}
	p.cmd.WaitDelay = time.Second
	pipe, err := p.cmd.StdoutPipe()
	if err != nil {
		return nil, fmt.Errorf("ffmpeg cannot be started: %w", err)
	}
	if err := p.cmd.Start(); err != nil {
		return nil, fmt.Errorf("ffmpeg cannot be started: %w", err)
	}
	p.out = bufio.NewReaderSize(pipe, 1<<20)
	return p, nil
}

// wait discards the rest of the output, waits for the end of the process and returns
// its error.
func (p *process) wait() error {
	_, _ = io.Copy(io.Discard, p.out)
	if err := p.cmd.Wait(); err != nil {
		return fmt.Errorf("%w: %s", err, p.said.last())
	}
	return nil
}

// stop ends the process early.
func (p *process) stop() {
	_ = p.cmd.Process.Kill()
	_ = p.wait() // its error is that it was killed
}

// picture reads the next picture in the portable pixmap format (ppm(5)), whose
// header gives the size. It returns io.EOF at the end.
func (p *process) picture() (eyes.Picture, error) {
	var w, h, top int
	if _, err := fmt.Fscanf(p.out, "P6\n%d %d\n%d\n", &w, &h, &top); err != nil {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return eyes.Picture{}, io.EOF
		}
		return eyes.Picture{}, fmt.Errorf("ffmpeg gave no picture: %w", err)
	}
	if w < 1 || h < 1 || w > 1<<14 || h > 1<<14 || top != 255 {
		return eyes.Picture{}, fmt.Errorf("ffmpeg gave a picture of %d by %d", w, h)
	}
	rgb := make([]byte, 3*w*h)
	if _, err := io.ReadFull(p.out, rgb); err != nil {
		return eyes.Picture{}, io.EOF
	}
	return eyes.FromRGB(w, h, rgb), nil
}

// each calls take for every picture, i from 0, until the stream ends or take
// returns an error.
func (p *process) each(take func(i int, pic eyes.Picture) error) error {
	for i := 0; ; i++ {
		pic, err := p.picture()
		if err == nil {
			err = take(i, pic)
		}
		if err == nil {
			continue
		}
		if errors.Is(err, io.EOF) {
			return p.wait()
		}
		p.stop()
		return err
	}
}

// A tail is a writer that keeps only the end of its input.
type tail struct {
	mu  sync.Mutex
	buf []byte
}

func (t *tail) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.buf = append(t.buf, b...)
	t.buf = t.buf[max(0, len(t.buf)-4096):]
	return len(b), nil
}

// all returns the text kept.
func (t *tail) all() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return string(t.buf)
}

// last returns the last line, without control characters.
func (t *tail) last() string {
	lines := bytes.Split(bytes.TrimSpace([]byte(t.all())), []byte("\n"))
	return strings.Map(func(r rune) rune {
		if strconv.IsPrint(r) {
			return r
		}
		return -1
	}, string(lines[len(lines)-1]))
}
