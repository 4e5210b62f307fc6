package protocol

import (
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// NewCID makes a version 4 UUID (RFC 4122 4.4) of 16 random octets.
func NewCID(random [16]byte) CID {
	c := CID(random)
	c[6] = c[6]&0x0f | 0x40 // version 4
	c[8] = c[8]&0x3f | 0x80 // the variant of RFC 4122
	return c
}

// String is the UUID's text, for instance
// 00112233-4455-6677-8899-aabbccddeeff (RFC 4122 3).
func (c CID) String() string {
	var b [36]byte
	at := 0
	for i, part := range [][]byte{c[0:4], c[4:6], c[6:8], c[8:10], c[10:16]} {
		if i > 0 {
			b[at] = '-'
			at++
		}
		hex.Encode(b[at:], part)
		at += 2 * len(part)
	}
	return string(b[:])
}

// ParseCID reads a UUID's text: 36 characters, hex digits of either case.
func ParseCID(s string) (CID, error) {
	var c CID
	ok := len(s) == 36 && s[8] == '-' && s[13] == '-' && s[18] == '-' && s[23] == '-'
	if ok {
		digits := s[:8] + s[9:13] + s[14:18] + s[19:23] + s[24:]
		_, err := hex.Decode(c[:], []byte(digits))
		ok = err == nil
	}
	if !ok {
		return CID{}, fmt.Errorf("CID %q is not a UUID: write it as 00112233-4455-6677-8899-aabbccddeeff", s)
	}
	return c, nil
}

// MarshalText is String, so that JSON and TOML hold the UUID's text.
func (c CID) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText is ParseCID.
func (c *CID) UnmarshalText(text []byte) (err error) {
	*c, err = ParseCID(string(text))
	return err
}

// CheckName says in one sentence why a text cannot be a source name. A name is
// UTF-8, at most 63 octets before the NUL (6.2.2), and printable on a
// receiver's screen; NameOf would shorten any other text.
func CheckName(s string) error {
	switch {
	case strings.TrimSpace(s) == "":
		return errors.New("the source name is empty: give one of 1 to 63 bytes, such as \"ringout bench\"")
	case !utf8.ValidString(s):
		return errors.New("the source name is not UTF-8: write it again")
	case len(s) > MaxNameText:
		return fmt.Errorf("the source name has %d bytes and at most %d fit: shorten it (letters beyond plain English take 2 to 4 bytes each)", len(s), MaxNameText)
	case Printable(s) != s:
		return fmt.Errorf("the source name %q has spaces around it or signs that cannot be shown: take them out", s)
	}
	return nil
}

// NameOf encodes a name: at most 63 octets, cut before a character that would
// not fit, since the last octet is always NUL (6.2.2). The name ends at a NUL
// in s, and octets that are not UTF-8 are left out.
func NameOf(s string) SourceName {
	s, _, _ = strings.Cut(s, "\x00")
	s = strings.ToValidUTF8(s, "")
	if len(s) > MaxNameText {
		n := MaxNameText
		for !utf8.RuneStart(s[n]) {
			n--
		}
		s = s[:n]
	}
	var name SourceName
	copy(name[:], s)
	return name
}

// String is the text before the first NUL, as it came: it may hold control
// characters, so show Printable instead.
func (n SourceName) String() string {
	s, _, _ := strings.Cut(string(n[:]), "\x00")
	return s
}

// Printable is the name made safe for a terminal.
func (n SourceName) Printable() string { return Printable(n.String()) }

// Printable makes text from the network safe for a terminal: it leaves out
// control characters (C0, DEL, C1), bidirectional overrides and other invisible
// format characters, line separators and private use; other spaces become plain
// ones, and octets that are not UTF-8 become U+FFFD.
func Printable(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsPrint(r):
			return r
		case unicode.Is(unicode.Zs, r):
			return ' '
		default:
			return -1
		}
	}, s)
	return strings.TrimSpace(s)
}

// checkSource names what is wrong with a source's own two fields.
func checkSource(c CID, n SourceName) error {
	if err := checkCID(c); err != nil {
		return err
	}
	if n[len(n)-1] != 0 || !utf8.ValidString(n.String()) {
		return &FieldError{Field: "Source Name", Clause: "6.2.2", Octet: nameAt, Got: fmt.Sprintf("%q", n.String()),
			Want: "UTF-8, at most 63 octets, then NUL"}
	}
	return nil
}

// checkCID refuses a CID of zeros. A CID is a UUID as RFC 4122 has it, the same
// for all that a component sends, and kept over restarts (5.6).
func checkCID(c CID) error {
	if c == (CID{}) {
		return &FieldError{Field: "CID", Clause: "5.6", Octet: cidAt, Got: c, Want: "a UUID that is not all 0"}
	}
	return nil
}
