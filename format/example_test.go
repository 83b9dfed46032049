package format_test

import (
	"fmt"

	"ohmward/format"
)

func ExampleSniff() {
	fmt.Println(format.Sniff("board.txt", []byte("%FSLAX24Y24*%\n%MOMM*%\n")))
	fmt.Println(format.Sniff("board.txt", []byte("M48\nMETRIC,TZ\nT1C0.3\n%\n")))
	fmt.Println(format.Sniff("board.txt", []byte("P  JOB   logger\nP  UNITS CUST 0\n")))
	fmt.Println(format.Sniff("board.txt", []byte("Upload these files to order the board.\n")))
	// Output:
	// Gerber
	// Excellon
	// IPC-D-356
	// unknown
}

func ExampleGerberRole() {
	for _, name := range []string{"logger-In1_Cu.gbr", "logger.GTS", "Board Outline.gbr"} {
		role, why := format.GerberRole(name, nil)
		fmt.Printf("%v: %s\n", role, why)
	}
	// Output:
	// copper L2: its name says "in1 cu"
	// mask top: ending .gts
	// profile: its name says "outline"
}

func ExampleDrillRole() {
	role, why := format.DrillRole("logger-PTH-L1-L2.drl", nil)
	fmt.Printf("%v: %s\n", role, why)
	// Output:
	// drill plated 1-2: name
}
