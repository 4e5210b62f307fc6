package camera

import (
	"context"
	"os/exec"
	"regexp"
	"runtime"
	"strings"
	"time"

	"example.org/ringout/internal/words"
)

// A control is a setting of a camera that must not change while a sequence runs.
type control struct {
	name  string
	fixed string // the value that fixes the control
}

// locks lists the controls to fix by their video4linux names, newer and older
// ones (kernel documentation, "Camera Control Reference").
var locks = []struct {
	what  string
	tries []control
}{
	{"exposure", []control{{"auto_exposure", "1"}, {"exposure_auto", "1"}}},
	{"white balance", []control{{"white_balance_automatic", "0"}, {"white_balance_temperature_auto", "0"}}},
	{"focus", []control{{"focus_automatic_continuous", "0"}, {"focus_auto", "0"}}},
}

// A Hold is a camera whose controls are fixed until Release.
type Hold struct {
	Left string // a sentence about the controls that could not be fixed, "" for none

	tool, device string
	before       []string // earlier settings, as NAME=VALUE
}

// Lock fixes exposure, white balance and focus of a camera at their present values. This works
// only on Linux, with the program v4l2-ctl (from v4l-utils).
func Lock(ctx context.Context, s Source) *Hold {
	out := &Hold{device: s.args[len(s.args)-1]}
	tool, err := exec.LookPath("v4l2-ctl")
	if err == nil && s.Kind == Device && runtime.GOOS == "linux" {
		out.tool = tool
	}
	var left []string
	for _, l := range locks {
		if !out.holdAny(ctx, l.tries) {
			left = append(left, l.what)
		}
	}
	if len(left) > 0 {
		out.Left = "This camera sets its own " + words.And(left) + ": keep the room light steady."
	}
	return out
}

// holdAny fixes the first control that the camera has.
func (l *Hold) holdAny(ctx context.Context, tries []control) bool {
	for _, c := range tries {
		was, ok := l.value(ctx, c.name)
		if !ok || !l.set(ctx, c.name+"="+c.fixed) {
			continue
		}
		if now, _ := l.value(ctx, c.name); now != c.fixed {
			continue
		}
		if was != c.fixed {
			l.before = append(l.before, c.name+"="+was)
		}
		return true
	}
	return false
}

// controlValue matches a line of "v4l2-ctl --get-ctrl"; a menu control has its
// text after the value (v4l-utils, v4l2-ctl-common.cpp).
var controlValue = regexp.MustCompile(`(?m)^\w+: (-?\d+)\b`)

// value reads a control; false if the camera has none of that name.
func (l *Hold) value(ctx context.Context, name string) (string, bool) {
	if l.tool == "" {
		return "", false
	}
	out, err := exec.CommandContext(ctx, l.tool, "-d", l.device, "-C", name).Output()
	m := controlValue.FindSubmatch(out)
	if err != nil || m == nil {
		return "", false
	}
	return string(m[1]), true
}

// set sets a control, as NAME=VALUE.
func (l *Hold) set(ctx context.Context, to string) bool {
	out, err := exec.CommandContext(ctx, l.tool, "-d", l.device, "-c", to).CombinedOutput()
	return err == nil && !strings.Contains(string(out), "unknown control")
}

// releaseWait is the time limit for restoring a camera.
const releaseWait = 3 * time.Second

// Release restores the controls, since other programs use the camera too. It ignores errors:
// the camera may have been unplugged.
func (l *Hold) Release() {
	ctx, stop := context.WithTimeout(context.Background(), releaseWait)
	defer stop()
	for _, to := range l.before {
		l.set(ctx, to)
	}
	l.before = nil
}
