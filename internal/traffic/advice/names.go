package advice

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
)

// Called is the source's name in quotes and its address. A quotation mark in
// the name stays only inside a word, so that a name can neither end its quotes
// nor add an address after them.
func Called(s *protocol.SourceReport) string {
	name := "a source without a name"
	if n := Quoted(s.Name); n != "" {
		name = n
	}
	if !s.From.IsValid() {
		return name
	}
	if s.From.Addr().IsUnspecified() { // as some systems write on their own loopback
		return name + " on this machine"
	}
	return name + " at " + s.From.Addr().Unmap().String()
}

// Quoted is a name of the network in single quotes; empty if it has none.
func Quoted(name string) string {
	if name = Plain(name); name == "" {
		return ""
	}
	return "'" + name + "'"
}

// quotes are the characters that look like the quotes around a name.
const quotes = "'`´‘’‚‛′ʹʻʼʽˈ＇‹›"

// Plain removes quotation marks from a name, except inside a word (Anna's), and
// repeated spaces: it must read as one name in a sentence and in a column.
func Plain(name string) string {
	rs := []rune(protocol.Printable(name))
	var b strings.Builder
	for i, r := range rs {
		if !strings.ContainsRune(quotes, r) {
			b.WriteRune(r)
		} else if i > 0 && i+1 < len(rs) && unicode.IsLetter(rs[i-1]) && unicode.IsLetter(rs[i+1]) {
			b.WriteRune('’')
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// address is the source's address alone, for a remedy; "the sender on this machine"
// where it has none.
func address(s *protocol.SourceReport) string {
	if !s.From.IsValid() || s.From.Addr().IsUnspecified() {
		return "the sender on this machine"
	}
	return s.From.Addr().Unmap().String()
}

// Capital makes the first letter of a sentence a capital.
func Capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// names lists sources, at most four.
func names(r *protocol.Report, cs []protocol.CID) string {
	var parts []string
	for _, c := range cs {
		if s := r.Source(c); s != nil {
			parts = append(parts, Called(s))
		}
	}
	slices.Sort(parts)
	if len(parts) > 4 {
		parts = append(parts[:4], fmt.Sprintf("and %d more", len(parts)-4))
	}
	return strings.Join(parts, ", ")
}

// hosts lists the addresses that a stream was heard from recently; with their
// ports where one computer sends from several.
func hosts(st *protocol.StreamReport) string {
	var hosts []string
	for _, a := range st.Addresses {
		hosts = append(hosts, a.Addr().Unmap().String())
	}
	slices.Sort(hosts)
	if len(slices.Compact(slices.Clone(hosts))) < len(hosts) {
		hosts = hosts[:0]
		for _, a := range st.Addresses {
			hosts = append(hosts, a.String())
		}
		slices.Sort(hosts)
	}
	return strings.Join(hosts, " and ")
}

// mostNamed is how many universes or stretches of them a sentence names.
const mostNamed = 6

// Named is an ascending list in words: universe 3; universes 3, 4 and 7 to 12.
func Named(us []protocol.Universe) string {
	if len(us) == 1 {
		return fmt.Sprintf("universe %d", us[0])
	}
	parts, left := stretches(us)
	if left > 0 {
		parts = append(parts, fmt.Sprintf("%d more", left))
	}
	return "universes " + words.And(parts)
}

// stretches writes runs of three and more as "7 to 12", and counts the
// universes that are too many to name.
func stretches(us []protocol.Universe) (parts []string, left int) {
	for i := 0; i < len(us); {
		j := i
		for j+1 < len(us) && us[j+1] == us[j]+1 {
			j++
		}
		switch {
		case len(parts) >= mostNamed:
			left += j - i + 1
		case j >= i+2:
			parts = append(parts, fmt.Sprintf("%d to %d", us[i], us[j]))
		default:
			j = i
			parts = append(parts, fmt.Sprint(us[i]))
		}
		i = j + 1
	}
	return parts, left
}
