//go:build !linux

package cli

import "os"

// closedBefore cannot be told here.
func closedBefore(*os.File) bool { return false }
