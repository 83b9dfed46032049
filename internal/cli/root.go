package cli

import (
	"context"
	"strings"

	"ohmward/internal/nearest"

	"github.com/spf13/cobra"
)

// commands gives those that do the work, in the order of the help. A command
// stands here only once it works.
func commands(env Env) []*cobra.Command {
	return []*cobra.Command{
		boardCommand(env), resistanceCommand(env), suspectsCommand(env), locateCommand(env), practiceCommand(env),
		trialCommand(env), currentCommand(env), meterCommand(env), benchCommand(env), completionCommand(env),
	}
}

func init() {
	cobra.EnableCommandSorting = false // the order is that of commands
}

// newRoot gives the command ohmward with all others below it. It reads what
// stands before a command itself: that is help, the version or a mistake.
func newRoot(env Env) *cobra.Command {
	root := &cobra.Command{Use: "ohmward", SilenceErrors: true, SilenceUsage: true, DisableFlagParsing: true,
		Args: cobra.ArbitraryArgs, RunE: func(root *cobra.Command, args []string) error {
			if len(args) == 0 {
				return root.Help()
			}
			switch args[0] {
			case "-h", "--help":
				return help(root, args[1:])
			case "--version":
				return show(env.Out, versionText(versionOf()))
			}
			return unknownCommand(root, args[0])
		}}
	root.SetOut(env.Out)
	root.SetErr(env.Err)
	root.SetFlagErrorFunc(flagError)
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		text := commandHelp(c)
		if c == root {
			text = welcome(root)
		}
		show(env.Out, text)
	})
	for _, c := range append(commands(env), manCommand()) {
		c.Flags().SortFlags = false
		c.Args = countOperands
		completeFlags(c)
		root.AddCommand(c)
	}
	root.SetHelpCommand(helpCommand(root))
	root.AddCommand(versionCommand(env))
	return root
}

// dispatch finds the command and runs it.
func dispatch(ctx context.Context, args []string, env Env) error {
	root := newRoot(env)
	root.SetArgs(append([]string{}, args...)) // not nil, which cobra takes for the process's own
	return root.ExecuteContext(ctx)
}

// operands gives the placeholders of a command's operands: all compulsory but
// those in brackets, which stand last.
func operands(c *cobra.Command) []string { return strings.Fields(c.Use)[1:] }

// countOperands checks the number of operands.
func countOperands(c *cobra.Command, given []string) error {
	wanted := operands(c)
	switch {
	case len(given) < len(wanted) && !strings.HasPrefix(wanted[len(given)], "["):
		return misuse(helpHint(c), "%s is missing: %s", wanted[len(given)], c.UseLine())
	case len(given) > len(wanted):
		return misuse(helpHint(c), "%q is one too many: %s", given[len(wanted)], c.UseLine())
	}
	return nil
}

func unknownCommand(root *cobra.Command, name string) error {
	var names []string
	for _, c := range root.Commands() {
		if !c.Hidden {
			names = append(names, c.Name())
		}
	}
	hint := "ohmward help lists the commands"
	if n, near := nearest.Name(name, names); near {
		hint = "did you mean: ohmward " + n
	}
	return misuse(hint, "no command %q", name)
}
