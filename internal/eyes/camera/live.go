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

// SmallWide is the largest width of a small picture, in camera pixels.
const SmallWide = 480

// Lag is the time from sending a look until it can be measured: a stream is about a second
// late, and a camera takes time to adapt its exposure.
func (l *Live) Lag() time.Duration { return 1500 * time.Millisecond }

// A Live is an open camera or stream. It receives each picture in full size and, for quick
// work, in a small size. Only while a sequence runs are pictures kept in memory, as JPEG.
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

// A still is one picture as received, and its time.
type still struct {
	at   time.Time
	jpeg []byte
}

// streams is the ffmpeg filter that splits the pictures into a full-size and a small stream.
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
	_ = w.Close() // ffmpeg has its own descriptor
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

// seen is the number of pictures received on both pipes.
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

// Source returns the source of the pictures.
func (l *Live) Source() Source { return l.source }

// Close ends ffmpeg, and with it the use of the camera.
func (l *Live) Close() {
	_ = l.ffmpeg.cmd.Process.Kill()
	<-l.done
}

// read reads both pipes until the stream ends.
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

// fill reads the pictures of one pipe.
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

// nextJPEG reads the next picture of a JPEG stream, from its start marker to its
// end marker, which cannot occur inside a picture (ITU-T T.81, B.1.1.2).
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

// Glance returns the newest small picture and its number. It waits until the
// number is above after.
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

// Size is the size of the full-size pictures, in camera pixels; 0 before the first.
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

// Now returns the mean of the next pictures while a look is shown. The number of the look is
// not used: a live camera sees only what is lit now.
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

// mean averages pictures and calls each with every one of them.
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

// record starts to keep pictures, or stops and discards them.
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

// wait waits for d. It returns an error early when the stream or ctx ends.
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
