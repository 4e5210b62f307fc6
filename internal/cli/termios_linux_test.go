package cli

import "golang.org/x/sys/unix"

const termiosOf = unix.TCGETS
