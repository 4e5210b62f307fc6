package eyes

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkDecode reads 144 pixels at 1280x720 from the decoded pictures.
func BenchmarkDecode(b *testing.B) {
	s, looks, is := loadScene(b, "testdata/scenes/03-rings")
	markTwo(s, is, 1)
	b.ReportAllocs()
	for b.Loop() {
		_, err := Decode(s, looks)
		require.NoError(b, err)
	}
}
