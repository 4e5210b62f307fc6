// Package markup writes HTML whose texts are escaped. It is used instead of
// html/template because that calls methods by name at run time, so that the
// linker must keep every exported method of the whole program.
package markup

import (
	"fmt"
	"io"
	"strings"
)

// Raw is markup that stays as it is, such as a drawing.
type Raw string

// A Document collects HTML.
type Document struct{ text strings.Builder }

// Put adds markup as it is.
func (d *Document) Put(markup Raw) { d.text.WriteString(string(markup)) }

// Putf adds a format of package fmt, which is markup, with its values. Strings
// among the values are escaped; Raw is not. Values of other types must not
// print what HTML gives a meaning to: numbers do not.
func (d *Document) Putf(format string, values ...any) {
	safe := make([]any, len(values))
	for i, v := range values {
		safe[i] = v
		if s, yes := v.(string); yes {
			safe[i] = Escape(s)
		}
	}
	fmt.Fprintf(&d.text, format, safe...)
}

// WriteTo writes the document, as io.WriterTo says.
func (d *Document) WriteTo(w io.Writer) (int64, error) {
	n, err := io.WriteString(w, d.text.String())
	return int64(n), err
}

// escapes are the characters with a meaning in text and in quoted attributes,
// and the one that HTML forbids (WHATWG HTML 13.2.5.1 replaces it likewise).
var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;", "\x00", "\uFFFD")

// Escape is a text as HTML shows it.
func Escape(text string) string { return escapes.Replace(text) }
