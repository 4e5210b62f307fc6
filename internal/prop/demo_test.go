package prop

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDemoNamesAreThoseOfTheFiles(t *testing.T) {
	var names []string
	for _, p := range Demos() {
		names = append(names, p.Name)
	}
	assert.Equal(t, names, DemoNames())
}
