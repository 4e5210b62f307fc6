package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/testkit/filmtest"
)

// needFilmTools skips a test where POV-Ray or ffmpeg is missing, unless the
// tools are required.
func needFilmTools(t *testing.T) {
	if os.Getenv("RINGOUT_TOOLS") == "" && os.Getenv("RINGOUT_LONG") == "" && os.Getenv("RINGOUT_FILMS") == "" {
		t.Skip("RINGOUT_TOOLS=1 renders a film and reads it, half a minute")
	}
	if missing := filmtest.Missing(); len(missing) > 0 {
		if os.Getenv("RINGOUT_TOOLS") != "" {
			t.Fatalf("%v must be installed", missing)
		}
		t.Skipf("%v not installed", missing)
	}
}

// TestFilms tests a proof by film end to end: the built program shows the sequence on
// a prop simulated by another process, POV-Ray renders its light, ffmpeg compresses the
// pictures, and the built program reads the film. It makes one film; with RINGOUT_LONG=1
// 44, with RINGOUT_FILMS=FIRST-LAST those given. The results are in
// testdata/eyes-proofs.md.
func TestFilms(t *testing.T) {
	t.Parallel() // it waits for other programs, and works long
	needFilmTools(t)
	first, last := 4, 4
	if os.Getenv("RINGOUT_LONG") != "" {
		first, last = 1, 44
	}
	if v := os.Getenv("RINGOUT_FILMS"); v != "" {
		_, err := fmt.Sscanf(v, "%d-%d", &first, &last)
		require.NoError(t, err)
	}
	for seed := first; seed <= last; seed++ {
		t.Run(strconv.Itoa(seed), func(t *testing.T) {
			s := filmSceneOf(uint64(seed))
			r, p, looks, spacing := runFilm(t, s)
			row := fmt.Sprintf("| %d | %s | %s | %.0f | %.1f | %.2f | %.2f | %.1f | %d | %s |", seed, s.prop, s.fault, s.room.Tilt, spacing, s.room.Exposure, s.room.Ambient, s.room.Shake, s.room.Noise, s.codec)
			if r.Refusal != "" {
				t.Logf("%s – | – | – | %s |", row, r.Refusal)
				return
			}
			n := scoreFilm(t, p, r, looks)
			found := ""
			if len(r.Findings) > 0 {
				found = r.Findings[0].Title
			}
			t.Logf("%s %d | %d | %d | %s %s |", row, n.right, n.wrong+n.lost, n.unread, found, strings.Join(r.Disagree, " "))
			require.Zero(t, n.wrong)
			require.Zero(t, n.lost)
			if s.fault != "" {
				require.False(t, r.Good, "signed off in spite of %s", s.fault)
			}
		})
	}
}

