package markup

import (
	"encoding/xml"
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTextIsEscapedAndMarkupIsNot(t *testing.T) {
	var d Document
	d.Put("<p>50 %</p>")
	d.Putf(`<a title="%s">%s%s %d %.1f</a>`, `"<'&`, Raw("<b>"), "x\x00", 7, 0.25)
	var b strings.Builder
	n, err := d.WriteTo(&b)
	require.NoError(t, err)
	assert.Equal(t, `<p>50 %</p><a title="&#34;&lt;&#39;&amp;"><b>x`+"\uFFFD"+` 7 0.2</a>`, b.String())
	assert.Equal(t, int64(b.Len()), n)
}

// Whatever a text holds, a parser that is not ours reads one element with one
// attribute, both the text.
func TestATextCannotBecomeMarkup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("<>&\"'/=ab ;#3é灯"))).Draw(t, "text")
		var d Document
		d.Putf(`<a t="%s">%s</a>`, text, text)
		var b strings.Builder
		_, err := d.WriteTo(&b)
		require.NoError(t, err)
		var got struct {
			XMLName xml.Name `xml:"a"`
			T       string   `xml:"t,attr"`
			Text    string   `xml:",chardata"`
			Inner   []any    `xml:",any"`
		}
		require.NoError(t, xml.Unmarshal([]byte(b.String()), &got))
		assert.Equal(t, text, got.T)
		assert.Equal(t, text, got.Text)
		assert.Empty(t, got.Inner)
		assert.Equal(t, text, html.UnescapeString(Escape(text)))
	})
}
