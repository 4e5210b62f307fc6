package link

import (
	"context"
	"net/netip"
	"time"
)

// How often a host's socket is looked at: in good times, and in bad ones,
// where sending must recover within two seconds of the cause going away.
const (
	checkEvery    = time.Second
	troubleEvery  = 400 * time.Millisecond
	resolveEvery  = 30 * time.Second
	resolveAgain  = 1500 * time.Millisecond
	resolveWithin = 3 * time.Second
)

// writeBuffer has room for the packets of about 500 universes at once.
const writeBuffer = 1 << 20

// A keeper looks after one host's socket: it resolves the name, opens the
// socket, and opens it anew when the way to the host has changed. A fresh
// socket tells that by its own address, whatever happened: another network,
// another address of this machine, another default route.
type keeper struct {
	*host
	sender   *Sender
	local    netip.Addr     // of the socket in use
	remote   netip.AddrPort // the same; for multicast the index of the interface counts
	index    int
	open     bool
	address  netip.Addr // of the host
	resolved time.Time
	force    bool // open a new socket whatever the old one looks like
}

func (k *keeper) run(ctx context.Context) {
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-timer.C:
		case <-k.wake:
			if !sleepFor(ctx, troubleEvery/4) {
				return
			}
		}
		k.force = k.stale.Swap(false) || k.trouble.Load()
		state, err := k.check(ctx)
		if ctx.Err() != nil {
			return
		}
		k.report(state, err)
		timer.Reset(k.pause(state))
	}
}

func (k *keeper) pause(verdict State) time.Duration {
	if verdict != Starting || k.trouble.Load() {
		return troubleEvery
	}
	return checkEvery
}

// check makes sure of interface, address and socket, in this order, and
// returns the verdict: Starting and nil when all is well.
func (k *keeper) check(ctx context.Context) (State, error) {
	var ifi Interface
	if k.iface != "" {
		var err error
		if ifi, err = interfaceByName(k.iface); err != nil {
			return NoInterface, err
		}
		if !ifi.Up {
			return NoInterface, &interfaceDown{ifi.Name, "is switched off"}
		}
	}
	if k.place.host == "" {
		return k.checkMulticast(ctx, ifi)
	}
	if err := k.resolve(ctx); err != nil {
		return Unresolved, err
	}
	return k.checkHost(ctx, ifi)
}

func (k *keeper) checkMulticast(ctx context.Context, ifi Interface) (State, error) {
	named, local, err := ifi, netip.Addr{}, error(nil)
	if k.iface == "" {
		ifi, local, err = k.sender.multicastRoute(ctx)
		if err != nil {
			return stateOf(err), err
		}
	} else if local, err = ifi.addr(false); err != nil {
		return NoInterface, err
	}
	if !k.open || k.force || k.index != ifi.Index || k.local != local {
		o, err := openMulticast(ctx, named, local, k.sender.cfg.TTL)
		if err != nil {
			return stateOf(err), err
		}
		k.index, k.local = ifi.Index, local
		k.hand(o)
	}
	return k.cable(ifi)
}

// resolve finds the host's address. One that was found stays good when the
// name server goes away later.
func (k *keeper) resolve(ctx context.Context) error {
	age := time.Since(k.resolved)
	bad := k.force || k.state() != Sending
	if k.address.IsValid() && age < resolveEvery && !(bad && age > resolveAgain) {
		return nil
	}
	ctx, cancel := context.WithTimeout(ctx, resolveWithin)
	defer cancel()
	a, err := resolve(ctx, k.place.host, k.sender.cfg.Lookup)
	k.resolved = time.Now()
	if err != nil {
		if k.address.IsValid() {
			return nil
		}
		return err
	}
	if k.address.IsValid() && a != k.address {
		k.sender.event("%s moved from %s to %s", Target{Host: k.place.host}.place(), k.address, a)
	}
	k.address = a
	return nil
}

func (k *keeper) checkHost(ctx context.Context, ifi Interface) (State, error) {
	remote := netip.AddrPortFrom(k.address, k.port)
	if err := broadcast(k.address, k.sender.interfaces()); err != nil {
		return Unresolved, err
	}
	o, err := dial(ctx, remote, ifi)
	if err != nil {
		return stateOf(err), err
	}
	local := o.local
	if k.open && !k.force && local == k.local && remote == k.remote {
		o.close()
	} else {
		if k.open && local != k.local {
			k.sender.event("this machine reaches %s from %s now, not from %s", Target{Host: k.place.host}.place(), local, k.local)
		}
		k.local, k.remote = local, remote
		k.hand(o)
	}
	if ifi.Name == "" {
		ifi, _ = interfaceOf(k.sender.interfaces(), local)
	}
	return k.cable(ifi)
}

// cable looks whether the interface has a link at all: a send into an
// unplugged one fails silently.
func (k *keeper) cable(ifi Interface) (State, error) {
	k.mu.Lock()
	k.via = ifi
	k.mu.Unlock()
	if ifi.Name != "" && !ifi.Running {
		return NoInterface, &interfaceDown{ifi.Name, "has no link: look at its cable or its wireless network"}
	}
	return Starting, nil
}

// hand gives a new socket to the sender.
func (k *keeper) hand(o *opened) {
	k.open = true
	o.wire.udp.SetWriteBuffer(writeBuffer) // as much as the system allows
	k.mu.Lock()
	old := k.incoming
	k.incoming = o
	k.mu.Unlock()
	old.close()
	k.news.Store(true)
	k.sender.alarm.ring()
}

// report hands over the verdict when it has changed.
func (k *keeper) report(s State, err error) {
	k.mu.Lock()
	was := k.verdict
	changed := s != was || s != Starting && err.Error() != k.because.Error()
	k.verdict, k.because = s, err
	k.revive = k.revive || changed && s == Starting
	k.mu.Unlock()
	if changed {
		k.news.Store(true)
		k.sender.alarm.ring()
	}
}

func (k *keeper) state() State {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.shown.state
}

// sleepFor waits; it is false when ctx ended first.
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
