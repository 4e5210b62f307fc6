// Package protocol turns ANSI E1.31-2018 packets into octets and back, and
// works out sources and conflicts from the packets heard.
//
// Units: lengths and offsets are octets of the UDP payload, counted from 0.
// Universes have the standard's numbers; slots count from 0 here. Wide numbers
// are big-endian. "6.2.3" means that clause. Nothing here reads a clock or
// opens a socket; sequence numbers and the CID are the caller's.
//
// Parsing a stranger's packet and checking ours are two calls: ParseData and
// its relatives refuse what a receiver must refuse or cannot read, with a
// FieldError; the Check methods name what we must not send. Octets after the
// end that the root layer's length gives are ignored.
package protocol

import "encoding/binary"

// A Universe is a universe number, 1 to 63999 for data (9.1.1).
type Universe uint16

// A CID names one source for its whole life (5.6).
type CID [16]byte

// A SourceName is UTF-8, NUL terminated and NUL filled (6.2.2).
type SourceName [64]byte

// A Kind distinguishes the packets of the standard.
type Kind uint8

// The kinds of packet, by root and framing vector (5.5, 6.2.1, 6.3.1, 6.4.1).
const (
	KindUnknown   Kind = iota // no E1.31 packet, or one the standard does not list
	KindData                  // vectors 4, 2
	KindSync                  // vectors 8, 1
	KindDiscovery             // vectors 8, 2
)

// String is the standard's name of the kind.
func (k Kind) String() string {
	switch k {
	case KindData:
		return "data"
	case KindSync:
		return "synchronization"
	case KindDiscovery:
		return "universe discovery"
	default:
		return "unknown"
	}
}

// KindOf reads the vectors only; a caller can then parse into a value of its
// own. The rest of b may still not parse.
func KindOf(b []byte) Kind {
	if len(b) < framingVectorAt+4 {
		return KindUnknown
	}
	root := binary.BigEndian.Uint32(b[rootVectorAt:])
	framing := binary.BigEndian.Uint32(b[framingVectorAt:])
	switch {
	case root == VectorRootData:
		return KindData
	case root == VectorRootExtended && framing == VectorSync:
		return KindSync
	case root == VectorRootExtended && framing == VectorDiscovery:
		return KindDiscovery
	default:
		return KindUnknown
	}
}

// A Decoder reads packets of all three kinds into values of its own, without
// allocating. The zero value is ready for use.
type Decoder struct {
	Data      Data
	Sync      Sync
	Discovery Discovery
}

// Decode reads b into the field that the kind names, which is valid until the
// next call. The error is a *FieldError; the field is then not valid.
func (d *Decoder) Decode(b []byte) (k Kind, err error) {
	switch k = KindOf(b); k {
	case KindData:
		err = ParseData(b, &d.Data)
	case KindSync:
		d.Sync, err = ParseSync(b)
	case KindDiscovery:
		err = ParseDiscovery(b, &d.Discovery)
	default:
		err = refuseUnknown(b)
	}
	return k, err
}

// refuseUnknown says why b is none of the three packets.
func refuseUnknown(b []byte) error {
	if err := checkRoot(b, 0); err != nil {
		return err
	}
	root := binary.BigEndian.Uint32(b[rootVectorAt:])
	if root != VectorRootExtended {
		return &FieldError{Field: "Root Vector", Clause: "5.5", Octet: rootVectorAt, Got: root, Want: "4 or 8"}
	}
	if len(b) < framingVectorAt+4 {
		return short(b, framingVectorAt+4)
	}
	got := binary.BigEndian.Uint32(b[framingVectorAt:])
	return &FieldError{Field: "Framing Vector", Clause: "6", Octet: framingVectorAt, Got: got, Want: "1 or 2"}
}
