package protocol

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNameOf(t *testing.T) {
	for _, row := range []struct{ in, want string }{
		{"bench", "bench"},
		{"", ""},
		{strings.Repeat("x", 63), strings.Repeat("x", 63)},
		{strings.Repeat("x", 64), strings.Repeat("x", 63)},
		{strings.Repeat("x", 62) + "ä", strings.Repeat("x", 62)}, // two octets do not fit
		{strings.Repeat("x", 61) + "ä", strings.Repeat("x", 61) + "ä"},
		{strings.Repeat("x", 60) + "灯", strings.Repeat("x", 60) + "灯"},
		{strings.Repeat("x", 61) + "灯", strings.Repeat("x", 61)},
		{"one\x00two", "one"},
		{"bad\xffutf", "badutf"},
	} {
		require.Equal(t, row.want, NameOf(row.in).String(), "%q", row.in)
	}
}

// 6.2.2: always NUL terminated and filled, always UTF-8, never more than 63
// octets, never a character cut in two.
// The limit is the standard's 64 octets less the NUL: ANSI E1.31-2018 6.2.2.
func TestCheckName(t *testing.T) {
	for _, row := range []struct{ name, in, want string }{
		{"usual", "ringout bench", ""},
		{"63 octets", strings.Repeat("x", 63), ""},
		{"64 octets", strings.Repeat("x", 64), "the source name has 64 bytes and at most 63 fit: shorten it"},
		{"31 letters of two octets and one", strings.Repeat("ö", 31) + "x", ""},
		{"32 letters of two octets", strings.Repeat("ö", 32), "has 64 bytes and at most 63 fit"},
		{"21 letters of three octets", strings.Repeat("灯", 21), ""},
		{"22 letters of three octets", strings.Repeat("灯", 22), "has 66 bytes"},
		{"nothing", "", "the source name is empty: give one"},
		{"blank", "  ", "the source name is empty: give one"},
		{"not UTF-8", "a\xffb", "is not UTF-8"},
		{"NUL inside", "a\x00b", "signs that cannot be shown"},
		{"escape", "a\x1b[31m", "signs that cannot be shown"},
		{"space at the end", "bench ", "spaces around it"},
	} {
		t.Run(row.name, func(t *testing.T) {
			err := CheckName(row.in)
			if row.want == "" {
				require.NoError(t, err)
				require.Equal(t, row.in, NameOf(row.in).String(), "what is accepted goes out whole")
				return
			}
			require.ErrorContains(t, err, row.want)
		})
	}
}

func TestNameOfProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.String().Draw(t, "in")
		n := NameOf(in)
		s := n.String()
		require.LessOrEqual(t, len(s), MaxNameText)
		require.True(t, utf8.ValidString(s))
		require.True(t, strings.HasPrefix(in, s))
		require.Equal(t, strings.Repeat("\x00", 64-len(s)), string(n[len(s):]))
		require.NoError(t, checkSource(worked, n))
	})
}

func TestPrintable(t *testing.T) {
	for _, row := range []struct{ in, want string }{
		{"Fähre 灯 3", "Fähre 灯 3"},
		{"\x1b[2J\x1b]0;x\x07", "[2J]0;x"},
		{"a\u009b31mb", "a31mb"},                 // C1: one-character escape
		{"a\u202eb\u2066c\u200fd", "abcd"},       // bidirectional overrides, isolates, marks
		{"a\u200bb\ufeffc\u2028d\n\te", "abcde"}, // invisible, line separators
		{"a\u00a0b\u3000c", "a b c"},             // other spaces
		{"\xff\xfe", "\ufffd\ufffd"},
		{"  padded  ", "padded"},
		{"\ue000\U000f0000", ""}, // private use
	} {
		require.Equal(t, row.want, Printable(row.in), "%q", row.in)
	}
}

func TestPrintableProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := string(rapid.SliceOf(rapid.Byte()).Draw(t, "octets")) + rapid.String().Draw(t, "text")
		out := Printable(in)
		require.True(t, utf8.ValidString(out))
		for _, r := range out {
			require.False(t, unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs, unicode.Zl, unicode.Zp), "%q", r)
		}
		require.Equal(t, out, Printable(out))
	})
}

func TestCID(t *testing.T) {
	const text = "00112233-4455-6677-8899-aabbccddeeff" // as tshark prints the worked packet's
	require.Equal(t, text, worked.String())
	back, err := ParseCID(strings.ToUpper(text))
	require.NoError(t, err)
	require.Equal(t, worked, back)
	for _, bad := range []string{"", "00112233", strings.ReplaceAll(text, "-", "x"), text + "0", "g" + text[1:], "0011223344556677-8899-aabbccddeeff-00"} {
		_, err := ParseCID(bad)
		require.ErrorContains(t, err, "is not a UUID")
	}
}

// RFC 4122 4.4: version 4 in octet 6, variant 10 in octet 8, the rest random.
func TestNewCID(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var random [16]byte
		copy(random[:], rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(t, "random"))
		c := NewCID(random)
		require.Equal(t, byte('4'), c.String()[14])
		require.Contains(t, "89ab", c.String()[19:20])
		require.Equal(t, random[:6], c[:6])
		require.Equal(t, random[9:], c[9:])
		back, err := ParseCID(c.String())
		require.NoError(t, err)
		require.Equal(t, c, back)
	})
}

// ANSI E1.31-2018 9.3.1, table 9-10; RFC 1112 6.4 is left to the system.
func TestGroup(t *testing.T) {
	for u, want := range map[Universe]string{
		1: "239.255.0.1", 2: "239.255.0.2", 255: "239.255.0.255", 256: "239.255.1.0", 257: "239.255.1.1",
		7962: "239.255.31.26", 63999: "239.255.249.255", DiscoveryGroup: "239.255.250.214",
	} {
		require.Equal(t, want, u.Group().String())
		require.True(t, u.Group().IsMulticast())
	}
	for u, ok := range map[Universe]bool{0: false, 1: true, 63999: true, 64000: false, DiscoveryGroup: false, 65535: false} {
		require.Equal(t, ok, u.Valid(), "%d", u)
	}
}

func TestCIDInJSON(t *testing.T) {
	text, err := json.Marshal(map[string]any{"cid": worked, "state": Finished})
	require.NoError(t, err)
	require.JSONEq(t, `{"cid":"00112233-4455-6677-8899-aabbccddeeff","state":"ended"}`, string(text))
	var back struct {
		CID   CID
		State StreamState
	}
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, worked, back.CID)
	require.Equal(t, Finished, back.State)
	require.Error(t, json.Unmarshal([]byte(`{"cid":"x"}`), &back))
	require.Error(t, json.Unmarshal([]byte(`{"state":"asleep"}`), &back))
}
