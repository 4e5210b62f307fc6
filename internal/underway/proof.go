package underway

import (
	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/record"
)

// ProofEntry is a proof by pictures for the record; source is the camera, film
// or folder as it was named.
func (d *Desk) ProofEntry(p *pictures.Proof, source string) record.Entry {
	e := record.FromPictures(p)
	e.Camera.Source = source
	return d.stamp(e, d.Text())
}
