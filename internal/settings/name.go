package settings

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"example.org/ringout/protocol"
)

// DefaultName is the source name unless the builder sets one.
const DefaultName = "ringout bench"

// nameFile holds the name on one line.
const nameFile = "source-name"

// SourceName is the source name to send (ANSI E1.31-2018 6.2.2): the saved one, or
// DefaultName. A saved name that is too long is refused, not truncated.
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

// KeepSourceName saves a source name for later sessions.
func (f Folder) KeepSourceName(name string) error {
	if err := protocol.CheckName(name); err != nil {
		return err
	}
	return f.Write(nameFile, []byte(name+"\n"))
}
