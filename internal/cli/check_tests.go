package cli

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/dialog"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/underway"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui"
)

// A lamp is a prop that is lit without a screen: its show, and what it last
// said of itself.
type lamp struct {
	ctx  context.Context
	prop *prop.Prop

	mu     sync.Mutex
	show   tui.Show
	serial int
	last   show.Snapshot
	news   traffic.News
}

// newLamp connects a prop.
func newLamp(ctx context.Context, p *prop.Prop) (*lamp, error) {
	l := &lamp{ctx: ctx, prop: p}
	return l, l.stream(true)
}

// stream ends the stream, or starts it anew.
func (l *lamp) stream(on bool) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !on {
		if l.show == nil {
			return nil
		}
		err := l.show.Close()
		l.show = nil
		return err
	}
	if l.show != nil {
		return nil
	}
	sh, err := connectReal(l.ctx, l.prop)
	if err != nil {
		return err
	}
	l.show = sh
	go func() {
		for snap := range sh.Snapshots() {
			l.mu.Lock()
			l.last = snap
			l.mu.Unlock()
		}
	}()
	go func() {
		for news := range sh.Traffic() {
			l.mu.Lock()
			l.news = news
			l.mu.Unlock()
		}
	}()
	return nil
}

// set shows frames at a level.
func (l *lamp) set(frames show.FrameFunc, level float64) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.serial++
	if l.show != nil {
		l.show.Set(show.Want{Frames: frames, Level: level, Serial: l.serial})
	}
}

// level is the one in force after the limiter; 0 when it is not known yet.
func (l *lamp) level() float64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.last.Want.Serial != l.serial {
		return 0
	}
	return l.last.Level
}

// network is what is known of the way to the prop.
func (l *lamp) network() checkout.Network {
	l.mu.Lock()
	defer l.mu.Unlock()
	return underway.NetworkOf(l.prop, l.last.Links, l.news)
}

// How long packets must have left before it is known whether a host refuses. A
// host of this machine answers at once, but no more than about one packet in a
// second (Linux icmp(7), icmp_ratelimit 1000), and two packets of a stream at
// rest are up to a second apart (ANSI E1.31-2018 6.6.2). One on the network that is
// not there shows only after ARP has asked three times, a second apart (Linux
// arp(7), mcast_solicit and retrans_time_ms), and is heard with the packet after.
const (
	soonAnswer = 300 * time.Millisecond // mostly
	nearAnswer = 3 * time.Second
	farAnswer  = 4500 * time.Millisecond
)

// reach waits until the light that was set last has been sent and, the first
// time, until a host of this machine that refuses has had the time to say so.
func (l *lamp) reach() { l.until(soonAnswer) }

// settle waits until any host has had that time.
func (l *lamp) settle() {
	if l.near() {
		l.until(nearAnswer)
		return
	}
	l.until(farAnswer)
}

// near reports whether the prop is on this machine, or nobody's in particular.
func (l *lamp) near() bool {
	a, err := netip.ParseAddr(l.prop.Address.Host)
	return l.prop.Address.Host == "" || l.prop.Address.Host == "localhost" || err == nil && a.IsLoopback()
}

// until waits until packets with the light set last have left for a while, or
// do not leave at all.
func (l *lamp) until(old time.Duration) {
	for l.ctx.Err() == nil {
		l.mu.Lock()
		ready := l.show == nil || l.last.Want.Serial == l.serial && !l.last.Held && len(l.last.Links) > 0
		for _, s := range l.last.Links {
			ready = ready && (!s.State.OK() || s.State == link.Sending && time.Since(s.Since) >= old)
		}
		l.mu.Unlock()
		if _, absent := l.network().Absent(); ready || absent {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
}

func (l *lamp) close() error { return l.stream(false) }

// errAbsent is the end of a check-out of a prop that is not there.
var errAbsent = errors.New("the prop is not there, so there is no finding")

// whileLit waits for talk, which reads answers and so may wait for ever, or
// for a signal.
func (l *lamp) whileLit(talk func() error) error { return untilEnd(l.ctx, talk) }

// single runs a flex test, a load test or a bulb's check and records it.
func (f *checkFlags) single(c *cobra.Command, path string) (err error) {
	p, doc, err := load(c, path)
	if err != nil {
		return err
	}
	l, err := newLamp(c.Context(), p)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, l.close()) }()
	st := dialog.Stage{Bench: dialog.Bench{In: c.InOrStdin(), Out: c.OutOrStdout(), Prop: p}, Set: l.set, Level: l.level, Stream: l.stream}
	var e record.Entry
	err = l.whileLit(func() (err error) {
		switch {
		case f.flex:
			e, err = flexTest(st)
		case f.load:
			e, err = loadTest(st)
		default:
			e, err = bulbTest(st)
		}
		return err
	})
	if err != nil || f.noRecord {
		return err
	}
	e.At, e.Prop, e.Ringout, e.PropFile = time.Now().Truncate(time.Second), p.Name, versionText(), doc.Text()
	file := record.Beside(path)
	if err := appendTo(c, file, e); err != nil {
		return err
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: recorded in %s\n", file.Path)
	return nil
}

// ended takes the end of the input for the end of a test: what was answered by
// then is worth as much as after x, and is recorded.
func ended(_ dialog.End, err error) error {
	if dialog.Gone(err) {
		return nil
	}
	return err
}

func flexTest(st dialog.Stage) (record.Entry, error) {
	t, err := joints.NewFlex(st.Prop)
	if err != nil {
		return record.Entry{}, err
	}
	if err := ended(st.Flex(t)); err != nil {
		return record.Entry{}, err
	}
	e := record.FromFlex(t)
	for _, f := range e.Findings {
		fmt.Fprintln(st.Out, f.Text)
		for _, r := range f.Remedy {
			fmt.Fprintln(st.Out, "  - "+r)
		}
	}
	return e, nil
}

func loadTest(st dialog.Stage) (record.Entry, error) {
	t, err := joints.NewLoad(st.Prop, 1)
	if err != nil {
		return record.Entry{}, err
	}
	if err := ended(st.Load(t)); err != nil {
		return record.Entry{}, err
	}
	if len(t.Readings()) == 0 {
		return record.Entry{}, errors.New("nothing was measured, so nothing is recorded")
	}
	r, err := t.Result()
	if err != nil {
		return record.Entry{}, err
	}
	st.WriteFit(r)
	return record.FromLoad(st.Prop, t.Readings(), r), nil
}

func bulbTest(st dialog.Stage) (record.Entry, error) {
	s, err := bulb.New(st.Prop)
	if err != nil {
		return record.Entry{}, err
	}
	end, err := st.Bulb(s)
	if err := ended(end, err); err != nil {
		return record.Entry{}, err
	}
	r := s.Result(st.Prop.Chip.Order)
	for _, l := range r.Lines {
		fmt.Fprintln(st.Out, l)
	}
	e := record.FromBulb(r)
	if end.Left && e.Verdict == record.Pass {
		e.Verdict = record.Stopped // well as far as it went
	}
	return e, nil
}
