package link

import (
	"os"
	"testing"
)

// long skips what takes longer than a quick test run should.
func long(t testing.TB) {
	t.Helper()
	if os.Getenv("RINGOUT_LONG") != "1" && os.Getenv("RINGOUT_TOOLS") != "1" {
		t.Skip("takes long: set RINGOUT_LONG=1")
	}
}
