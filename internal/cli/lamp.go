package cli

import (
	"context"
	"net/netip"
	"sync"
	"time"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/underway"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui"
)

// A lamp is a prop lit without a screen: its show and the show's last snapshot.
type lamp struct {
	ctx  context.Context
	prop *prop.Prop
	show tui.Show

	mu     sync.Mutex
	serial int
	last   show.Snapshot
	news   traffic.News
	dead   bool // the show has ended
}

// lamp connects a prop.
func (own *identity) lamp(ctx context.Context, p *prop.Prop) (*lamp, error) {
	sh, err := own.connectReal(ctx, p)
	if err != nil {
		return nil, err
	}
	l := &lamp{ctx: ctx, prop: p, show: sh}
	go func() {
		for snap := range sh.Snapshots() {
			l.note(func() { l.last = snap })
		}
		l.note(func() { l.dead = true })
	}()
	go func() {
		for news := range sh.Traffic() {
			l.note(func() { l.news = news })
		}
	}()
	return l, nil
}

func (l *lamp) note(what func()) {
	l.mu.Lock()
	defer l.mu.Unlock()
	what()
}

// light shows frames at a level, or ends the stream, and waits until the
// packets have left.
func (l *lamp) light(frames show.FrameFunc, level float64, ended bool) error {
	l.want(show.Want{Frames: frames, Level: level, Ended: ended})
	if !ended {
		l.reach()
	}
	return l.ctx.Err()
}

// set shows frames at a level.
func (l *lamp) set(frames show.FrameFunc, level float64) {
	l.want(show.Want{Frames: frames, Level: level})
}

func (l *lamp) want(w show.Want) {
	l.note(func() {
		l.serial++
		w.Serial = l.serial
		l.show.Set(w)
	})
}

// reach waits until the packets of the newest light have been sent. The first time
// it also waits long enough for a refusal (ICMP port unreachable) by a host on this
// machine.
func (l *lamp) reach() { l.until(soonAnswer) }

// level returns the level after the limiter; 0 when it is not known yet.
func (l *lamp) level() (level float64) {
	l.note(func() {
		if l.last.Want.Serial == l.serial {
			level = l.last.Level
		}
	})
	return level
}

// network returns what is known of the network path to the prop.
func (l *lamp) network() (n checkout.Network) {
	l.note(func() { n = underway.NetworkOf(l.prop, l.last.Links, l.news) })
	return n
}

// How long packets must have left before it is known whether a host refuses. A
// host of this machine answers at once, though after the first six no more than
// one packet in a second (Linux icmp(7), icmp_ratelimit 1000). One on the
// network that is not there shows only after ARP has asked three times, a
// second apart (Linux arp(7), mcast_solicit and retrans_time_ms), and is
// reported with the next packet.
const (
	soonAnswer = 300 * time.Millisecond // usual time of an answer
	nearAnswer = 1200 * time.Millisecond
	farAnswer  = 4500 * time.Millisecond
)

// settle waits long enough for any host to refuse.
func (l *lamp) settle() {
	if l.near() {
		l.until(nearAnswer)
		return
	}
	l.until(farAnswer)
}

// near reports whether the prop is on this machine or is sent multicast.
func (l *lamp) near() bool {
	a, err := netip.ParseAddr(l.prop.Address.Host)
	return l.prop.Address.Host == "" || l.prop.Address.Host == "localhost" || err == nil && a.IsLoopback()
}

// until waits until the packets of the newest light have left and packets have
// been sent for a time old, or until it is known that none leave.
func (l *lamp) until(old time.Duration) {
	for l.ctx.Err() == nil {
		if _, absent := l.network().Absent(); absent || l.left(old) {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// left reports whether the newest light has left, with packets sent for a time
// old.
func (l *lamp) left(old time.Duration) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.dead || l.last.Want.Ended {
		return true
	}
	left := l.last.Want.Serial == l.serial && !l.last.Held && len(l.last.Links) > 0
	for _, s := range l.last.Links {
		left = left && s.State == link.Sending && !s.Waiting && time.Since(s.Since) >= old
	}
	return left
}

func (l *lamp) close() error { return l.show.Close() }

// whileLit runs talk until it returns or a signal ends the command. talk may wait
// for an answer without limit.
func (l *lamp) whileLit(talk func() error) error { return untilEnd(l.ctx, talk) }

// patience is the time after which a message says that work takes long.
const patience = 500 * time.Millisecond

// wait runs work, and calls still when it takes longer than patience.
func wait(work, still func()) {
	done := make(chan error, 1)
	go func() {
		done <- caught(func() error {
			work()
			return nil
		})
	}()
	var crash error
	select {
	case crash = <-done:
	case <-time.After(patience):
		still()
		crash = <-done
	}
	if crash != nil {
		panic(crash) // the caller catches it and turns the prop off
	}
}
