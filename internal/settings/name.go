package settings

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"example.org/ringout/protocol"
)

// DefaultName is what receivers see of ringout unless the builder names it.
const DefaultName = "ringout bench"

// nameFile holds the name on one line.
const nameFile = "source-name"

// SourceName is the name to send under (ANSI E1.31-2018 6.2.2): the kept one,
// or DefaultName. A kept name that does not fit is refused, not cut.
func (f Folder) SourceName() (string, error) {
	text, err := f.Read(nameFile)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return DefaultName, nil
	case err != nil:
		return DefaultName, fmt.Errorf("the source name can't be read: %w", err)
	}
	name := strings.TrimSpace(string(text))
	if err := protocol.CheckName(name); err != nil {
		return DefaultName, fmt.Errorf("%s: %w; or remove the file, and the name is %q", f.path(nameFile), err, DefaultName)
	}
	return name, nil
}

// KeepSourceName keeps a name for the evenings to come.
func (f Folder) KeepSourceName(name string) error {
	if err := protocol.CheckName(name); err != nil {
		return err
	}
	return f.Write(nameFile, []byte(name+"\n"))
}
