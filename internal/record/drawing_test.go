package record

import (
	"encoding/xml"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// count reads the picture with an XML parser (encoding/xml) and counts
// elements and texts.
func count(t *testing.T, svg string) (map[string]int, []string) {
	t.Helper()
	els, texts := map[string]int{}, []string(nil)
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return els, texts
		}
		require.NoError(t, err)
		switch tok := tok.(type) {
		case xml.StartElement:
			els[tok.Name.Local]++
		case xml.CharData:
			if s := strings.TrimSpace(string(tok)); s != "" {
				texts = append(texts, s)
			}
		}
	}
}

func picture(p *prop.Prop) string {
	svg, _, _ := drawingSVG(p)
	return svg
}

func TestDrawingShowsEveryPixelAndEnd(t *testing.T) {
	for _, p := range prop.Demos() {
		els, texts := count(t, picture(p))
		assert.Equal(t, p.Pixels(), els["circle"], p.Name)
		n := 0
		for i, r := range p.Runs {
			assert.Contains(t, texts, r.Name)
			assert.Contains(t, texts, itoa(n+1))
			n += r.Pixels
			assert.Contains(t, texts, itoa(n))
			if i > 0 {
				assert.Contains(t, texts, "J"+itoa(i+1))
			}
		}
		for i := range p.Feeds {
			assert.Contains(t, texts, "F"+itoa(i+1))
		}
		assert.Equal(t, len(p.Feeds), els["rect"])
	}
}

func TestDrawingOfHostileNames(t *testing.T) {
	p := prop.Porthole()
	p.Name = `<script>"&'` + "\x00\x1b[31m\xff"
	p.Runs[0].Name = `a<b & "c"` + "\x07"
	_, texts := count(t, picture(p))
	assert.Contains(t, texts, `a<b & "c"`)
}

func itoa(n int) string { return strconv.Itoa(n) }
