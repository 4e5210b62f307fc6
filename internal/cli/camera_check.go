package cli

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
)

// byCamera proves a prop by a camera's pictures, or shows the sequence. Where
// the camera cannot prove it, the check-out continues with questions.
func (f *checkFlags) byCamera(c *cobra.Command, args []string) error {
	if err := f.cameraMisuse(args); err != nil {
		return wrong(c, err)
	}
	if f.camera.source == "list" {
		return listCameras(c.Context(), c.OutOrStdout())
	}
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(picturesRoom))
	if len(args) == 0 {
		_, err := f.prove(c, nil, "")
		return err
	}
	path := args[0]
	p, doc, err := prop.Load(path)
	if err != nil {
		return err
	}
	if f.camera.sequence {
		return f.cameraCheck(c, p).showSequence()
	}
	proof, err := f.prove(c, p, path)
	switch {
	case err != nil && c.Context().Err() == nil && !asksMore(err):
		return f.askInstead(c, path, err)
	case err != nil:
		return err
	}
	if err := f.keepProof(c, path, doc, proof); err != nil {
		return err
	}
	switch {
	case f.json:
		return nil
	case proof.Unread() > 0 && proof.Wrong() == 0:
		return f.askAbout(c, path, proof)
	}
	return f.signOff(c, path, proof)
}

// signOff continues with the tests that remain before a prop without a finding
// is signed off.
func (f *checkFlags) signOff(c *cobra.Command, path string, proof *pictures.Proof) error {
	oneInput(c)
	for left := proof.Left(); len(left) > 0; left = proof.Left() {
		fmt.Fprintln(c.OutOrStdout())
		err := f.single(c, path, left[0], proof)
		switch {
		case c.Context().Err() != nil:
			return err
		case err != nil:
			fmt.Fprintf(c.ErrOrStderr(), "ringout: not signed off: %v.\n", err)
		}
		if err != nil || len(proof.Left()) == len(left) {
			return nil // the result of the camera stays valid
		}
	}
	return nil
}

// keepProof writes a proof into the record and offers what it found to the prop
// file, unless no record is wanted.
func (f *checkFlags) keepProof(c *cobra.Command, path string, doc *prop.Document, proof *pictures.Proof) error {
	if f.noRecord {
		return nil
	}
	if err := recordProof(c, path, proof); err != nil {
		return err
	}
	return f.takeOverProof(c, path, doc, proof)
}

