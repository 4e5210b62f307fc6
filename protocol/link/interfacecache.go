package link

import (
	"context"
	"net/netip"
	"sync"
	"sync/atomic"
	"time"

	"example.org/ringout/protocol"
)

// interfaceCache holds the list of this machine's interfaces, read once a
// second.
type interfaceCache struct {
	old  atomic.Bool // something has changed since the list was read
	mu   sync.Mutex
	at   time.Time
	list []Interface
}

func (s *Sender) interfaces() []Interface {
	s.cache.mu.Lock()
	defer s.cache.mu.Unlock()
	if s.cache.old.Swap(false) || time.Since(s.cache.at) > maintainEvery {
		if list, err := Interfaces(); err == nil {
			s.cache.list, s.cache.at = list, time.Now()
		}
	}
	return s.cache.list
}

// multicastRoute returns the interface that the system's routes choose for
// groups, and this machine's address there.
func (s *Sender) multicastRoute(ctx context.Context) (Interface, netip.Addr, error) {
	to := netip.AddrPortFrom(protocol.Universe(1).Group(), protocol.Port)
	o, err := dial(ctx, to, Interface{})
	if err != nil {
		return Interface{}, netip.Addr{}, err
	}
	defer o.close()
	ifi := interfaceOf(s.interfaces(), o.local)
	return ifi, o.local, nil
}
