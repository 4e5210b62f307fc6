package wirecheck

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net/netip"
	"time"
)

// The classic capture file: magic number, version 2.4, then a header of 16
// octets before each packet (the format's public draft, "PCAP Capture File
// Format"). Link types from its registry.
const (
	magic       = 0xa1b2c3d4 // times in microseconds
	magicNano   = 0xa1b23c4d // times in nanoseconds
	linkEther   = 1
	linkRaw     = 101
	snapLength  = 262144
	ipv4Header  = 20
	udpHeader   = 8
	protocolUDP = 17
)

var errShort = errors.New("pcap: the file ends inside a packet")

// ReadPcap reads the UDP packets over IPv4 of a capture file in either octet
// order, with Ethernet or raw IP frames. It skips other packets.
func ReadPcap(r io.Reader) ([]Packet, error) {
	all, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("pcap: %w", err)
	}
	order, fraction, err := pcapOrder(all)
	if err != nil {
		return nil, err
	}
	link := order.Uint32(all[20:])
	if link != linkEther && link != linkRaw {
		return nil, fmt.Errorf("pcap: link type %d, want %d or %d", link, linkEther, linkRaw)
	}
	var packets []Packet
	for rest := all[24:]; len(rest) > 0; {
		if len(rest) < 16 {
			return nil, errShort
		}
		at := time.Unix(int64(order.Uint32(rest)), int64(order.Uint32(rest[4:]))*fraction)
		n := int(order.Uint32(rest[8:]))
		if n < 0 || n > len(rest)-16 {
			return nil, errShort
		}
		if p, ok := udp(rest[16:16+n], link); ok {
			p.At = at
			packets = append(packets, p)
		}
		rest = rest[16+n:]
	}
	return packets, nil
}

// pcapOrder returns the octet order, and the nanoseconds of one unit of the
// fraction of a second.
func pcapOrder(all []byte) (binary.ByteOrder, int64, error) {
	if len(all) < 24 {
		return nil, 0, errShort
	}
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		switch order.Uint32(all) {
		case magic:
			return order, 1000, nil
		case magicNano:
			return order, 1, nil
		}
	}
	return nil, 0, fmt.Errorf("pcap: magic number %x is not one of a classic capture file", all[:4])
}

// udp parses a frame; it returns false if that is no whole UDP packet over IPv4.
func udp(frame []byte, link uint32) (Packet, bool) {
	if link == linkEther {
		if len(frame) < 14 || binary.BigEndian.Uint16(frame[12:]) != 0x0800 {
			return Packet{}, false
		}
		frame = frame[14:]
	}
	if len(frame) < ipv4Header || frame[0]>>4 != 4 || frame[9] != protocolUDP {
		return Packet{}, false
	}
	header := int(frame[0]&0x0f) * 4
	if header < ipv4Header || len(frame) < header+udpHeader {
		return Packet{}, false
	}
	ports := frame[header:]
	n := int(binary.BigEndian.Uint16(ports[4:]))
	if n < udpHeader || n > len(ports) {
		return Packet{}, false
	}
	return Packet{
		From:   netip.AddrPortFrom(netip.AddrFrom4([4]byte(frame[12:])), binary.BigEndian.Uint16(ports)),
		To:     netip.AddrPortFrom(netip.AddrFrom4([4]byte(frame[16:])), binary.BigEndian.Uint16(ports[2:])),
		Octets: bytes.Clone(ports[udpHeader:n]),
	}, true
}

// WritePcap writes packets as a capture file of raw IPv4 frames. Unknown addresses
// become 127.0.0.1 port 5568.
func WritePcap(w io.Writer, packets []Packet) error {
	b := binary.LittleEndian.AppendUint32(nil, magic)
	b = binary.LittleEndian.AppendUint16(b, 2)
	b = binary.LittleEndian.AppendUint16(b, 4)
	b = append(b, make([]byte, 8)...)
	b = binary.LittleEndian.AppendUint32(b, snapLength)
	b = binary.LittleEndian.AppendUint32(b, linkRaw)
	for _, p := range packets {
		n := uint32(ipv4Header + udpHeader + len(p.Octets))
		b = binary.LittleEndian.AppendUint32(b, uint32(p.At.Unix()))
		b = binary.LittleEndian.AppendUint32(b, uint32(p.At.Nanosecond()/1000))
		b = binary.LittleEndian.AppendUint32(b, n)
		b = binary.LittleEndian.AppendUint32(b, n)
		b = appendIPv4(b, p)
	}
	_, err := w.Write(b)
	return err
}

// appendIPv4 appends IPv4 and UDP headers (RFC 791, RFC 768) and the payload. UDP
// checksum 0 means none.
func appendIPv4(b []byte, p Packet) []byte {
	from, to := known(p.From), known(p.To)
	src, dst := from.Addr().As4(), to.Addr().As4()
	h := []byte{0x45, 0, 0, 0, 0, 0, 0x40, 0, 64, protocolUDP, 0, 0}
	h = append(append(h, src[:]...), dst[:]...)
	binary.BigEndian.PutUint16(h[2:], uint16(ipv4Header+udpHeader+len(p.Octets)))
	sum := uint32(0)
	for i := 0; i < len(h); i += 2 {
		sum += uint32(binary.BigEndian.Uint16(h[i:]))
	}
	for sum > 0xffff {
		sum = sum>>16 + sum&0xffff
	}
	binary.BigEndian.PutUint16(h[10:], ^uint16(sum))
	b = append(b, h...)
	b = binary.BigEndian.AppendUint16(b, from.Port())
	b = binary.BigEndian.AppendUint16(b, to.Port())
	b = binary.BigEndian.AppendUint16(b, uint16(udpHeader+len(p.Octets)))
	return append(append(b, 0, 0), p.Octets...)
}

func known(a netip.AddrPort) netip.AddrPort {
	if !a.Addr().Unmap().Is4() {
		return netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 1}), 5568)
	}
	return netip.AddrPortFrom(a.Addr().Unmap(), a.Port())
}
