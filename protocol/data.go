package protocol

import "encoding/binary"

// Options are the bits of octet 112 (6.2.6).
type Options uint8

// The options; the other bits are sent as 0 and ignored when heard.
const (
	Preview    Options = 0x80 // not for live output
	Terminated Options = 0x40 // the source ends this universe; slot values mean nothing
	ForceSync  Options = 0x20 // run on unsynchronised when synchronization is lost

	knownOptions = Preview | Terminated | ForceSync
)

// Data is a data packet (table 4-1): a plain value, comparable, that shares
// nothing with the octets it was read from. Slots past Count are 0.
type Data struct {
	CID         CID        // 5.6
	Source      SourceName // 6.2.2
	Priority    uint8      // 0 to 200 (6.2.3)
	SyncAddress Universe   // 0 means not synchronised (6.2.4)
	Sequence    uint8      // 6.2.5
	Options     Options    // 6.2.6
	Universe    Universe   // 1 to 63999 (6.2.7)
	StartCode   uint8      // StartLevels for levels (7.7)
	Count       uint16     // slots, 0 to 512, the START code not among them (7.6)
	Slots       [MaxSlots]byte
}

// Levels is a view of the first Count slots.
func (d *Data) Levels() []byte { return d.Slots[:min(d.Count, MaxSlots)] }

// SetLevels copies slots in, at most 512, and clears the rest.
func (d *Data) SetLevels(slots []byte) {
	n := copy(d.Slots[:], slots)
	clear(d.Slots[n:])
	d.Count = uint16(n)
}

// Kind is KindData.
func (*Data) Kind() Kind { return KindData }

// Append is AppendData.
func (d *Data) Append(b []byte) []byte { return AppendData(b, d) }

// AppendData adds a data packet of 126 + Count octets to b and allocates
// nothing when b has room. It checks nothing: call Check first.
func AppendData(b []byte, d *Data) []byte {
	slots := d.Levels()
	total := slotsAt + len(slots)
	b = appendRoot(b, total, VectorRootData, &d.CID)
	b = binary.BigEndian.AppendUint16(b, uint16(lengthFlags|(total-framingLengthAt)))
	b = binary.BigEndian.AppendUint32(b, VectorData)
	b = append(b, d.Source[:]...)
	b = append(b, d.Priority)
	b = binary.BigEndian.AppendUint16(b, uint16(d.SyncAddress))
	b = append(b, d.Sequence, byte(d.Options))
	b = binary.BigEndian.AppendUint16(b, uint16(d.Universe))
	b = binary.BigEndian.AppendUint16(b, uint16(lengthFlags|(total-dmpLengthAt)))
	b = append(b, setProperty...)
	b = binary.BigEndian.AppendUint16(b, uint16(len(slots)+1))
	b = append(b, d.StartCode)
	return append(b, slots...)
}

// ParseData reads a data packet into d, whole or not at all: after an error,
// which is a *FieldError, d is as it was. Packets with any START code parse.
func ParseData(b []byte, d *Data) error {
	if err := checkRoot(b, VectorRootData); err != nil {
		return err
	}
	end := end(b)
	if end < MinDataSize {
		return short(b[:end], MinDataSize)
	}
	if err := checkData(b, end); err != nil {
		return err
	}
	b = b[:end]
	d.CID = CID(b[cidAt:])
	d.Source = SourceName(b[nameAt:])
	d.Priority = b[priorityAt]
	d.SyncAddress = Universe(binary.BigEndian.Uint16(b[dataSyncAt:]))
	d.Sequence = b[dataSequenceAt]
	d.Options = Options(b[optionsAt]) & knownOptions
	d.Universe = Universe(binary.BigEndian.Uint16(b[universeAt:]))
	d.StartCode = b[startCodeAt]
	if d.Count = uint16(end - slotsAt); d.Count == MaxSlots { // the usual packet: one move of known size
		d.Slots = [MaxSlots]byte(b[slotsAt:])
		return nil
	}
	clear(d.Slots[copy(d.Slots[:], b[slotsAt:]):])
	return nil
}

