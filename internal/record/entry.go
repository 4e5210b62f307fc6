// Package record keeps the bench record, the append-only history of one prop's
// check-outs, and makes the bench sheet that is handed over.
//
// The record is a file of JSON lines beside the prop file, one entry per line; see
// Entry for the schema. Units: metres, volts, amps, ohms. Pixels and slots count from 1
// in the files, since people read them; runs are identified by name.
package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// Schema is the version that this program writes. Readers accept versions 1 to Schema;
// a line of a later version is kept, reported and not read.
const Schema = 2

// A Verdict is how a check-out ended.
type Verdict string

// The verdicts. Stopped means that the builder left before the end, so the result is
// unknown.
const (
	Pass    Verdict = "pass"
	Fail    Verdict = "fail"
	Stopped Verdict = "stopped"
)

// An Entry is one line of the bench record. Fields that were not checked are left out:
// absent never means "good". The format is described in testdata/records/README.md.
type Entry struct {
	Schema   int       `json:"schema"`
	Kind     string    `json:"kind"`                // "check-out" or "note"
	At       time.Time `json:"at"`                  // when it ended
	Prop     string    `json:"prop"`                // the prop's name
	Ringout  string    `json:"ringout"`             // version of the program
	PropFile string    `json:"prop_file,omitempty"` // text of the prop file at that time
	Unfiled  bool      `json:"unfiled,omitempty"`   // checked with other figures than the prop file had, such as unsaved ones
	Test     string    `json:"test,omitempty"`      // a single test: "flex", "load", "run", "roll call"; empty for the whole prop
	Only     string    `json:"only,omitempty"`      // the run that was checked alone
	Verdict  Verdict   `json:"verdict,omitempty"`
	Steps    []Step    `json:"steps,omitempty"`
	Findings []Finding `json:"findings,omitempty"`
	Runs     []Run     `json:"runs,omitempty"`  // as found, in wiring order
	Order    string    `json:"order,omitempty"` // colour order as found
	Volts    []Reading `json:"volts,omitempty"`
	Joints   []Joint   `json:"joints,omitempty"`
	Notes    string    `json:"notes,omitempty"`
	Camera   *Camera   `json:"camera,omitempty"`   // what a camera saw; nil when the builder answered
	Built    []string  `json:"as_built,omitempty"` // what a camera read that is not as planned, one sentence each

	// Edited: the line was changed after ringout wrote it, so nothing in it vouches.
	Edited bool `json:"-"`

	// Prev and Sum chain the lines, so an edit by hand is detected. Sum is the last field:
	// the first 16 hexadecimal digits of SHA-256 over the line without it. Prev is the Sum
	// of the line before.
	Prev string `json:"prev,omitempty"`
	Sum  string `json:"sum,omitempty"`
}

// A Step is one probe with the answer it got.
type Step struct {
	Probe    string `json:"probe"` // its kind, machine-readable
	Question string `json:"question"`
	Answer   string `json:"answer"`
}

// A Finding is what is wrong (or good), where, how certain and what to do.
type Finding struct {
	Kind    string   `json:"kind"` // "good", a fault's kind, "network", "absent" or "unknown"
	Text    string   `json:"text"`
	Run     string   `json:"run,omitempty"`
	Pixel   int      `json:"pixel,omitempty"`   // from 1 in data order over the whole prop
	InRun   int      `json:"in_run,omitempty"`  // the same pixel from 1 inside its run
	Channel string   `json:"channel,omitempty"` // "blue"
	Sure    float64  `json:"sure,omitempty"`    // 0 to 1
	Remedy  []string `json:"remedy,omitempty"`  // in the order to try
	Bring   []string `json:"bring,omitempty"`   // parts the remedy needs
	Fixed   bool     `json:"fixed,omitempty"`   // repaired during the same check-out
	Because []string `json:"because,omitempty"` // the answers that led to it
	// Certainty is Sure in words and, where it is not certain, as a number: "very likely, 97 %".
	Certainty string `json:"certainty,omitempty"`
}

// A Run is the result for one run.
type Run struct {
	Name    string `json:"name"`
	Planned int    `json:"planned"`
	Found   int    `json:"found,omitempty"`  // 0 when not counted
	Travel  string `json:"travel,omitempty"` // "as planned", "reversed"; empty when not checked
}

// A Reading is a voltmeter reading at a pixel.
type Reading struct {
	Pixel int     `json:"pixel"` // from 1
	Level float64 `json:"level"` // 0 to 1
	Volts float64 `json:"volts"`
}

// A Joint is an estimate of a joint's resistance.
type Joint struct {
	Name      string  `json:"name"` // "ring 1 to ring 2"
	Ohms      float64 `json:"ohms"`
	PlusMinus float64 `json:"plus_minus,omitempty"` // one standard deviation
}

// A LineError is a problem with one line of a record file.
type LineError struct {
	File string `json:"file"`
	Line int    `json:"line"` // from 1
	Text string `json:"text"`
}

func (e *LineError) Error() string {
	return fmt.Sprintf("%s, line %d: %s", e.File, e.Line, e.Text)
}

// encode returns the entry as one line ending in a newline, chained to prev.
func encode(e Entry, prev string) ([]byte, string, error) {
	e.Schema, e.Prev, e.Sum = Schema, prev, ""
	bare, err := json.Marshal(e)
	if err != nil {
		return nil, "", fmt.Errorf("the entry can't be written as JSON: %w", err)
	}
	e.Sum = sum(bare)
	line, err := json.Marshal(e)
	if err != nil {
		return nil, "", fmt.Errorf("the entry can't be written as JSON: %w", err)
	}
	return append(line, '\n'), e.Sum, nil
}

// sum is the chain's digest of a line without its own sum.
func sum(bare []byte) string {
	h := sha256.Sum256(bare)
	return hex.EncodeToString(h[:8])
}

// Problems with a single line.
var (
	errTorn    = errors.New("the line is not whole, as after a power cut; it is set aside and nothing else is lost")
	errGarbled = errors.New("the line can't be read: a power cut or another program left it so; it is set aside and nothing else is lost")
	errEdited  = errors.New("the line was changed after ringout wrote it")
	errNewer   = errors.New("the line was written by a later ringout; it is kept but not read")
)

// decode reads one line without its newline. It returns an entry that was edited by
// hand together with errEdited.
func decode(line []byte) (Entry, error) {
	var e Entry
	line = bytes.TrimSpace(line) // some editors end lines in CR LF
	if err := json.Unmarshal(line, &e); err != nil {
		return Entry{}, newerOrGarbled(line)
	}
	switch {
	case e.Schema > Schema:
		return e, errNewer
	case e.Schema < 1 || e.Kind == "":
		return Entry{}, errors.New("the line is not an entry of a bench record")
	case e.Schema == 1:
		return e, nil // version 1 had the same fields and no chain
	}
	if bare, ok := withoutSum(line, e.Sum); !ok || sum(bare) != e.Sum {
		return e, errEdited
	}
	return e, nil
}

// newerOrGarbled says why a line does not fit an Entry: a later ringout may have
// changed the type of a field.
func newerOrGarbled(line []byte) error {
	var v struct {
		Schema int `json:"schema"`
	}
	if json.Unmarshal(line, &v) == nil && v.Schema > Schema {
		return errNewer
	}
	return errGarbled
}

// withoutSum removes the sum, which is the last field, from the raw line.
func withoutSum(line []byte, sum string) (bare []byte, ok bool) {
	front, ok := bytes.CutSuffix(line, []byte(`,"sum":"`+sum+`"}`))
	return append(bytes.Clone(front), '}'), ok
}