// On the command line the program asks for missing marks and repeats the format after a
// wrong answer. An empty line ends the questions, and the marks so far are used.
func TestLinesAskForMarks(t *testing.T) {
	folder := "../eyes/testdata/scenes/02-star"
	text, err := os.ReadFile(filepath.Join(folder, "truth.json"))
	require.NoError(t, err)
	var is struct{ Pixels []struct{ X, Y float64 } }
	require.NoError(t, json.Unmarshal(text, &is))
	at := func(place int) string { return fmt.Sprintf("%.0f,%.0f\n", is.Pixels[place].X, is.Pixels[place].Y) }
	scene, err := camera.ReadScene(folder)
	require.NoError(t, err)
	places := steps.Places(scene)
	answers := "here\n"
	for _, i := range places {
		answers += at(i)
	}
	code, out, errs := command(t, answers, "check", "--camera", folder)
	require.Zero(t, code, "%s%s", out, errs)
	require.Contains(t, out, "Read the places off a lit picture in "+folder)
	require.Equal(t, len(places)+1, strings.Count(out, "Type X,Y in camera pixels from the upper left, of"))
	require.Contains(t, out, "\"here\": write X,Y, such as 320,134.")
	require.Contains(t, out, "mid, places 1 to 40: shows the data of pixel 90 to pixel 51, against the plan's direction", "as truth.json has it")

	_, out, _ = command(t, "", "check", "--camera", folder, "--json")
	var refused struct {
		Mark     []int `json:"mark_places"`
		Spots    []struct{ Sure bool }
		Measures struct {
			Spacing float64 `json:"spacing_px"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &refused))
	require.Len(t, refused.Mark, len(places), "programs are told which places want to be marked")
	require.Equal(t, 1, refused.Mark[0])
	require.Greater(t, len(refused.Spots), 110, "the spots are read, though nothing is laid on the plan")
	require.InDelta(t, 19, refused.Measures.Spacing, 1, "as scene.json has it")

	two := []string{"check", "--camera", folder, "--mark", fmt.Sprintf("1=%s", strings.TrimSpace(at(0))), "--mark", fmt.Sprintf("%d=%s", places[1]+1, strings.TrimSpace(at(places[1])))}
	code, out, errs = command(t, at(places[2])+"\n", two...)
	require.Zero(t, code, "%s%s", out, errs)
	require.Equal(t, 2, strings.Count(out, "Type X,Y in camera pixels"), "four on an irregular prop; an empty line leaves it at three")
	require.Contains(t, out, "mid, places 1 to 40: shows the data of pixel 90 to pixel 51")

	code, out, errs = command(t, at(0)+"\n", "check", "--camera", folder)
	require.NotZero(t, code, out)
	require.Contains(t, errs, "no places are marked")
	code, _, errs = command(t, "", "check", "--camera", folder, "--mark", "1="+strings.TrimSpace(at(0)), "--mark", "900=1,1")
	require.NotZero(t, code)
	require.Contains(t, errs, "places 1 to 120")
}

// If places of a kept folder were not read, the program asks for another folder. If that
// cannot be read, it continues with the readings so far.
func TestLinesAskForAnotherFolder(t *testing.T) {
	folder := "../eyes/testdata/scenes/08-star" // its pixels flicker
	text, err := os.ReadFile(filepath.Join(folder, "truth.json"))
	require.NoError(t, err)
	var is struct{ Pixels []struct{ X, Y float64 } }
	require.NoError(t, json.Unmarshal(text, &is))
	args := []string{"check", "--camera", folder}
	for _, i := range []int{0, 20, 30, 10} {
		args = append(args, "--mark", fmt.Sprintf("%d=%.0f,%.0f", i+1, is.Pixels[i].X, is.Pixels[i].Y))
	}
	code, out, errs := command(t, "../eyes/testdata\n../eyes/testdata/scenes/02-star\n", args...)
	require.Zero(t, code, "%s%s", out, errs)
	require.Contains(t, out, "has no scene.json")
	require.Equal(t, 3, strings.Count(out, "Name a film or kept folder"), "again after a folder without pictures, and after one that was not marked")
	require.Contains(t, out, "Type X,Y in camera pixels", "the marks of the second folder")
	require.Contains(t, out, "The second run says nothing: no places are marked")
	require.Contains(t, out, "of 120 places were not read")
}

// Every problem with a camera is reported in one sentence that says what to do.
func TestTroubleWithACameraIsOneSentence(t *testing.T) {
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("ffmpeg is not installed")
	}
	file := propAt(t, "porthole", 5568)
	dir := t.TempDir()
	text := filepath.Join(dir, "text.mp4")
	require.NoError(t, os.WriteFile(text, []byte("no film"), 0o644))
	plain := filepath.Join(dir, "plain.mp4")
	out, err := exec.Command("ffmpeg", "-loglevel", "error", "-f", "lavfi", "-i", "testsrc=size=160x120:rate=10:duration=3", plain).CombinedOutput()
	require.NoError(t, err, "%s", out)
	for _, r := range []struct {
		args []string
		says string
	}{
		{[]string{file, "--camera", text}, "is no film or stream that ffmpeg can read"},
		{[]string{file, "--camera", plain}, "does not show the sequence"},
		{[]string{file, "--camera", filepath.Join(dir, "none.mp4")}, "there is no film, folder or camera"},
		{[]string{file, "--camera", dir}, "has no scene.json"},
		{[]string{file, "--camera", "/dev/video77"}, "there is no camera /dev/video77"},
		{[]string{file, "--camera", "http://127.0.0.1:9/"}, "start the stream on the phone"},
		{[]string{file, "--camera", plain, "--mark", "1"}, "write PLACE=X,Y"},
		{[]string{file, "--camera", plain, "--mark", "900=1,1"}, "places 1 to 144"},
		{[]string{file, "--camera", plain, "--camera-level", "0"}, "more than 0"},
		{[]string{file, "--camera", plain, "--flex"}, "proves a whole prop"},
		{[]string{file, "--camera", plain, "--keep", "../eyes/testdata/scenes/02-star"}, "already has pictures: name another one"},
		{[]string{"--sequence"}, "no prop file given"},
	} {
		code, _, errs := command(t, "", append([]string{"check"}, r.args...)...)
		require.NotZero(t, code, "%v", r.args)
		require.Contains(t, errs, r.says, "%v", r.args)
	}
}