// checkData checks the framing and DMP layers from front to back.
func checkData(b []byte, end int) error {
	if err := checkLength(b, framingLengthAt, end, "Framing Flags and Length", "6.1"); err != nil {
		return err
	}
	if v := binary.BigEndian.Uint32(b[framingVectorAt:]); v != VectorData {
		return &FieldError{Field: "Framing Vector", Clause: "6.2.1", Octet: framingVectorAt, Got: v, Want: VectorData}
	}
	if p := b[priorityAt]; p > MaxPriority {
		return &FieldError{Field: "Priority", Clause: "6.2.3", Octet: priorityAt, Got: p, Want: "0 to 200"}
	}
	if u := Universe(binary.BigEndian.Uint16(b[dataSyncAt:])); u > LastUniverse {
		return &FieldError{Field: "Synchronization Address", Clause: "6.2.4", Octet: dataSyncAt, Got: u, Want: "0 to 63999"}
	}
	if u := Universe(binary.BigEndian.Uint16(b[universeAt:])); !u.Valid() {
		return &FieldError{Field: "Universe", Clause: "6.2.7", Octet: universeAt, Got: u, Want: "1 to 63999"}
	}
	return checkDMP(b, end)
}

// setProperty is octets 117 to 122, the same in every data packet: vector,
// address and data type, first property address, address increment (7.2-7.5).
const setProperty = "\x02\xa1\x00\x00\x00\x01"

// checkDMP checks the DMP layer, octets 115 to 124: the four fixed fields are
// compared in one go, since they hold the same values in every packet (7.2 to
// 7.5). The count must agree with the packet's length (7.6): a count of n means
// a START code and n-1 slots, so 1 to 513.
func checkDMP(b []byte, end int) error {
	if err := checkLength(b, dmpLengthAt, end, "DMP Flags and Length", "7.1"); err != nil {
		return err
	}
	if string(b[dmpVectorAt:countAt]) != setProperty {
		return refuseProperty(b)
	}
	n := int(binary.BigEndian.Uint16(b[countAt:]))
	if n < 1 || n > MaxSlots+1 {
		return &FieldError{Field: "Property value count", Clause: "7.6", Octet: countAt, Got: n, Want: "1 to 513"}
	}
	if n != end-startCodeAt {
		return &FieldError{Field: "Property value count", Clause: "7.6", Octet: countAt, Got: n, Want: end - startCodeAt}
	}
	return nil
}

// refuseProperty names the field of octets 117 to 122 that is wrong.
func refuseProperty(b []byte) error {
	if v := b[dmpVectorAt]; v != VectorSetProperty {
		return &FieldError{Field: "DMP Vector", Clause: "7.2", Octet: dmpVectorAt, Got: v, Want: VectorSetProperty}
	}
	if v := b[addressTypeAt]; v != addressType {
		return &FieldError{Field: "Address Type & Data Type", Clause: "7.3", Octet: addressTypeAt, Got: v, Want: addressType}
	}
	if v := binary.BigEndian.Uint16(b[firstAddressAt:]); v != 0 {
		return &FieldError{Field: "First Property Address", Clause: "7.4", Octet: firstAddressAt, Got: v, Want: 0}
	}
	v := binary.BigEndian.Uint16(b[incrementAt:])
	return &FieldError{Field: "Address Increment", Clause: "7.5", Octet: incrementAt, Got: v, Want: 1}
}

// Check names the first thing that a source must not send.
func (d *Data) Check() error {
	if err := checkSource(d.CID, d.Source); err != nil {
		return err
	}
	switch {
	case d.Priority > MaxPriority:
		return &FieldError{Field: "Priority", Clause: "6.2.3", Octet: priorityAt, Got: d.Priority, Want: "0 to 200"}
	case d.SyncAddress > LastUniverse:
		return &FieldError{Field: "Synchronization Address", Clause: "6.2.4", Octet: dataSyncAt, Got: d.SyncAddress, Want: "0 to 63999"}
	case d.Options&^knownOptions != 0:
		return &FieldError{Field: "Options", Clause: "6.2.6", Octet: optionsAt, Got: d.Options, Want: "no bits but 0xe0"}
	case !d.Universe.Valid():
		return &FieldError{Field: "Universe", Clause: "6.2.7", Octet: universeAt, Got: d.Universe, Want: "1 to 63999"}
	case d.Count > MaxSlots:
		return &FieldError{Field: "Property value count", Clause: "7.6", Octet: countAt, Got: int(d.Count) + 1, Want: "1 to 513"}
	}
	return nil
}
