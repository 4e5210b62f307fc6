package port

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"os"
	"sync"
	"time"
)

// Copies is a subscription to an offer.
type Copies struct {
	Offer Offer
	UDP   *net.UDPConn // delivers the frames for Unwrap; closed when the subscription ends

	mu      sync.Mutex
	renewed time.Time // when the hub answered last
	closed  chan struct{}
	once    sync.Once
	wg      sync.WaitGroup
}

// answerWithin is how long a hub may take to answer the first time.
const answerWithin = 300 * time.Millisecond

// Subscribe asks for copies and waits for the answer. It fails if the offer is
// no longer valid.
func Subscribe(o Offer) (*Copies, error) {
	udp, err := net.DialUDP("udp4", nil, net.UDPAddrFromAddrPort(o.Tap))
	if err != nil {
		return nil, fmt.Errorf("no way to the program that has port %d: %w", o.At.Port(), err)
	}
	c := &Copies{Offer: o, UDP: udp, closed: make(chan struct{})}
	if err := c.ask(); err != nil {
		udp.Close()
		return nil, fmt.Errorf("the program that has port %d does not answer: %w", o.At.Port(), err)
	}
	c.wg.Go(c.renew)
	return c, nil
}

func (c *Copies) ask() error {
	if _, err := c.UDP.Write(append([]byte{wordAsk}, c.Offer.Token...)); err != nil {
		return err
	}
	c.UDP.SetReadDeadline(time.Now().Add(answerWithin))
	defer c.UDP.SetReadDeadline(time.Time{})
	var buf [2048]byte
	n, err := c.UDP.Read(buf[:])
	if err != nil {
		return err
	}
	if n == 0 || buf[0] == wordEnd {
		return errors.New("it is about to end")
	}
	c.renewed = time.Now()
	return nil
}

// renew repeats the request every half second, and ends the subscription when
// the hub has gone.
func (c *Copies) renew() {
	tick := time.NewTicker(renewEvery)
	defer tick.Stop()
	for {
		select {
		case <-c.closed:
			return
		case <-tick.C:
		}
		_, err := c.UDP.Write(append([]byte{wordAsk}, c.Offer.Token...))
		c.mu.Lock()
		silent := time.Since(c.renewed) > endAfter
		c.mu.Unlock()
		if err != nil || silent {
			c.end()
			return
		}
	}
}

// Unwrap reads a frame that came in on UDP and returns the copied datagram: its sender
// and its octets, which share memory with frame. ok is false for a frame that is not a
// copy.
func (c *Copies) Unwrap(frame []byte) (from netip.AddrPort, octets []byte, ok bool) {
	if len(frame) == 0 {
		return from, nil, false
	}
	switch frame[0] {
	case wordYes:
		c.mu.Lock()
		c.renewed = time.Now()
		c.mu.Unlock()
	case wordEnd:
		c.end()
	case wordCopy:
		return unwrap(frame)
	}
	return from, nil, false
}

func unwrap(frame []byte) (from netip.AddrPort, octets []byte, ok bool) {
	if len(frame) < headLen {
		return from, nil, false
	}
	a := netip.AddrFrom16([16]byte(frame[1:17])).Unmap()
	return netip.AddrPortFrom(a, uint16(frame[17])<<8|uint16(frame[18])), frame[headLen:], true
}

// Failed ends the subscription after a read error other than a timeout. If the hub was
// killed, reads fail with ECONNREFUSED (udp(7)).
func (c *Copies) Failed(err error) {
	if err != nil && !errors.Is(err, os.ErrDeadlineExceeded) {
		c.end()
	}
}

// Ended reports whether the subscription has ended.
func (c *Copies) Ended() bool {
	select {
	case <-c.closed:
		return true
	default:
		return false
	}
}

func (c *Copies) end() {
	c.once.Do(func() {
		close(c.closed)
		c.UDP.Close()
	})
}

// Close ends the subscription.
func (c *Copies) Close() {
	c.end()
	c.wg.Wait()
}

func isClosed(err error) bool { return errors.Is(err, net.ErrClosed) }
