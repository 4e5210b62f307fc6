package camera

import (
	"context"
	"fmt"
	"strings"
	"time"

	"example.org/ringout/internal/eyes"
)

// filmRate is the number of pictures read per second of film.
const filmRate = 20

// ReadFilm returns the picture of each look from a film of a whole sequence. It reads the film
// twice: in small pictures to find the sequence, then in full size within the windows of the
// looks.
func ReadFilm(ctx context.Context, s Source, looks int) (Take, error) {
	var glances []eyes.Glance
	small := fmt.Sprintf("fps=%d,scale='min(480,iw)':-2:flags=area", filmRate)
	err := run(ctx, s, small, func(i int, p eyes.Picture) error {
		glances = append(glances, eyes.NewGlance(moment(i), p))
		if len(glances) > 20*60*filmRate {
			return fmt.Errorf("the film %s is longer than 20 minutes: cut it to the sequence", s.Name)
		}
		return nil
	})
	if err != nil {
		return Take{}, err
	}
	cut, err := eyes.Find(glances, looks)
	if err != nil {
		return Take{}, err
	}
	out, err := means(ctx, s, cut)
	out.Disturbed = cut.Disturbed
	return out, err
}

func moment(i int) time.Duration { return time.Duration(i) * time.Second / filmRate }

// run reads all pictures of a source through an ffmpeg filter.
func run(ctx context.Context, s Source, filter string, take func(i int, p eyes.Picture) error) error {
	p, err := start(ctx, append(append([]string(nil), s.args...), "-an", "-vf", filter, "-f", "image2pipe", "-c:v", "ppm", "pipe:1")...)
	if err != nil {
		return err
	}
	n := 0
	err = p.each(func(i int, pic eyes.Picture) error { n++; return take(i, pic) })
	if err != nil && n == 0 && ctx.Err() == nil {
		return explain(s, p.said.all(), err)
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if n == 0 {
		return fmt.Errorf("%s has no pictures", s.Name)
	}
	return nil // a film that is damaged at its end may still have the sequence
}

// means averages the pictures of each window, or only those of its calm part.
func means(ctx context.Context, s Source, cut eyes.Cutting) (Take, error) {
	windows := cut.Windows
	var wanted []int // window of each picture
	var calm []bool  // whether the picture counts for the mean
	var parts []string
	for k, w := range windows {
		first, last := int((w.From*filmRate+time.Second-1)/time.Second), int(w.To*filmRate/time.Second)
		for i := first; i <= last; i++ {
			wanted = append(wanted, k)
			calm = append(calm, cut.IsCalm(k, moment(i)))
		}
		parts = append(parts, fmt.Sprintf("between(n,%d,%d)", first, last))
	}
	sums := make([]eyes.Mean, len(windows))
	out := Take{Pictures: make([]eyes.Picture, len(windows)), Clips: make([]eyes.Clip, len(windows))}
	filter := fmt.Sprintf("fps=%d,select='%s'", filmRate, strings.Join(parts, "+"))
	err := runPassing(ctx, s, filter, func(i int, p eyes.Picture) error {
		if i < len(wanted) {
			if calm[i] {
				sums[wanted[i]].Add(p)
			}
			out.Clips[wanted[i]].Add(p)
			if k := wanted[i]; i+1 == len(wanted) || wanted[i+1] != k {
				out.Pictures[k] = sums[k].Picture()
				sums[k] = eyes.Mean{} // free the memory of its sums
			}
		}
		return nil
	})
	return out, err
}

// runPassing is run for a filter that drops pictures. By default ffmpeg would
// repeat pictures to fill the gaps.
func runPassing(ctx context.Context, s Source, filter string, take func(i int, p eyes.Picture) error) error {
	passing := s
	passing.args = append(append([]string(nil), s.args...), "-vsync", "passthrough")
	return run(ctx, passing, filter, take)
}
