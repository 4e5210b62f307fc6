package protocol

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// octetsThatChange are those in which two packets differ; lengths may differ too.
func octetsThatChange(a, b []byte) []int {
	var at []int
	for i := range max(len(a), len(b)) {
		if i >= len(a) || i >= len(b) || a[i] != b[i] {
			at = append(at, i)
		}
	}
	return at
}

func span(from, to int) []int {
	var at []int
	for i := from; i <= to; i++ {
		at = append(at, i)
	}
	return at
}

// Every field lies where tables 4-1, 4-2 and 4-3 of ANSI E1.31-2018 put it,
// and nowhere else: a change of one changes just its octets.
func TestFieldsByOctet(t *testing.T) {
	data := func(f func(d *Data)) Packet { d := six(0, 0, 0); f(d); return d }
	sync := func(f func(s *Sync)) Packet { s := &Sync{CID: worked, Address: 7962}; f(s); return s }
	list := func(f func(d *Discovery)) Packet { d := listing(1, 2, 7962); d.Last = 9; f(d); return d }
	every := [16]byte{}
	for i := range every {
		every[i] = ^worked[i]
	}
	var name SourceName
	for i := range name {
		name[i] = 0x7a
	}
	for _, row := range []struct {
		field  string
		table  string
		base   Packet
		packet Packet
		octets []int
	}{
		{"CID", "4-1", data(func(*Data) {}), data(func(d *Data) { d.CID = every }), span(22, 37)},
		{"Source Name", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Source = name }), span(44, 107)},
		{"Priority", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Priority = 7 }), []int{108}},
		{"Synchronization Address", "4-1", data(func(*Data) {}), data(func(d *Data) { d.SyncAddress = 0x1f1a }), span(109, 110)},
		{"Sequence Number", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Sequence = 9 }), []int{111}},
		{"Options", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Options = Preview }), []int{112}},
		{"Universe", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Universe = 0x0200 }), span(113, 114)},
		{"START code", "4-1", data(func(*Data) {}), data(func(d *Data) { d.StartCode = 9 }), []int{125}},
		{"slot 1", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Slots[0] = 9 }), []int{126}},
		{"slot 6", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Slots[5] = 9 }), []int{131}},
		{"slot 512", "4-1", data(func(d *Data) { d.SetLevels(make([]byte, 512)) }),
			data(func(d *Data) { d.SetLevels(make([]byte, 512)); d.Slots[511] = 1 }), []int{637}},
		{"one slot more", "4-1", data(func(*Data) {}), data(func(d *Data) { d.Count++ }), []int{17, 39, 116, 124, 132}},
		{"CID", "4-2", sync(func(*Sync) {}), sync(func(s *Sync) { s.CID = every }), span(22, 37)},
		{"Sequence Number", "4-2", sync(func(*Sync) {}), sync(func(s *Sync) { s.Sequence = 9 }), []int{44}},
		{"Synchronization Address", "4-2", sync(func(*Sync) {}), sync(func(s *Sync) { s.Address = 0x0201 }), span(45, 46)},
		{"CID", "4-3", list(func(*Discovery) {}), list(func(d *Discovery) { d.CID = every }), span(22, 37)},
		{"Source Name", "4-3", list(func(*Discovery) {}), list(func(d *Discovery) { d.Source = name }), span(44, 107)},
		{"Page", "4-3", list(func(*Discovery) {}), list(func(d *Discovery) { d.Page = 3 }), []int{118}},
		{"Last Page", "4-3", list(func(*Discovery) {}), list(func(d *Discovery) { d.Last = 3 }), []int{119}},
		{"first universe", "4-3", list(func(*Discovery) {}), list(func(d *Discovery) { d.Universes[0] = 0x0102 }), span(120, 121)},
		{"third universe", "4-3", list(func(*Discovery) {}), list(func(d *Discovery) { d.Universes[2] = 0xf9ff }), span(124, 125)},
		{"one universe more", "4-3", list(func(*Discovery) {}), list(func(d *Discovery) { d.Count++ }), []int{17, 39, 113, 126, 127}},
	} {
		before, after := row.base.Append(nil), row.packet.Append(nil)
		require.Equal(t, row.octets, octetsThatChange(before, after), "%s (table %s)", row.field, row.table)
		back, err := Parse(after)
		require.NoError(t, err, row.field)
		require.Equal(t, row.packet, back, row.field)
	}
}

// Numbers of the standard that packets do not show (appendix A, 6.6.2, 6.7.1,
// 9.1.1), and the period that keeps below 44 Hz and below E1.11's 44.1 Hz.
func TestNumbersOfTheStandard(t *testing.T) {
	require.Equal(t, 5568, Port)
	require.Equal(t, 2.5, LossTimeout.Seconds())
	require.Equal(t, 10.0, DiscoveryInterval.Seconds())
	require.Equal(t, 0.8, KeepAliveMin.Seconds())
	require.Equal(t, 1.0, KeepAliveMax.Seconds())
	require.Less(t, 1/MinPeriod.Seconds(), 44.0)
	require.Greater(t, 1/MinPeriod.Seconds(), 43.99)
	require.Greater(t, MinPeriod.Microseconds(), int64(92+12+513*44))
}
