package exits

import "os"

// watchReader watches nothing here: a write finds out.
func watchReader(*os.File, func()) {}