// askAbout asks about the places that were not read, where all others are as
// planned.
func (f *checkFlags) askAbout(c *cobra.Command, path string, proof *pictures.Proof) error {
	about := "the prop"
	if runs := proof.UnreadRuns(); len(runs) == 1 && len(proof.Prop.Runs) > 1 {
		f.part = proof.Prop.Runs[runs[0]].Name
		about = fmt.Sprintf("run %q", f.part)
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: the check-out goes on by asking about %s, where places were not read.\n", about)
	f.plain = true
	return f.one(c, path)
}

// asksMore reports whether the user must supply something missing, such as a
// mark; questions about the prop cannot replace it.
func asksMore(err error) bool {
	usage, refusal := (*markError)(nil), (*eyes.Refusal)(nil)
	return errors.As(err, &usage) || errors.As(err, &refusal) && refusal.Kind == eyes.NoMarks
}

// askInstead prints why the camera cannot prove the prop, and starts the check-out
// by questions.
func (f *checkFlags) askInstead(c *cobra.Command, path string, why error) error {
	fmt.Fprintf(c.ErrOrStderr(), "ringout: %v. The check-out goes on by asking.\n", why)
	f.plain = !f.json
	return f.one(c, path)
}

// takeOverProof writes what was proved into the prop file, if the user agrees and it
// is certain.
func (f *checkFlags) takeOverProof(c *cobra.Command, path string, doc *prop.Document, proof *pictures.Proof) error {
	found, ok := proof.AsBuilt()
	if !ok {
		return nil
	}
	return f.takeOver(c, path, doc, single.AsBuilt{Found: found})
}

// picturesRoom is the memory limit of the Go runtime, in octets, while pictures are read
// (runtime/debug.SetMemoryLimit). The looks of a large camera take 200 MB, and without a
// limit the collector would let as much garbage accumulate.
const picturesRoom = 240 << 20

// cameraMisuse refuses flags that do not go together.
func (f *checkFlags) cameraMisuse(args []string) error {
	switch {
	case len(args) > 1:
		return errors.New("--camera checks one prop at a time: give one file")
	case f.test() != "" || f.part != "" || f.alone != "":
		return errors.New("--camera proves a whole prop: leave --flex, --load, --bulb, --count, --part and --run out")
	case f.camera.sequence && f.camera.source != "":
		return errors.New("--sequence shows the looks to be filmed, --camera reads them: give one, then the other")
	case f.camera.sequence && len(args) == 0:
		return errors.New("--sequence needs the prop file")
	case !(f.camera.level > 0 && f.camera.level <= 100):
		return fmt.Errorf("--camera-level %g: give more than 0 and at most 100 percent", f.camera.level)
	case f.camera.keep != "":
		if err := camera.MayKeep(f.camera.keep); err != nil {
			return fmt.Errorf("--keep: %w", err)
		}
	}
	return nil
}

// prove reads the pictures and writes the result. It returns no proof when the
// camera could not see well enough. Without a prop, path is empty.
func (f *checkFlags) prove(c *cobra.Command, p *prop.Prop, path string) (*pictures.Proof, error) {
	k := f.cameraCheck(c, p)
	read, err := k.read()
	if err == nil {
		err = read.Trouble
	}
	switch {
	case c.Context().Err() != nil:
		return nil, errStopped
	case err != nil && f.json && k.camera.Scene != nil:
		out := &eyes.Result{Measures: read.Measures}
		if r := read.Refused; r != nil {
			out.Measures, out.Usual = r.Measures, r.Usual
			if r.Refusal.Kind == eyes.NoMarks { // after any other refusal the spots are not reliable either
				out.Spots = r.Spots
			}
		}
		out.Refusal = refusalOf(err)
		err = errors.Join(err, pictures.RefusalJSON(c.OutOrStdout(), k.camera.Scene, out, k.wanted))
	}
	if err != nil {
		return nil, k.remedy(err)
	}
	proof, err := pictures.Weigh(p, read.Scened(), read.Result)
	if err != nil {
		return nil, err
	}
	proof.Source = f.camera.earlier + camera.Shown(f.camera.source)
	if path != "" {
		deskFor(proof, path).Earlier(proof)
	}
	if f.json {
		return proof, proof.JSON(c.OutOrStdout())
	}
	proof.Text(c.OutOrStdout())
	return proof, nil
}

func (f *checkFlags) cameraCheck(c *cobra.Command, p *prop.Prop) *cameraCheck {
	k := &cameraCheck{cameraFlags: &f.camera, cmd: c, out: c.OutOrStdout(), asks: !f.json, prop: p}
	if f.json {
		k.out = io.Discard
	}
	return k
}

// refusalOf returns the refusal of the pictures in err.
func refusalOf(err error) *eyes.Refusal {
	if r := (*eyes.Refusal)(nil); errors.As(err, &r) {
		return r
	}
	return &eyes.Refusal{Kind: eyes.NoPictures, Text: err.Error()}
}

// remedy adds to an error how to mark places, which needs kept pictures.
func (k *cameraCheck) remedy(err error) error {
	r := (*eyes.Refusal)(nil)
	if !errors.As(err, &r) || r.Kind != eyes.NoMarks {
		return err
	}
	from := k.keep
	switch {
	case from == "" && k.camera.Past:
		from = k.source
	case from == "":
		return fmt.Errorf("%w; give --mark 1=X,Y and another, or --keep FOLDER first and read the places off its pictures", err)
	}
	return fmt.Errorf("%w; read the places off a lit picture of %s, and give them with --camera %s --mark 1=X,Y --mark N=X,Y", err, from, from)
}

// recordProof puts the proof into the bench record.
func recordProof(c *cobra.Command, path string, proof *pictures.Proof) error {
	file := record.Beside(path)
	if err := appendTo(c, file, deskFor(proof, path).ProofEntry(proof)); err != nil {
		return err
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: recorded in %s\n", file.Path)
	return nil
}

// deskFor returns the prop of a proof together with its files.
func deskFor(proof *pictures.Proof, path string) *underway.Desk {
	return underway.NewDesk(underway.Options{Prop: proof.Prop, Path: path, Version: versionText()})
}
