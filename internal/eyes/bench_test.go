package eyes

import (
	"bytes"
	"image"
	"os"
	"path/filepath"
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

// BenchmarkLine reads 300 pixels at 1920x1080, pictures and all; the scene is
// in the folder that RINGOUT_SCENES names.
func BenchmarkLine(b *testing.B) {
	dir := filepath.Join(os.Getenv("RINGOUT_SCENES"), "04-line")
	if _, err := os.Stat(dir); os.Getenv("RINGOUT_SCENES") == "" || err != nil {
		b.Skip("RINGOUT_SCENES names no folder with 04-line")
	}
	s, _, is := loadScene(b, dir)
	markTwo(s, is, 1)
	b.ReportAllocs()
	for b.Loop() {
		var looks []Picture
		for _, l := range s.Looks {
			data, err := os.ReadFile(filepath.Join(dir, l.File))
			require.NoError(b, err)
			img, _, err := image.Decode(bytes.NewReader(data))
			require.NoError(b, err)
			looks = append(looks, FromImage(img))
		}
		_, err := Decode(s, looks)
		require.NoError(b, err)
	}
}
