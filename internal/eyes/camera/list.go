package camera

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
)

// A Camera is a camera of this machine.
type Camera struct {
	Use   string // argument of --camera
	Title string // as its maker named it
}

// List returns the cameras of this machine. On macOS and Windows it gets them from ffmpeg.
func List(ctx context.Context) ([]Camera, error) {
	switch runtime.GOOS {
	case "darwin":
		return asked(ctx, parseAVFoundation, "-f", "avfoundation", "-list_devices", "true", "-i", "")
	case "windows":
		return asked(ctx, parseDirectShow, "-f", "dshow", "-list_devices", "true", "-i", "dummy")
	}
	return videoDevices("/dev", "/sys/class/video4linux"), nil
}

// asked runs ffmpeg and parses the list that it prints to standard error.
func asked(ctx context.Context, parse func(string) []Camera, args ...string) ([]Camera, error) {
	path, err := exec.LookPath("ffmpeg")
	if err != nil {
		return nil, ErrNoFFmpeg
	}
	out, _ := exec.CommandContext(ctx, path, append([]string{"-hide_banner", "-nostdin"}, args...)...).CombinedOutput()
	return parse(string(out)), nil
}

// parseAVFoundation reads the video devices from the list on macOS.
func parseAVFoundation(text string) []Camera {
	numbered := regexp.MustCompile(`\[AVFoundation [^]]*\] \[(\d+)\] (.+)`)
	text, _, _ = strings.Cut(text, "AVFoundation audio devices")
	var out []Camera
	for _, m := range numbered.FindAllStringSubmatch(text, -1) {
		if title := strings.TrimSpace(m[2]); !strings.HasPrefix(title, "Capture screen") {
			out = append(out, Camera{m[1], title})
		}
	}
	return out
}

// parseDirectShow reads the list on Windows.
func parseDirectShow(text string) []Camera {
	quoted := regexp.MustCompile(`\[dshow [^]]*\] +"([^"]+)" \(video\)`)
	var out []Camera
	for _, m := range quoted.FindAllStringSubmatch(text, -1) {
		out = append(out, Camera{m[1], m[1]})
	}
	return out
}

// videoDevices lists the cameras on Linux. A camera has a node for pictures and
// often a second one for metadata, with an index above 0, which is left out.
func videoDevices(dev, sys string) []Camera {
	nodes, _ := filepath.Glob(filepath.Join(dev, "video*")) // Glob fails only on a malformed pattern
	slices.Sort(nodes)
	var out []Camera
	for _, n := range nodes {
		about := filepath.Join(sys, filepath.Base(n))
		if index, err := os.ReadFile(filepath.Join(about, "index")); err == nil && strings.TrimSpace(string(index)) != "0" {
			continue
		}
		title, _ := os.ReadFile(filepath.Join(about, "name")) // if this fails the node is the title
		out = append(out, Camera{n, strings.TrimSpace(string(title))})
	}
	return out
}
