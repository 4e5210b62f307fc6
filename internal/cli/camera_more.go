package cli

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/proving"
)

// oneMore offers another run, from nearer or from another side, where places
// were not read; for a film or a kept folder it offers another one. The
// readings of both are combined.
func (k *cameraCheck) oneMore(p steps.Proof) (_ steps.Proof, more bool, err error) {
	if p.Step != steps.Map || p.Unread() == 0 || !k.asks {
		return p, false, nil
	}
	if k.camera.Past {
		return k.anotherFilm(p)
	}
	text, err := k.ask("Type y to run it again from there; an empty line goes on with what was read: ")
	if err != nil || !strings.EqualFold(text, "y") {
		return p, false, err
	}
	return p.Closer().Unaimed(), true, nil
}

// anotherFilm asks for a film or a kept folder that adds to what was read. If
// the new one cannot be read, the earlier readings stay.
func (k *cameraCheck) anotherFilm(p steps.Proof) (_ steps.Proof, more bool, err error) {
	name, err := k.ask("Name a film or kept folder that shows them so, to add to this one; an empty line goes on with what was read: ")
	if err != nil || name == "" {
		return p, false, err
	}
	next, err := proving.Open(k.cmd.Context(), name, k.prop)
	if ended := k.cmd.Context().Err(); err != nil || !next.Past || len(next.Scene.Places()) != len(p.Scene.Places()) {
		if err == nil {
			next.Close()
			err = fmt.Errorf("%s is no film or kept folder of this prop", name)
		}
		fmt.Fprintf(k.out, "%v.\n", err)
		return p, ended == nil, ended
	}
	k.camera.Close()
	k.earlier += k.source + ", "
	k.camera, k.source = next, name
	q := next.Proof(k.level/100, nil).Adding(p.Result)
	if len(q.Marks) >= 2 {
		return q.Enough(), true, nil
	}
	return q.Unaimed(), true, nil
}
