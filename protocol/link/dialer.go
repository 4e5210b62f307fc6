package link

import (
	"context"
	"net/netip"
	"time"
)

// How often a host's socket is checked: while it works, and while it does not,
// when sending must recover within two seconds after the cause has gone.
const (
	checkEvery    = time.Second
	checkSeldom   = 10 * time.Second // where the system reports changes
	troubleEvery  = 400 * time.Millisecond
	resolveEvery  = 30 * time.Second
	resolveAgain  = 1500 * time.Millisecond
	resolveWithin = 3 * time.Second
)

// writeBuffer has room for the packets of about 500 universes at once.
const writeBuffer = 1 << 20

// A dialer looks after one host's socket: it resolves the name, opens the
// socket, and opens another when the way to the host has changed. A fresh
// socket shows every such change (network, address of this machine, default
// route) by its own address.
type dialer struct {
	*host
	sender   *Sender
	local    netip.Addr     // of the socket in use
	remote   netip.AddrPort // the same; for multicast the index of the interface counts
	index    int
	open     bool
	address  netip.Addr // of the host
	resolved time.Time
	force    bool // open a new socket even if the old one looks good
	seldom   bool // the system reports changes
}

func (d *dialer) run(ctx context.Context) {
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-timer.C:
		case <-d.wake:
			if !sleepFor(ctx, troubleEvery/4) {
				return
			}
		}
		d.force = d.stale.Swap(false) || d.trouble.Load()
		state, err := d.check(ctx)
		if ctx.Err() != nil {
			return
		}
		d.report(state, err)
		timer.Reset(d.pause(state))
	}
}

func (d *dialer) pause(verdict State) time.Duration {
	switch {
	case verdict != Starting || d.trouble.Load():
		return troubleEvery
	case d.seldom && d.state() == Sending: // it is woken when either stops being true
		return checkSeldom
	}
	return checkEvery
}

// check checks interface, address and socket, in this order, and returns the
// state: Starting and nil when all is well.
func (d *dialer) check(ctx context.Context) (State, error) {
	var ifi Interface
	if d.iface != "" {
		var err error
		if ifi, err = interfaceByName(d.iface); err != nil {
			return NoInterface, err
		}
		if !ifi.Up {
			return NoInterface, &interfaceStateError{ifi.Name, "is switched off"}
		}
	}
	if d.hostKey.host == "" {
		return d.checkMulticast(ctx, ifi)
	}
	if err := d.resolve(ctx); err != nil {
		return Unresolved, err
	}
	return d.checkHost(ctx, ifi)
}

func (d *dialer) checkMulticast(ctx context.Context, ifi Interface) (State, error) {
	named, local, err := ifi, netip.Addr{}, error(nil)
	if d.iface == "" {
		ifi, local, err = d.sender.multicastRoute(ctx)
		if err != nil {
			return stateOf(err), err
		}
	} else if local, err = ifi.addr(false); err != nil {
		return NoInterface, err
	}
	if !d.open || d.force || d.index != ifi.Index || d.local != local {
		o, err := openMulticast(ctx, named, local, d.sender.cfg.TTL)
		if err != nil {
			return stateOf(err), err
		}
		d.index, d.local = ifi.Index, local
		d.handOver(o)
	}
	return d.checkLink(ifi)
}

// resolve finds the host's address. A found address stays in use when the name
// server fails later.
func (d *dialer) resolve(ctx context.Context) error {
	age := time.Since(d.resolved)
	bad := d.force || d.state() != Sending
	if d.address.IsValid() && age < resolveEvery && !(bad && age > resolveAgain) {
		return nil
	}
	ctx, cancel := context.WithTimeout(ctx, resolveWithin)
	defer cancel()
	a, err := resolve(ctx, d.hostKey.host, d.sender.cfg.Lookup)
	d.resolved = time.Now()
	if err != nil {
		if d.address.IsValid() {
			return nil
		}
		return err
	}
	if d.address.IsValid() && a != d.address {
		d.sender.event("%s moved from %s to %s", Target{Host: d.hostKey.host}.place(), d.address, a)
	}
	d.address = a
	return nil
}

func (d *dialer) checkHost(ctx context.Context, ifi Interface) (State, error) {
	remote := netip.AddrPortFrom(d.address, d.port)
	if err := broadcast(d.address, d.sender.interfaces()); err != nil {
		return Unresolved, err
	}
	o, err := dial(ctx, remote, ifi)
	if err != nil {
		return stateOf(err), err
	}
	local := o.local
	if d.open && !d.force && local == d.local && remote == d.remote {
		o.close()
	} else {
		if d.open && local != d.local {
			d.sender.event("this machine reaches %s from %s now, not from %s", Target{Host: d.hostKey.host}.place(), local, d.local)
		}
		d.local, d.remote = local, remote
		d.handOver(o)
	}
	if ifi.Name == "" {
		ifi = interfaceOf(d.sender.interfaces(), local)
	}
	return d.checkLink(ifi)
}

// checkLink reports an interface without a link: sending on an unplugged one
// fails silently.
func (d *dialer) checkLink(ifi Interface) (State, error) {
	d.mu.Lock()
	d.via = ifi
	d.mu.Unlock()
	if ifi.Name != "" && !ifi.Running {
		return NoInterface, &interfaceStateError{ifi.Name, "has no link: look at its cable or its wireless network"}
	}
	return Starting, nil
}

// handOver gives a new socket to the sender.
func (d *dialer) handOver(o *sendSocket) {
	d.open = true
	o.wire.setWriteBuffer(writeBuffer)
	d.mu.Lock()
	old := d.incoming
	d.incoming = o
	d.mu.Unlock()
	old.close()
	d.news.Store(true)
	d.sender.alarm.ring()
}

// report hands over the state when it has changed.
func (d *dialer) report(s State, err error) {
	d.mu.Lock()
	was := d.verdict
	changed := s != was || s != Starting && err.Error() != d.because.Error()
	d.verdict, d.because = s, err
	d.revive = d.revive || changed && s == Starting
	d.mu.Unlock()
	if changed {
		d.news.Store(true)
		d.sender.alarm.ring()
	}
}

func (d *dialer) state() State {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.shown.state
}

// sleepFor waits for d and returns false when ctx ends first.
func sleepFor(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
		return false
	case <-t.C:
		return true
	}
}
