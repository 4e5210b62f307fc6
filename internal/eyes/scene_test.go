package eyes

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

const smallScene = `{"prop":"line","runs":[{"name":"a","pixels":2,"places_m":[[0,0],[0.1,0]]}],"wire_order":"grb","slots_per_pixel":3,"level":0.2,
"looks":[{"file":"0.png","name":"black"},{"file":"1.png","name":"all0"},{"file":"2.png","name":"code0"},{"file":"3.png","name":"code1"}],
"code":[[0,1],[2,0]],"marks":[{"place":2,"x":10,"y":20.5}]}`

func TestASceneIsRead(t *testing.T) {
	s, err := ParseScene([]byte(smallScene))
	require.NoError(t, err)
	require.Equal(t, "GRB", s.Order)
	require.Equal(t, []Point{{0, 0}, {0.1, 0}}, s.Places())
	require.Equal(t, []Mark{{Place: 1, At: Point{10, 20.5}}}, s.Marks)
	require.Equal(t, []Look{{Kind: Black, File: "0.png"}, {Kind: All, File: "1.png"}, {Kind: Code, File: "2.png"}, {Kind: Code, Index: 1, File: "3.png"}}, s.Looks)
	require.True(t, s.Lit(s.Looks[2], 0), "pixel 1 lights its first slot in code0")
	require.True(t, s.Lit(s.Looks[3], 3), "pixel 2 lights its first slot in code1")
	require.False(t, s.Lit(s.Looks[3], 6), "no slot after the last pixel is lit")
}

func TestABadSceneIsRefusedInASentence(t *testing.T) {
	for _, r := range []struct{ from, to, says string }{
		{`"pixels":2`, `"pixels":3`, "3 pixels but 2 places"},
		{`"slots_per_pixel":3`, `"slots_per_pixel":0`, "slots_per_pixel is 0"},
		{`"slots_per_pixel":3`, `"slots_per_pixel":9`, "slots_per_pixel is 9"},
		{`[2,0]]`, `[2]]`, "word 2 of code has 1 looks"},
		{`[2,0]]`, `[3,0]]`, "word 2 of code has slot 3"},
		{`[2,0]]`, `[-1,0]]`, "word 2 of code has slot -1"},
		{`"code":[[0,1],[2,0]]`, `"code":[]`, "code is missing"},
		{`"name":"black"`, `"name":"full"`, `"black" is missing`},
		{`"name":"code1"`, `"name":"all1"`, "1 of 2 code looks"},
		{`"name":"code1"`, `"name":"code2"`, `"code2" is not one of`},
		{`"name":"code1"`, `"name":"code0"`, `"code0" is listed twice`},
		{`"name":"all0"`, `"name":"all3"`, `"all3" is not one of`},
		{`"1.png"`, `"../1.png"`, `lies beside scene.json`},
		{`"1.png"`, `"..\\1.png"`, `lies beside scene.json`},
		{`"1.png"`, `""`, `lies beside scene.json`},
		{`"place":2`, `"place":3`, "a mark is for place 3"},
		{`"x":10`, `"x":1e99`, "give camera pixels"},
		{`[0.1,0]`, `[1e99,0]`, "give metres"},
		{`"runs":[`, `"runs":7,"x":[`, "cannot be read"},
		{`{"name":"a","pixels":2,"places_m":[[0,0],[0.1,0]]}`, ``, "no run has a place"},
	} {
		require.Contains(t, smallScene, r.from)
		_, err := ParseScene([]byte(strings.Replace(smallScene, r.from, r.to, 1)))
		require.ErrorContains(t, err, r.says, "%s -> %s", r.from, r.to)
		require.NotContains(t, err.Error(), "\n")
	}
}

func FuzzScene(f *testing.F) {
	f.Add([]byte(smallScene))
	if b, err := os.ReadFile("testdata/scenes/02-star/scene.json"); err == nil {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ParseScene(data)
		if err != nil {
			return
		}
		again, err := MarshalScene(s)
		require.NoError(t, err)
		same, err := ParseScene(again)
		require.NoError(t, err)
		require.Equal(t, s, same)
	})
}

// What a camera cannot prove is one sentence that names the way that can.
func TestWhatNoCameraCanProve(t *testing.T) {
	p := prop.Porthole()
	_, err := SceneOf(p)
	require.NoError(t, err)
	p.Runs = p.Runs[:1]
	p.Runs[0].Pixels = 1
	_, err = SceneOf(p)
	require.ErrorContains(t, err, "use the bulb's own test")
	p = prop.Porthole()
	p.Chip.Order = "RGBWC"
	_, err = SceneOf(p)
	require.ErrorContains(t, err, "pixels of 5 slots")
	p = prop.Porthole()
	p.Runs[0].Pixels = MaxPixels
	_, err = SceneOf(p)
	require.ErrorContains(t, err, "check the prop in parts")
}
