package cli

import (
	"fmt"
	"io"
	"strings"
)

const exits = `Exit codes
  0    done
  1    the input is bad or the work failed
  2    the command was used wrongly
  3    done, but not to be trusted
  4    the meter could not be reached
  130  interrupted
`

// help prints the help of a command, or the short help.
func help(args []string, w io.Writer) error {
	if len(args) == 0 {
		return show(w, welcome())
	}
	c := find(args[0])
	if c == nil {
		return unknownCommand(args[0])
	}
	return show(w, c.help())
}

// welcome is the short help that stands for no command.
func welcome() string {
	var b strings.Builder
	b.WriteString("ohmward finds where two nets of a circuit board touch that must be apart,\n" +
		"from the board's fabrication files and a few milliohm readings.\n\n")
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-18s %s\n", strings.Join(append([]string{c.name}, c.operands...), " "), c.purpose)
	}
	b.WriteString("\nohmward COMMAND --help says more about one. To see the main job done on an\n" +
		"invented unit with a simulated meter: ohmward practice --auto\n")
	return b.String()
}

// help is the whole help of a command.
func (c *command) help() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\nUsage\n  %s\n\n%s\n\nFlags\n", c.purpose, c.usage(), strings.TrimSpace(c.about))
	wide := 0
	for _, o := range c.flags {
		wide = max(wide, len(o.written()))
	}
	for _, o := range c.flags {
		for i, line := range strings.Split(o.about, "\n") {
			left := ""
			if i == 0 {
				left = o.written()
			}
			fmt.Fprintf(&b, "  %-*s  %s\n", wide, left, line)
		}
	}
	fmt.Fprintf(&b, "\n%s\nExample\n", exits)
	for _, line := range strings.Split(strings.TrimSpace(c.example), "\n") {
		b.WriteString(strings.TrimRight("  "+line, " ") + "\n")
	}
	return b.String()
}

func (o *option) written() string {
	return strings.TrimSpace("--" + o.name + " " + o.value)
}
