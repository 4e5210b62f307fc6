package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"time"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
)

// An Unfinished is a check-out under way, as it lies on disk until its end.
type Unfinished struct {
	Log   checkout.Log `json:"log"`
	At    time.Time    `json:"at"`            // of the last answer
	Run   string       `json:"run,omitempty"` // checked alone
	Alone bool         `json:"alone,omitempty"`
	// InPlace tells a run or part of the finished prop from a run on the bench.
	InPlace bool      `json:"in_place,omitempty"`
	Mended  []Finding `json:"mended,omitempty"`
}

// UnfinishedBeside is where the unfinished check-out of a prop file lies:
// porthole.check.json beside porthole.toml.
func UnfinishedBeside(propFile string) string {
	return strings.TrimSuffix(propFile, filepath.Ext(propFile)) + ".check.json"
}

// ReadUnfinished reads an unfinished check-out; ok is false when there is none.
func ReadUnfinished(path string) (u Unfinished, ok bool, err error) {
	text, err := prop.ReadFile(path, prop.MaxFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return u, false, nil
	case err != nil:
		return u, false, fmt.Errorf("the unfinished check-out can't be read: %w", err)
	}
	if err := json.Unmarshal(text, &u); err != nil {
		return u, false, fmt.Errorf("%s is not an unfinished check-out: %w; move it away to begin anew", path, err)
	}
	return u, true, nil
}

// WriteUnfinished puts it on disk whole or not at all.
func WriteUnfinished(path string, u Unfinished) error {
	text, err := json.MarshalIndent(u, "", " ")
	if err != nil {
		return err
	}
	return prop.WriteFile(path, append(text, '\n'))
}
