package protocol

// A Packet is a *Data, a *Sync or a *Discovery.
type Packet interface {
	Kind() Kind
	Append(b []byte) []byte
	Check() error
}

// Parse decodes a packet of any kind into a value of its own.
func Parse(b []byte) (Packet, error) {
	d := new(Decoder)
	kind, err := d.Decode(b)
	switch {
	case err != nil:
		return nil, err
	case kind == KindData:
		return &d.Data, nil
	case kind == KindSync:
		return &d.Sync, nil
	}
	return &d.Discovery, nil
}
