package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

const exits = `  0    done
  1    the input is bad or the work failed
  2    the command was used wrongly
  3    done, but not to be trusted
  4    the meter could not be reached
  130  interrupted`

func helpCommand(root *cobra.Command) *cobra.Command {
	var names []string
	for _, c := range listed(root) {
		names = append(names, cobra.CompletionWithDesc(c.Name(), c.Short))
	}
	return &cobra.Command{Use: "help [COMMAND]", Short: "what a command does", DisableFlagParsing: true,
		ValidArgs: names, RunE: func(_ *cobra.Command, args []string) error { return help(root, args) }}
}

// help prints the help of a command, or the short help.
func help(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return root.Help()
	}
	c, _, err := root.Find(args[:1])
	if err != nil || c == root {
		return unknownCommand(root, args[0])
	}
	return c.Help()
}

// listed gives the commands that the short help lists: those with a long one.
func listed(root *cobra.Command) (list []*cobra.Command) {
	for _, c := range root.Commands() {
		if c.Long != "" && !c.Hidden {
			list = append(list, c)
		}
	}
	return list
}

// welcome is the short help that stands for no command.
func welcome(root *cobra.Command) string {
	var b strings.Builder
	b.WriteString("ohmward finds where two shorted nets of a circuit board touch,\n" +
		"from the board's fabrication files and a few milliohm readings.\n\n")
	for _, c := range listed(root) {
		fmt.Fprintf(&b, "  %-18s %s\n", c.Use, c.Short)
	}
	b.WriteString("\nohmward COMMAND --help says more about one. To see the main job done on an\n" +
		"invented unit with a simulated meter: ohmward practice --auto\n")
	return b.String()
}

// section is a part of a command's help, or of its manual page.
type section struct{ title, text string }

// sections are the help of a command after its purpose. The description has no
// title.
func sections(c *cobra.Command) []section {
	example := strings.ReplaceAll("  "+c.Example, "\n", "\n  ")
	return []section{{"Usage\n", "  " + c.UseLine()}, {"", c.Long}, {"Flags\n", flagTable(flagsOf(c))},
		{"Exit codes\n", exits}, {"Example\n", strings.ReplaceAll(example, "\n  \n", "\n\n")}}
}

// commandHelp is the whole help of a command.
func commandHelp(c *cobra.Command) string {
	text := c.Short + "\n"
	for _, s := range sections(c) {
		if s.text != "" {
			text += "\n" + s.title + s.text + "\n"
		}
	}
	return text
}

// flagTable shows flags and what they are about in two columns.
func flagTable(flags []*pflag.Flag) string {
	wide := 0
	for _, f := range flags {
		wide = max(wide, len(written(f)))
	}
	var lines []string
	for _, f := range flags {
		about := strings.ReplaceAll(f.Usage, "\n", "\n"+strings.Repeat(" ", wide+4))
		lines = append(lines, fmt.Sprintf("  %-*s  %s", wide, written(f), about))
	}
	return strings.Join(lines, "\n")
}

// flagsOf gives a command's flags but --help, which all have.
func flagsOf(c *cobra.Command) (list []*pflag.Flag) {
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Name != "help" {
			list = append(list, f)
		}
	})
	return list
}

// written is a flag with its placeholder, "--copper 35um".
func written(f *pflag.Flag) string {
	return "--" + f.Name + either(f.NoOptDefVal == "", " "+f.Value.Type(), "")
}
