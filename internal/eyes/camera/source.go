package camera

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// A Kind is the kind of a source.
type Kind uint8

// The kinds of source.
const (
	Folder Kind = iota // pictures and a scene.json
	Film               // a file
	Stream             // http, https, rtsp, rtsp+http, rtmp, tcp, udp
	Device             // a camera of this machine
)

// A Source is where pictures come from.
type Source struct {
	Kind Kind
	Name string   // as typed by the user
	args []string // ffmpeg's arguments that open it
}

// Past reports whether the pictures already exist, as in a film or a kept
// folder; the prop is then not lit.
func (s Source) Past() bool { return s.Kind == Folder || s.Kind == Film }

// Shown is a source's name without user name and password, for screens and records.
func Shown(name string) string {
	scheme, rest, address := strings.Cut(name, "://")
	host, path, deeper := strings.Cut(rest, "/")
	at := strings.LastIndex(host, "@")
	if !address || at < 0 {
		return name
	}
	out := scheme + "://" + host[at+1:]
	if deeper {
		out += "/" + path
	}
	return out
}

// Opening describes in a sentence what opening the source does; keeps means that its pictures
// are kept.
func (s Source) Opening(keeps bool) string {
	switch {
	case s.Past():
		return fmt.Sprintf("Reading %s.", s.Name)
	case keeps:
		return fmt.Sprintf("Opening the camera %s. Its light may come on; its pictures are kept and not sent.", s.Name)
	}
	return fmt.Sprintf("Opening the camera %s. Its light may come on; no picture is stored or sent.", s.Name)
}

// tunnel is our scheme for RTSP tunnelled through HTTP, as some phones send it.
const tunnel = "rtsp+http"

// schemes are the URL schemes of streams.
var schemes = []string{"http", "https", "rtsp", "rtsps", tunnel, "rtmp", "rtmps", "tcp", "udp"}

// Find returns the source for a name: a camera, a URL, a film or a folder. It refuses any
// other name.
func Find(name string) (Source, error) {
	if scheme, _, address := strings.Cut(name, "://"); address && slices.Contains(schemes, scheme) {
		return Source{Stream, name, streamArgs(name)}, nil
	}
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		if _, err := os.Stat(filepath.Join(name, sceneName)); err != nil {
			return Source{}, fmt.Errorf("the folder %s has no scene.json: give a folder that --keep wrote, a film, a camera or a stream's address", name)
		}
		return Source{Kind: Folder, Name: name}, nil
	case err == nil && info.Mode().IsRegular():
		return Source{Film, name, []string{"-i", "file:" + name}}, nil
	case err != nil && strings.ContainsAny(name, "./\\") && !strings.HasPrefix(name, "/dev/"):
		return Source{}, fmt.Errorf("there is no film, folder or camera %s: see \"ringout check --camera list\" for the cameras", name)
	}
	return Source{Device, name, deviceArgs(runtime.GOOS, name)}, nil
}

// streamArgs returns ffmpeg's arguments for a stream (ffmpeg-protocols(1), rtsp). RTSP prefers
// TCP, since a lost datagram would damage a picture, and falls back to UDP.
func streamArgs(name string) []string {
	args := []string{"-use_wallclock_as_timestamps", "1"}
	scheme, rest, _ := strings.Cut(name, "://")
	switch scheme {
	case tunnel:
		return append(args, "-rtsp_transport", "http", "-i", "rtsp://"+rest)
	case "rtsp", "rtsps":
		args = append(args, "-rtsp_flags", "prefer_tcp")
	case "http", "https":
		args = append(args, "-rw_timeout", "8000000") // microseconds without an octet
	}
	return append(args, "-i", name)
}

// deviceArgs returns ffmpeg's arguments for a camera (ffmpeg-devices(1)). The
// name is a number or a path on Linux, a number on macOS, a name on Windows.
func deviceArgs(system, name string) []string {
	switch system {
	case "darwin":
		return []string{"-f", "avfoundation", "-framerate", "30", "-i", name + ":none"}
	case "windows":
		return []string{"-f", "dshow", "-i", "video=" + name}
	}
	if name != "" && strings.Trim(name, "0123456789") == "" {
		name = "/dev/video" + name
	}
	return []string{"-f", "v4l2", "-i", name}
}
