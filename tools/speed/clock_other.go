//go:build !unix

package main

import "time"

// processorTime is not told here in the same way; the harness then fails for
// want of figures rather than compare with nothing.
func processorTime() time.Duration { return 0 }
