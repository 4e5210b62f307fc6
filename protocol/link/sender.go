package link

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"example.org/ringout/protocol"
)

// A Sender drives universes. Put, Status, Events and Close may be called from
// any goroutine.
type Sender struct {
	cfg     Config
	name    protocol.SourceName
	streams []*stream
	hosts   []*host
	alarm   alarm
	log     events
	cache   interfaceCache
	changes *changes // of the network; used by the sender's goroutine
	kept    maintenance
	syncs   uint8 // sequence of the synchronization packets (6.3.2)
	syncBuf []byte
	synced  []*host

	mu      sync.Mutex
	inbox   [][]byte // newest slots of each target
	fresh   []bool   // target's slots not yet taken
	any     bool
	closing context.Context
	pause   bool // asked for by Pause

	silent atomic.Bool // the streams have ended for now
	paced  atomic.Bool // the sender sleeps until the first time at which a stream may send

	cancel   context.CancelFunc
	once     sync.Once
	keep     sync.WaitGroup
	done     chan struct{}
	announce chan struct{} // to the announcer: the list of universes sent has changed
	unsent   []string      // targets whose last packets did not leave
}

// Open starts a sender. Nothing leaves before the first Put. The error is a
// *ConfigError. Hosts that do not resolve and interfaces that are down are no
// errors: they are states, tried again until they work.
func Open(cfg Config) (*Sender, error) {
	if err := cfg.check(); err != nil {
		return nil, err
	}
	s := newSender(cfg)
	s.start()
	return s, nil
}

// start starts the goroutines.
func (s *Sender) start() {
	ctx, cancel := context.WithCancel(context.Background())
	s.cancel = cancel
	for _, h := range s.hosts {
		d := &dialer{host: h, sender: s, seldom: s.changes.heard()}
		s.keep.Go(func() {
			if err := caught(func() { d.run(ctx) }); err != nil {
				d.report(Failed, err)
			}
		})
	}
	if !s.cfg.Unannounced {
		s.keep.Go(func() {
			if err := caught(func() { (&announcer{Sender: s}).run(ctx) }); err != nil {
				s.event("%v: universe discovery has stopped", err)
			}
		})
	}
	go s.run()
}

func newSender(cfg Config) *Sender {
	s := &Sender{
		cfg:      cfg,
		name:     protocol.NameOf(cfg.Source),
		alarm:    newAlarm(),
		changes:  newChanges(),
		announce: make(chan struct{}, 1),
		inbox:    make([][]byte, len(cfg.Targets)),
		fresh:    make([]bool, len(cfg.Targets)),
		done:     make(chan struct{}),
	}
	s.makeStreams()
	return s
}

// makeStreams makes the streams and the hosts they go through.
func (s *Sender) makeStreams() {
	hosts := make(map[hostKey]*host)
	for _, t := range s.cfg.Targets {
		p := hostKey{host: t.Host, iface: t.Interface, port: t.Port}
		if t.Host == "" {
			p.port = 0 // one socket for all groups
		}
		h := hosts[p]
		if h == nil {
			h = &host{hostKey: p, wake: make(chan struct{}, 1), log: &s.log}
			hosts[p] = h
			s.hosts = append(s.hosts, h)
		}
		s.streams = append(s.streams, s.newStream(t, h))
	}
}

func (s *Sender) newStream(t Target, h *host) *stream {
	d := &protocol.Data{CID: s.cfg.CID, Source: s.name, Priority: s.cfg.Priority, SyncAddress: s.cfg.Sync, Universe: t.Universe}
	st := &stream{target: t, host: h, packet: protocol.NewTemplate(d), next: time.Now()}
	if s.cfg.Preview {
		st.preview = protocol.Preview
	}
	if t.Host == "" {
		st.dest = groupAddr(t.Universe, t.Port)
	}
	return st
}

// Put hands over the newest slots of every universe, in the order of
// Config.Targets. It copies them, never blocks and never fails; slots past 512
// are ignored, and universes past the end of slots keep their values.
func (s *Sender) Put(slots [][]byte) {
	s.mu.Lock()
	changed := false
	for i, b := range slots[:min(len(slots), len(s.inbox))] {
		b = b[:min(len(b), protocol.MaxSlots)]
		if s.inbox[i] != nil && bytes.Equal(s.inbox[i], b) {
			continue
		}
		if s.inbox[i] == nil {
			s.inbox[i] = make([]byte, 0, protocol.MaxSlots)
		}
		s.inbox[i] = append(s.inbox[i][:0], b...)
		s.fresh[i], changed = true, true
		s.streams[i].asked.Add(1)
	}
	s.any = s.any || changed
	s.mu.Unlock()
	if changed && !s.paced.Load() {
		s.alarm.ring()
		runtime.Gosched() // lets the sender send before the caller continues
	}
}

// take moves the slots put into the streams; it returns the context of Close
// once Close was called.
func (s *Sender) take() (closing context.Context) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.any && !s.silent.Load() {
		for i, fresh := range s.fresh {
			if fresh {
				s.streams[i].put(s.inbox[i])
				s.fresh[i] = false
			}
		}
		s.any = false
	}
	return s.closing
}

// Status returns the state of each target, in the order of Config.Targets.
func (s *Sender) Status() []Status {
	list := make([]Status, len(s.streams))
	for i, st := range s.streams {
		list[i] = st.status()
	}
	return list
}

func (s *stream) status() Status {
	h := s.host
	h.mu.Lock()
	shown, dest, local := h.shown, h.remote, h.local
	h.mu.Unlock()
	if s.dest != nil {
		dest = s.dest.AddrPort()
	}
	return Status{
		Target: s.target, Dest: dest, Local: local,
		State: shown.state, Err: shown.err, From: shown.from, Since: shown.since,
		Packets: s.packets.Load(), Refused: s.refused.Load(),
		Rate: math.Float64frombits(s.rate.Load()), Waiting: s.out.Load() != s.asked.Load(),
	}
}

// Close sends black, then three packets with Stream_Terminated for every
// universe that was sent (6.2.6), and returns when they have left, which takes
// four periods. When ctx ends first, the remaining packets are sent at once,
// faster than the rate. The error names the targets that these packets could
// not be sent to. A second Close waits for the first and returns the same.
func (s *Sender) Close(ctx context.Context) error {
	s.once.Do(func() {
		s.mu.Lock()
		s.closing = ctx
		s.mu.Unlock()
		s.alarm.ring()
	})
	<-s.done
	if len(s.unsent) > 0 {
		return fmt.Errorf("black and the end of the stream did not reach %s: what hangs there may still be lit", strings.Join(s.unsent, ", "))
	}
	return nil
}

func earlier(a, b time.Time) time.Time {
	if a.IsZero() || !b.IsZero() && b.Before(a) {
		return b
	}
	return a
}
