package protocol

import "encoding/binary"

// Sync is a synchronization packet (table 4-2): receivers that hold data for
// its address act on it now.
type Sync struct {
	CID      CID      // 5.6
	Sequence uint8    // counted separately from that of the data (6.3.2)
	Address  Universe // 1 to 63999; sent by multicast only to this universe's group (6.3.3)
}

// Kind is KindSync.
func (*Sync) Kind() Kind { return KindSync }

// Append is AppendSync.
func (s *Sync) Append(b []byte) []byte { return AppendSync(b, *s) }

// AppendSync adds a synchronization packet of 49 octets to b.
func AppendSync(b []byte, s Sync) []byte {
	b = appendRoot(b, SyncSize, VectorRootExtended, &s.CID)
	b = binary.BigEndian.AppendUint16(b, lengthFlags|(SyncSize-framingLengthAt))
	b = binary.BigEndian.AppendUint32(b, VectorSync)
	b = append(b, s.Sequence)
	b = binary.BigEndian.AppendUint16(b, uint16(s.Address))
	return append(b, 0, 0) // reserved (6.3.4)
}

// ParseSync reads a synchronization packet. Address 0, which a receiver
// ignores (6.3.3), is refused. The error is a *FieldError.
func ParseSync(b []byte) (Sync, error) {
	if err := checkRoot(b, VectorRootExtended); err != nil {
		return Sync{}, err
	}
	end := end(b)
	if end < SyncSize {
		return Sync{}, short(b[:end], SyncSize)
	}
	if end > SyncSize {
		return Sync{}, &FieldError{Field: "Root Flags and Length", Clause: "5.4", Octet: rootLengthAt,
			Got: end - rootLengthAt, Want: SyncSize - rootLengthAt}
	}
	if err := checkLength(b, framingLengthAt, end, "Framing Flags and Length", "6.1"); err != nil {
		return Sync{}, err
	}
	if v := binary.BigEndian.Uint32(b[framingVectorAt:]); v != VectorSync {
		return Sync{}, &FieldError{Field: "Framing Vector", Clause: "6.3.1", Octet: framingVectorAt, Got: v, Want: VectorSync}
	}
	s := Sync{CID: CID(b[cidAt:]), Sequence: b[syncSequenceAt], Address: Universe(binary.BigEndian.Uint16(b[syncAddressAt:]))}
	if err := s.checkAddress(); err != nil {
		return Sync{}, err
	}
	return s, nil
}

// checkAddress refuses 0 and what lies past 63999: 0 in a data packet means
// "not synchronized" (6.2.4), so a synchronization packet for it has no meaning
// and is ignored (6.3.3).
func (s *Sync) checkAddress() error {
	if !s.Address.Valid() {
		return &FieldError{Field: "Synchronization Address", Clause: "6.3.3", Octet: syncAddressAt, Got: s.Address, Want: "1 to 63999"}
	}
	return nil
}

// Check names the first thing that a source must not send.
func (s *Sync) Check() error {
	if err := checkCID(s.CID); err != nil {
		return err
	}
	return s.checkAddress()
}
