package camera

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"image/jpeg"
	"io"
	"os"
	"sync"
	"time"

	"example.org/ringout/internal/eyes"
)

const (
	liveRate  = 12               // pictures a second
	firstWait = 12 * time.Second // for the first one
)

// SmallWide is how many camera pixels a small picture has across at most.
const SmallWide = 480

// Lag is the time after which a look that was sent can be measured: a stream is about a
// second late, and a camera takes time to adapt.
func (l *Live) Lag() time.Duration { return 1500 * time.Millisecond }

// A Live is an open camera or stream. It has each picture in full size and in small, for
// quick work. Pictures are kept in memory, as JPEG, only while a sequence runs.
type Live struct {
	source Source
	ffmpeg *process
	done   chan struct{} // closed when both pipes have ended

	mu    sync.Mutex
	large pipeFrames
	small pipeFrames
	err   error // why the stream ended
}

// pipeFrames are the pictures of one pipe.
type pipeFrames struct {
	keep   bool
	frames []still
	latest []byte
	count  int
}

// A still is one picture as it came.
type still struct {
	at   time.Time
	jpeg []byte
}

// streams makes two of the pictures, the second small.
var streams = fmt.Sprintf("[0:v:0]fps=%d,split[l][s];[s]scale='min(%d,iw)':-2:flags=area[small]", liveRate, SmallWide)

// Open opens a camera or stream and waits for its first picture.
func Open(ctx context.Context, s Source) (*Live, error) {
	r, w, err := os.Pipe()
	if err != nil {
		return nil, fmt.Errorf("ffmpeg cannot be started: %w", err)
	}
	args := append(append([]string(nil), s.args...), "-an", "-filter_complex", streams)
	for _, out := range [][3]string{{"[l]", "2", "pipe:1"}, {"[small]", "3", "pipe:0"}} {
		args = append(args, "-map", out[0], "-f", "image2pipe", "-c:v", "mjpeg", "-q:v", out[1], "-pix_fmt", "yuvj420p", "-flush_packets", "1", out[2])
	}
	p, err := startWith(ctx, w, args...)
	_ = w.Close() // ffmpeg has its own
	if err != nil {
		_ = r.Close()
		return nil, err
	}
	l := &Live{source: s, ffmpeg: p, done: make(chan struct{})}
	go l.read(r)
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

// seen is the number of pictures received, of the pipe that has fewer.
func (l *Live) seen() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return min(l.large.count, l.small.count)
}

func (l *Live) ended() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.err
}

// Source is where the pictures come from.
func (l *Live) Source() Source { return l.source }

// Close ends the camera.
func (l *Live) Close() {
	_ = l.ffmpeg.cmd.Process.Kill()
	<-l.done
}

// read takes pictures until the stream ends.
func (l *Live) read(second *os.File) {
	defer close(l.done)
	quiet := make(chan struct{})
	go func() {
		defer close(quiet)
		l.fill(&l.small, bufio.NewReaderSize(second, 1<<16))
		_ = second.Close()
	}()
	l.fill(&l.large, l.ffmpeg.out)
	<-quiet
	err := l.ffmpeg.wait()
	if err == nil {
		err = errors.New("the stream ended")
	}
	l.mu.Lock()
	l.err = err
	l.mu.Unlock()
}

// fill takes the pictures of one pipe.
func (l *Live) fill(to *pipeFrames, from *bufio.Reader) {
	for {
		b, err := nextJPEG(from)
		if err != nil {
			return
		}
		l.mu.Lock()
		to.latest = b
		to.count++
		if to.keep {
			to.frames = append(to.frames, still{time.Now(), b})
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

// Glance is the newest small picture, and its number; it waits for one later
// than the number given.
func (l *Live) Glance(ctx context.Context, after int) (eyes.Picture, int, error) {
	for {
		l.mu.Lock()
		b, n := l.small.latest, l.small.count
		l.mu.Unlock()
		if n > after {
			p, err := still{jpeg: b}.picture()
			return p, n, err
		}
		if err := l.wait(ctx, 10*time.Millisecond); err != nil {
			return eyes.Picture{}, after, err
		}
	}
}

// Size is that of the large pictures; 0 before the first.
func (l *Live) Size() (w, h int) {
	l.mu.Lock()
	b := l.large.latest
	l.mu.Unlock()
	head, err := jpeg.DecodeConfig(bytes.NewReader(b))
	if err != nil {
		return 0, 0
	}
	return head.Width, head.Height
}

// Now is the mean of the next few pictures of a look that is already shown; a camera does not
// need its number.
func (l *Live) Now(ctx context.Context, _, pictures int) (eyes.Picture, error) {
	l.record(true)
	defer l.record(false)
	for len(l.kept(&l.large)) < pictures {
		if err := l.wait(ctx, 10*time.Millisecond); err != nil {
			return eyes.Picture{}, err
		}
	}
	return mean(l.kept(&l.large), func(eyes.Picture) {})
}

// mean is the mean of pictures, each of which each gets too.
func mean(frames []still, each func(eyes.Picture)) (eyes.Picture, error) {
	var m eyes.Mean
	for _, f := range frames {
		p, err := f.picture()
		if err != nil {
			return eyes.Picture{}, err
		}
		m.Add(p)
		each(p)
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

// record begins to keep pictures, or stops and drops them.
func (l *Live) record(on bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, r := range []*pipeFrames{&l.large, &l.small} {
		r.keep, r.frames = on, nil
	}
}

func (l *Live) kept(r *pipeFrames) []still {
	l.mu.Lock()
	defer l.mu.Unlock()
	return r.frames
}

// wait waits for d; it returns an error when the stream or ctx has ended.
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
