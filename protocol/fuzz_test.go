package protocol

import (
	"bytes"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// seed gives a fuzz target the worked packets, those of other libraries and
// the malformed ones.
func seed(f *testing.F) {
	for _, row := range golden {
		f.Add(packetFile(f, row.name))
	}
	for _, row := range malformedRows(f) {
		f.Add(row.octets)
	}
	f.Add(readCapture(f, "sacn")[0].Octets)
	f.Add(readCapture(f, "e131")[0].Octets)
}

// canonical is b without what a parser ignores.
func canonical(b []byte, k Kind) []byte {
	b = bytes.Clone(b[:end(b)])
	switch k {
	case KindData:
		b[112] &= 0xe0
	case KindSync:
		b[47], b[48] = 0, 0
	case KindDiscovery:
		copy(b[108:112], []byte{0, 0, 0, 0})
	}
	return b
}

// What is accepted re-encodes to the same octets, but for those a receiver
// ignores; what is refused is refused by a FieldError within the packet.
func FuzzParse(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := Parse(b)
		if err != nil {
			requireFieldError(t, b, err)
			return
		}
		require.Equal(t, KindOf(b), p.Kind())
		require.Equal(t, canonical(b, p.Kind()), p.Append(nil))
	})
}

func requireFieldError(t *testing.T, b []byte, err error) {
	t.Helper()
	var field *FieldError
	require.ErrorAs(t, err, &field)
	require.Less(t, field.Octet, max(1, len(b)))
	require.NotEmpty(t, field.Clause)
	require.NotEqual(t, field.Got, field.Want)
}

func FuzzParseData(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, b []byte) {
		var d, again Data
		if err := ParseData(b, &d); err != nil {
			requireFieldError(t, b, err)
			require.Zero(t, d)
			return
		}
		require.LessOrEqual(t, len(d.Levels()), MaxSlots)
		require.NoError(t, ParseData(AppendData(nil, &d), &again))
		require.True(t, d == again)
		require.Equal(t, canonical(b, KindData), NewTemplate(&d).Next(d.Sequence, d.Options))
	})
}

func FuzzParseSync(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, b []byte) {
		s, err := ParseSync(b)
		if err != nil {
			requireFieldError(t, b, err)
			return
		}
		again, err := ParseSync(AppendSync(nil, s))
		require.NoError(t, err)
		require.Equal(t, s, again)
	})
}

func FuzzParseDiscovery(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, b []byte) {
		var d, again Discovery
		if err := ParseDiscovery(b, &d); err != nil {
			requireFieldError(t, b, err)
			require.Zero(t, d)
			return
		}
		require.NoError(t, ParseDiscovery(AppendDiscovery(nil, &d), &again))
		require.True(t, d == again)
	})
}

// FuzzTracker plays a script of packets: every four octets of it choose a
// packet, change one octet of it, and let time pass.
func FuzzTracker(f *testing.F) {
	f.Add([]byte{0, 0, 0, 1, 1, 111, 1, 1, 2, 112, 0x40, 1, 3, 44, 1, 200, 4, 118, 0, 255})
	f.Add(bytes.Repeat([]byte{0, 111, 1, 3}, 40))
	f.Add(bytes.Repeat([]byte{2, 22, 7, 30, 3, 45, 7, 90}, 20))
	var packets [][]byte
	for _, row := range golden {
		packets = append(packets, packetFile(f, row.name))
	}
	f.Fuzz(func(t *testing.T, script []byte) {
		w := newWire(t)
		for ; len(script) >= 4; script = script[4:] {
			b := bytes.Clone(packets[int(script[0])%len(packets)])
			b[int(script[1])%len(b)] += script[2]
			w.wait(time.Duration(script[3]) * 20 * time.Millisecond)
			w.hear(netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 0, 0, script[0] >> 6}), 5568), b)
		}
		w.requireBooks()
		r := w.trk.Report(w.now)
		require.Equal(t, r.Counts.Datagrams, r.Counts.Data+r.Counts.Sync+r.Counts.Discovery+r.Counts.Malformed)
		w.wait(ForgetAfter)
		w.wait(ForgetAfter)
		require.Empty(t, w.trk.Report(w.now).Sources)
		require.Empty(t, w.trk.addresses)
	})
}
