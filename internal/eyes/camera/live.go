package camera

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"image/jpeg"
	"io"
	"sync"
	"time"

	"example.org/ringout/internal/eyes"
)

const (
	liveRate  = 12               // pictures a second
	firstWait = 12 * time.Second // for the first one
	lateWait  = 4 * time.Second  // for a stream that shows what was some time ago
)

// A Live is a camera or stream that is open. Pictures are kept in memory, as
// JPEG, only while a sequence runs.
type Live struct {
	source Source
	ffmpeg *process
	done   chan struct{}

	mu     sync.Mutex
	keep   bool
	frames []still
	latest []byte
	count  int
	err    error // why the stream ended
}

// A still is one picture as it came.
type still struct {
	at   time.Time
	jpeg []byte
}

// Open opens a camera or stream and waits for its first picture.
func Open(ctx context.Context, s Source) (*Live, error) {
	args := append(append([]string(nil), s.args...), "-an", "-vf", fmt.Sprintf("fps=%d", liveRate),
		"-f", "image2pipe", "-c:v", "mjpeg", "-q:v", "2", "-pix_fmt", "yuvj420p", "pipe:1")
	p, err := start(ctx, args...)
	if err != nil {
		return nil, err
	}
	l := &Live{source: s, ffmpeg: p, done: make(chan struct{})}
	go l.read()
	if err := l.first(ctx); err != nil {
		l.Close()
		return nil, err
	}
	return l, nil
}

// first waits for the first picture.
func (l *Live) first(ctx context.Context) error {
	end := time.After(firstWait)
	for l.seen() == 0 {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-l.done:
			return explain(l.source, l.ffmpeg.said.all(), l.ended())
		case <-end:
			return fmt.Errorf("%s sends no picture: see that it is on and not covered, and start it again", l.source.Name)
		case <-time.After(20 * time.Millisecond):
		}
	}
	return nil
}

func (l *Live) seen() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.count
}

func (l *Live) ended() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.err
}

// Close ends the camera.
func (l *Live) Close() {
	_ = l.ffmpeg.cmd.Process.Kill()
	<-l.done
}

// read takes pictures until the stream ends.
func (l *Live) read() {
	defer close(l.done)
	for {
		b, err := nextJPEG(l.ffmpeg.out)
		l.mu.Lock()
		if err != nil {
			l.err = errors.New("the stream ended")
			l.mu.Unlock()
			if err := l.ffmpeg.wait(); err != nil {
				l.mu.Lock()
				l.err = err
				l.mu.Unlock()
			}
			return
		}
		l.latest = b
		l.count++
		if l.keep {
			l.frames = append(l.frames, still{time.Now(), b})
		}
		l.mu.Unlock()
	}
}

// nextJPEG is the next picture of a stream of them: from its start marker to
// its end marker, which cannot be inside (ITU-T T.81, B.1.1.2).
func nextJPEG(r *bufio.Reader) ([]byte, error) {
	var out bytes.Buffer
	for {
		part, err := r.ReadSlice(0xD9)
		out.Write(part)
		if err != nil && !errors.Is(err, bufio.ErrBufferFull) {
			return nil, err
		}
		if out.Len() > largest {
			return nil, io.ErrUnexpectedEOF
		}
		if b := out.Bytes(); bytes.HasSuffix(b, []byte{0xFF, 0xD9}) {
			if start := bytes.Index(b, []byte{0xFF, 0xD8}); start >= 0 {
				return bytes.Clone(b[start:]), nil
			}
			out.Reset()
		}
	}
}

// Now is the mean of the next few pictures, of a look that is shown already.
func (l *Live) Now(ctx context.Context, pictures int) (eyes.Picture, error) {
	l.record(true)
	defer l.record(false)
	for len(l.kept()) < pictures {
		if err := l.wait(ctx, 10*time.Millisecond); err != nil {
			return eyes.Picture{}, err
		}
	}
	return mean(l.kept())
}

func mean(frames []still) (eyes.Picture, error) {
	var m eyes.Mean
	for _, f := range frames {
		p, err := f.picture()
		if err != nil {
			return eyes.Picture{}, err
		}
		m.Add(p)
	}
	return m.Picture(), nil
}

func (f still) picture() (eyes.Picture, error) {
	img, err := jpeg.Decode(bytes.NewReader(f.jpeg))
	if err != nil {
		return eyes.Picture{}, fmt.Errorf("a picture of the camera is damaged: %w", err)
	}
	return eyes.FromImage(img), nil
}

// record begins to keep pictures, or forgets them.
func (l *Live) record(on bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.keep, l.frames = on, nil
}

func (l *Live) kept() []still {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.frames
}

// wait waits, and says so when the stream has ended.
func (l *Live) wait(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-l.done:
		return fmt.Errorf("the pictures of %s ended (%w): start it again, and check again", l.source.Name, l.ended())
	case <-time.After(d):
		return nil
	}
}

// Sequence shows the looks one after another and returns the picture of each.
// What the camera shows late is waited for.
func (l *Live) Sequence(ctx context.Context, s *eyes.Scene, show func(i int, look eyes.Look)) ([]eyes.Picture, error) {
	l.record(true)
	defer l.record(false)
	from := time.Now()
	next := from
	for i, step := range s.Steps() {
		show(i, step.Look)
		next = next.Add(step.Hold) // late once is not late ever after
		if err := l.wait(ctx, time.Until(next)); err != nil {
			return nil, err
		}
	}
	glances := &glances{from: from}
	for end := time.Now().Add(lateWait); ; {
		frames := l.kept()
		if err := glances.add(frames); err != nil {
			return nil, err
		}
		windows, err := eyes.Cut(glances.all, len(s.Looks))
		if err == nil {
			return meansOf(frames, from, windows)
		}
		if time.Now().After(end) {
			return nil, err
		}
		if err := l.wait(ctx, 300*time.Millisecond); err != nil {
			return nil, err
		}
	}
}

// glances are the small pictures of those that came so far.
type glances struct {
	from time.Time
	all  []eyes.Glance
}

func (g *glances) add(frames []still) error {
	for _, f := range frames[len(g.all):] {
		p, err := f.picture()
		if err != nil {
			return err
		}
		g.all = append(g.all, eyes.NewGlance(f.at.Sub(g.from), p))
	}
	return nil
}

// meansOf averages the pictures of each window.
func meansOf(frames []still, from time.Time, windows []eyes.Window) ([]eyes.Picture, error) {
	out := make([]eyes.Picture, len(windows))
	for k, w := range windows {
		var in []still
		for _, f := range frames {
			if at := f.at.Sub(from); at >= w.From && at <= w.To {
				in = append(in, f)
			}
		}
		var err error
		if out[k], err = mean(in); err != nil {
			return nil, err
		}
	}
	return out, nil
}
