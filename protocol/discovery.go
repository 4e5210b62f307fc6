package protocol

import (
	"encoding/binary"
	"fmt"
)

// Discovery is one page of a source's list of universes (table 4-3). Heard
// lists may hold numbers out of order or out of range; Check refuses both.
type Discovery struct {
	CID       CID                // 5.6
	Source    SourceName         // 6.4.2
	Page      uint8              // counts from 0 (8.3)
	Last      uint8              // number of the last page (8.4)
	Count     uint16             // universes on this page, 0 to 512
	Universes [PageSize]Universe // ascending; those past Count are 0 (8.5)
}

// List is a view of the first Count universes.
func (d *Discovery) List() []Universe { return d.Universes[:min(d.Count, PageSize)] }

// SetList copies the universes of one page in, at most 512.
func (d *Discovery) SetList(us []Universe) {
	n := copy(d.Universes[:], us)
	clear(d.Universes[n:])
	d.Count = uint16(n)
}

// Pages is how many pages n universes need: an empty list needs one (8.4).
func Pages(n int) int { return max(1, (n+PageSize-1)/PageSize) }

// Kind is KindDiscovery.
func (*Discovery) Kind() Kind { return KindDiscovery }

// Append is AppendDiscovery.
func (d *Discovery) Append(b []byte) []byte { return AppendDiscovery(b, d) }

// AppendDiscovery adds a discovery packet of 120 + 2*Count octets to b.
func AppendDiscovery(b []byte, d *Discovery) []byte {
	list := d.List()
	total := listAt + 2*len(list)
	b = appendRoot(b, total, VectorRootExtended, &d.CID)
	b = binary.BigEndian.AppendUint16(b, uint16(lengthFlags|(total-framingLengthAt)))
	b = binary.BigEndian.AppendUint32(b, VectorDiscovery)
	b = append(b, d.Source[:]...)
	b = append(b, 0, 0, 0, 0) // reserved (6.4.3)
	b = binary.BigEndian.AppendUint16(b, uint16(lengthFlags|(total-listLengthAt)))
	b = binary.BigEndian.AppendUint32(b, VectorList)
	b = append(b, d.Page, d.Last)
	for _, u := range list {
		b = binary.BigEndian.AppendUint16(b, uint16(u))
	}
	return b
}

// ParseDiscovery reads a discovery packet into d, whole or not at all. The
// error is a *FieldError.
func ParseDiscovery(b []byte, d *Discovery) error {
	if err := checkRoot(b, VectorRootExtended); err != nil {
		return err
	}
	end := end(b)
	if end < MinDiscovery {
		return short(b[:end], MinDiscovery)
	}
	if err := checkDiscovery(b, end); err != nil {
		return err
	}
	d.CID = CID(b[cidAt:])
	d.Source = SourceName(b[nameAt:])
	d.Page, d.Last = b[pageAt], b[lastPageAt]
	n := (end - listAt) / 2
	for i := range n {
		d.Universes[i] = Universe(binary.BigEndian.Uint16(b[listAt+2*i:]))
	}
	clear(d.Universes[n:])
	d.Count = uint16(n)
	return nil
}

// checkDiscovery checks the framing and the universe discovery layer (6.4, 8).
// The reserved octets 108 to 111 are not checked: a receiver ignores them
// (6.4.3).
func checkDiscovery(b []byte, end int) error {
	if err := checkLength(b, framingLengthAt, end, "Framing Flags and Length", "6.1"); err != nil {
		return err
	}
	if v := binary.BigEndian.Uint32(b[framingVectorAt:]); v != VectorDiscovery {
		return &FieldError{Field: "Framing Vector", Clause: "6.4.1", Octet: framingVectorAt, Got: v, Want: VectorDiscovery}
	}
	if err := checkLength(b, listLengthAt, end, "Universe Discovery Flags and Length", "8.1"); err != nil {
		return err
	}
	if v := binary.BigEndian.Uint32(b[listVectorAt:]); v != VectorList {
		return &FieldError{Field: "Universe Discovery Vector", Clause: "8.2", Octet: listVectorAt, Got: v, Want: VectorList}
	}
	if b[pageAt] > b[lastPageAt] {
		return refusePage(b[pageAt], b[lastPageAt])
	}
	if n := end - listAt; n%2 != 0 || n > 2*PageSize {
		return &FieldError{Field: "List of Universes", Clause: "8.5", Octet: listAt,
			Got: fmt.Sprintf("%d octets", n), Want: "an even number, 0 to 1024"}
	}
	return nil
}

// refusePage refuses a page past the last one. Pages count from 0 (8.3, 8.4).
func refusePage(page, last uint8) error {
	return &FieldError{Field: "Page", Clause: "8.3", Octet: pageAt, Got: page, Want: fmt.Sprintf("0 to the last page, %d", last)}
}

// Check names the first thing that a source must not send.
func (d *Discovery) Check() error {
	if err := checkSource(d.CID, d.Source); err != nil {
		return err
	}
	if d.Page > d.Last {
		return refusePage(d.Page, d.Last)
	}
	if d.Count > PageSize {
		return &FieldError{Field: "List of Universes", Clause: "8.1", Octet: listAt, Got: d.Count, Want: "0 to 512 universes"}
	}
	var before Universe
	for i, u := range d.List() {
		if !u.Valid() || u <= before {
			return &FieldError{Field: "List of Universes", Clause: "8.5", Octet: listAt + 2*i, Got: u,
				Want: fmt.Sprintf("more than %d, at most 63999", before)}
		}
		before = u
	}
	return nil
}
