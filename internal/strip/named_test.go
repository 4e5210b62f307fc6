package strip

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

// A fault within a run is not called one of a joint, where there is none: by its name in a list, its
// sentence, its large words and its remedy. At a joint, what is open is called the joint.
func TestNoJointIsNamedWithinARun(t *testing.T) {
	p, joints := prop.Porthole(), 0
	for _, kind := range Kinds() {
		if s := FactsOf(kind).Scope; s != FromPixel && s != AtPixel {
			continue
		}
		f := Every(kind, p)[0]
		for f.Pixel = range p.Pixels() {
			said := append([]string{f.Name(p), f.Sentence(p)}, f.Large(p)...)
			_, at := p.Find(f.Pixel)
			if at > 0 {
				for _, s := range said {
					assert.NotContains(t, s, "joint", "%s", f)
				}
				assert.NotContains(t, f.Remedy(p), "Re-solder the data joint", "%s", f)
				continue
			}
			if kind == OpenJoint {
				joints++
				assert.Equal(t, "data joint open", f.Name(p))
			}
		}
	}
	assert.Equal(t, len(p.Runs), joints)
	assert.NotContains(t, FactsOf(OpenJoint).Name, "joint", "wherever it is")
}
