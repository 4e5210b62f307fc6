package camera

import (
	"context"
	"os/exec"
	"runtime"
	"strings"

	"example.org/ringout/internal/words"
)

// locks are the controls of a camera that must not wander while a sequence
// runs, as video4linux names them, old names and new (kernel documentation,
// "Camera Control Reference").
var locks = []struct {
	what  string
	tries []string
}{
	{"exposure", []string{"auto_exposure=1", "exposure_auto=1"}},
	{"white balance", []string{"white_balance_automatic=0", "white_balance_temperature_auto=0"}},
	{"focus", []string{"focus_automatic_continuous=0", "focus_auto=0"}},
}

// Lock holds exposure, white balance and focus of a camera where it is now.
// It returns a sentence about those that could not be held, "" for none. Only
// Linux's cameras let a program do so from outside, with v4l2-ctl.
func Lock(ctx context.Context, s Source) string {
	var left []string
	tool, err := exec.LookPath("v4l2-ctl")
	for _, l := range locks {
		if err != nil || s.Kind != Device || runtime.GOOS != "linux" || !tryAny(ctx, tool, s, l.tries) {
			left = append(left, l.what)
		}
	}
	if len(left) == 0 {
		return ""
	}
	return "This camera sets its own " + words.And(left) + ": keep the room light steady."
}

func tryAny(ctx context.Context, tool string, s Source, tries []string) bool {
	device := s.args[len(s.args)-1]
	for _, t := range tries {
		out, err := exec.CommandContext(ctx, tool, "-d", device, "-c", t).CombinedOutput()
		if err == nil && !strings.Contains(string(out), "unknown control") {
			return true
		}
	}
	return false
}
