package underway

import (
	"slices"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/record"
)

// ProofEntry makes the record entry of a proof by camera.
func (d *Desk) ProofEntry(p *pictures.Proof) record.Entry {
	return d.stamp(record.FromPictures(p), d.Text())
}

// Sign adds the result of a test to the proof by camera that waits for it, and a
// paragraph to the result that says whether the prop is signed off. If it is, e is the
// entry for the record.
func (d *Desk) Sign(t *Trial, r *single.Result) (e record.Entry, signed bool) {
	p := t.Proof
	if p == nil {
		return e, false
	}
	p.Tested(t.Kind(), *r)
	text := ""
	switch signed = p.Good(); {
	case signed:
		e = d.ProofEntry(p)
		text = "Signed off: every place was read by camera and is as planned. " + p.Open()
	case !r.Good:
		text = "Not signed off, though every place was read and is as planned: mend this, then take this test once more."
	case !r.Whole:
		text = "Not signed off, though every place was read and is as planned: this test has to be gone through whole."
	case slices.Contains(p.Left(), t.Kind()):
		text = "Not signed off, though every place was read and is as planned: these readings leave room for too much resistance somewhere. Take them once more, with the tips firmly on the pads."
	default:
		text = p.LeftWhy()
	}
	r.Lines = append(r.Lines, single.Paragraph{Text: text})
	return e, signed
}
