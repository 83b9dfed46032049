// Command ohmward finds where two shorted nets of a circuit board touch, from
// the board's fabrication files and a few milliohm readings.
package main

import (
	"os"

	"ohmward/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], cli.System()))
}
