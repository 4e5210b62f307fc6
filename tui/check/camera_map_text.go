package check

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// text is the result in words, with an empty row between its parts; on a low page only if all
// of it fits.
func (p mapPage) text(m Model, width, height int) []string {
	blocks := p.blocks(m, width)
	if low := m.size.Height < lowPage; p.inText(m) && !(low && len(p.weighed.Findings) > 0 && !p.weighed.Result.Unlit) { // what is wrong comes first on a low page
		head := style.Wrap(p.headline(), width)
		for i, l := range head {
			head[i] = p.headlineLook(m).Render(l)
		}
		blocks = append([][]string{head}, blocks...)
	}
	if all := slices.Concat(blocks...); m.size.Height < lowPage && len(all)+len(blocks)-1 > height {
		return all
	}
	var out []string
	for i, b := range blocks {
		if i > 0 {
			out = append(out, "")
		}
		out = append(out, b...)
	}
	return out
}

// inText reports whether the headline is part of the text: the large words stand in its place, and the map
// has its rows.
func (p mapPage) inText(m Model) bool {
	return (m.size.Height < lowPage || m.size.Width >= narrow) && letterRows(m.size.Height) > 0
}

// blocks are the parts of the text.
func (p mapPage) blocks(m Model, width int) [][]string {
	t := &blockText{width: width}
	if p.weighed.Result.Unlit {
		t.add(plain, p.weighed.UnlitDoubt())
		t.end()
	}
	if len(p.weighed.Findings) > 0 {
		p.cause(t, m)
	}
	t.add(m.style.Warn.Render, p.weighed.Against...)
	t.add(m.style.Warn.Render, p.weighed.Sags()...)
	t.add(plain, p.weighed.Beside(), p.weighed.Earlier, p.weighed.LeftReasons())
	t.end()
	t.add(m.style.Quiet.Render, "As the camera read it:")
	var right []string // what is not as planned comes first, so that it is in sight
	for _, b := range p.weighed.Built {
		if text := p.weighed.Scene.Text(b) + "."; b.Verdict == eyes.Right || b.Verdict == eyes.Nothing {
			right = append(right, text)
		} else {
			t.add(plain, text)
		}
	}
	t.add(plain, right...)
	t.end()
	if !p.weighed.Result.Unlit {
		p.strength(t, m)
	}
	return t.blocks
}

// cause is the likeliest finding, and how sure it is.
func (p mapPage) cause(t *blockText, m Model) {
	f := p.weighed.Findings[0]
	sure := "How sure: " + f.Chance()
	if n := len(f.Causes); n > 1 { // light does not tell which, so that none stands out
		t.add(m.style.Strong.Render, fmt.Sprintf("%d causes look the same. Try first:", n))
		t.add(plain, f.Title)
		sure += fmt.Sprintf(", that it is one of the\u00a0%d: see the findings", n)
	} else {
		t.add(m.style.Strong.Render, f.Title)
	}
	t.add(plain, sure+".")
	t.end()
}

// strength is the light along each run as bars, with lengths in proportion to the runs.
func (p mapPage) strength(t *blockText, m Model) {
	t.add(m.style.Quiet.Render, "Light along each run. 1.00 is the median of all pixels; a dot is dark or was not read.")
	t.end()
	longest := 1
	for _, a := range p.weighed.Along {
		longest = max(longest, len(a.Read))
	}
	for _, a := range p.weighed.Along {
		read, planned := a.Text(max(1, min(t.width-28, 40, longest)*len(a.Read)/longest))
		t.block = append(t.block, style.Clean(a.Run), "  "+read, "  "+m.style.Quiet.Render(planned))
		t.end()
	}
	measures := p.weighed.Result.Measures
	t.add(m.style.Quiet.Render, fmt.Sprintf("%.0f camera pixels between neighbours, light %.0f times the noise, level %s.", measures.Spacing, measures.Signal, words.WholePercent(p.proof.Level)))
	t.end()
}

// A blockText is a text of several parts, each of wrapped lines.
type blockText struct {
	width  int
	block  []string // the current part
	blocks [][]string
}

// add wraps texts into the current part; an empty one adds nothing.
func (t *blockText) add(render func(...string) string, texts ...string) {
	for _, text := range texts {
		if text == "" {
			continue
		}
		for _, l := range style.Wrap(style.Clean(text), t.width) {
			t.block = append(t.block, render(l))
		}
	}
}

// end ends the current part, unless it is empty.
func (t *blockText) end() {
	if len(t.block) > 0 {
		t.blocks = append(t.blocks, t.block)
	}
	t.block = nil
}
