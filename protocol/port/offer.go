package port

import (
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"
)

const (
	renewEvery = 500 * time.Millisecond
	endAfter   = 2 * time.Second // without a renewal
	touchEvery = 30 * time.Second
	staleAfter = 2 * time.Minute // age of an offer file that is not renewed: its program was killed
	most       = 16              // subscribers of one offer
)

// An Offer is the content of the file that a Hub writes.
type Offer struct {
	At    netip.AddrPort // the address that the datagrams are sent to
	Tap   netip.AddrPort // address that subscribers send to
	Token string
	path  string // of the offer's file
}

// folder holds the user's offers, below the system's temporary folder.
func folder() string {
	return filepath.Join(os.TempDir(), fmt.Sprintf("ringout-ports-%d", os.Getuid()))
}

// Offers lists the offers of other programs for a port, from the files that can
// be read. Subscribing shows whether an offer is still valid.
func Offers(port uint16) []Offer {
	names, _ := filepath.Glob(filepath.Join(folder(), fmt.Sprintf("%d-*.json", port)))
	var out []Offer
	for _, name := range names {
		info, err := os.Stat(name)
		if err != nil {
			continue
		}
		if time.Since(info.ModTime()) > staleAfter {
			os.Remove(name)
			continue
		}
		var o Offer
		if text, err := os.ReadFile(name); err == nil && json.Unmarshal(text, &o) == nil && o.Tap.Addr().IsLoopback() {
			o.path = name
			out = append(out, o)
		}
	}
	return out
}

// A Hub sends copies of the datagrams of one socket to subscribers. A nil Hub
// does nothing.
type Hub struct {
	offer Offer
	udp   *net.UDPConn
	n     atomic.Int32 // subscribers
	mu    sync.Mutex
	subs  map[netip.AddrPort]time.Time // time of each one's last renewal
	frame []byte                       // buffer of the last copy, used again
	done  chan struct{}
}

// Open offers copies of the datagrams for an address of this machine. It
// returns nil where the system does not allow that; nothing else depends on it.
func Open(at netip.AddrPort) *Hub {
	udp, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	if err != nil {
		return nil
	}
	var token [16]byte
	rand.Read(token[:])
	h := &Hub{udp: udp, subs: map[netip.AddrPort]time.Time{}, done: make(chan struct{})}
	h.offer = Offer{At: at, Tap: udp.LocalAddr().(*net.UDPAddr).AddrPort(), Token: hex.EncodeToString(token[:])}
	if err := h.offer.write(); err != nil {
		udp.Close()
		return nil
	}
	go h.run()
	return h
}

// write writes the file under another name and renames it: a reader must never
// see half of it.
func (o *Offer) write() error {
	if err := os.MkdirAll(folder(), 0o700); err != nil {
		return err
	}
	text, err := json.Marshal(o)
	if err != nil {
		return err
	}
	o.path = filepath.Join(folder(), fmt.Sprintf("%d-%d.json", o.At.Port(), o.Tap.Port()))
	if err := os.WriteFile(o.path+".new", text, 0o600); err != nil {
		return err
	}
	return os.Rename(o.path+".new", o.path)
}

// The types of message between hub and subscriber: the first octet of each datagram.
const (
	wordAsk  = 'S' // request or renewal, then the token
	wordYes  = 'Y' // the request is granted
	wordCopy = 'C' // then 18 octets of address and port, then the datagram
	wordEnd  = 'E' // the offer is withdrawn
)

// headLen is the length of the head of a copy, in octets: type, address, port.
const headLen = 1 + 16 + 2

// run answers subscribers until Close.
func (h *Hub) run() {
	defer close(h.done)
	buf := make([]byte, 256)
	touched := time.Now()
	for {
		h.udp.SetReadDeadline(time.Now().Add(renewEvery))
		n, from, err := h.udp.ReadFromUDPAddrPort(buf)
		now := time.Now()
		if err == nil && n > 1 && buf[0] == wordAsk && string(buf[1:n]) == h.offer.Token && h.admit(from, now) {
			h.udp.WriteToUDPAddrPort([]byte{wordYes}, from)
		}
		if isClosed(err) {
			return
		}
		h.expire(now)
		if now.Sub(touched) > touchEvery {
			os.Chtimes(h.offer.path, now, now)
			touched = now
		}
	}
}

func (h *Hub) admit(from netip.AddrPort, now time.Time) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	if _, known := h.subs[from]; !known && len(h.subs) >= most {
		return false
	}
	h.subs[from] = now
	h.n.Store(int32(len(h.subs)))
	return true
}

func (h *Hub) expire(now time.Time) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for sub, renewed := range h.subs {
		if now.Sub(renewed) > endAfter {
			delete(h.subs, sub)
		}
	}
	h.n.Store(int32(len(h.subs)))
}

// Pass sends a copy of a datagram from a sender to every subscriber. Without
// subscribers it only reads one counter.
func (h *Hub) Pass(from netip.AddrPort, octets []byte) {
	if h == nil || h.n.Load() == 0 {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.frame = append(h.frame[:0], wordCopy)
	a := from.Addr().As16()
	h.frame = append(h.frame, a[:]...)
	h.frame = append(h.frame, byte(from.Port()>>8), byte(from.Port()))
	h.frame = append(h.frame, octets...)
	for sub := range h.subs {
		h.udp.WriteToUDPAddrPort(h.frame, sub) // a subscriber that has gone expires after endAfter
	}
}

// IsOwn reports whether an offer is that of this hub.
func (h *Hub) IsOwn(o Offer) bool { return h != nil && h.offer.Token == o.Token }

// Close withdraws the offer and notifies the subscribers, which may then bind the port.
// The caller must close its own socket on the port first.
func (h *Hub) Close() {
	if h == nil {
		return
	}
	os.Remove(h.offer.path)
	h.mu.Lock()
	for sub := range h.subs {
		h.udp.WriteToUDPAddrPort([]byte{wordEnd}, sub)
	}
	h.mu.Unlock()
	h.udp.Close()
	<-h.done
}
