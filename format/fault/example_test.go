package fault_test

import (
	"errors"
	"fmt"
	"strings"

	"ohmward/format/excellon"
	"ohmward/format/fault"
)

// Every reader refuses a file with an Error and doubts it with Warnings.
func Example() {
	_, err := excellon.Read(strings.NewReader("M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0.0Y2.0\nM30\n"), "board.drl")
	var e *fault.Error
	if errors.As(err, &e) {
		fmt.Println(e.Kind, "in line", e.Line)
	}
	fmt.Println(err)

	f, _ := excellon.Read(strings.NewReader("M48\nMETRIC\nT1C0.8\n%\nT1\nM99\nX1.0Y1.0\nM30\n"), "board.drl")
	for _, w := range f.Warnings {
		fmt.Printf("line %d: %s\n", w.Line, w.What)
	}
	// Output:
	// malformed in line 6
	// excellon: board.drl:6: malformed number "1.0.0"
	// line 6: unknown code M99 ignored
}
