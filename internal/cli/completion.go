package cli

import (
	"strings"

	"ohmward/internal/nearest"

	"github.com/spf13/cobra"
)

var shells = []string{"bash", "zsh", "fish", "powershell"}

func completionCommand(env Env) *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "completion of commands and flags for your shell",
		Long: `SHELL is bash, zsh, fish or powershell. The script printed makes the Tab key
complete ohmward's commands, flags and files. To have it in every new shell:

  bash        ohmward completion bash > ~/.local/share/bash-completion/completions/ohmward
  zsh         ohmward completion zsh > ~/.zfunc/_ohmward   (~/.zfunc in fpath)
  fish        ohmward completion fish > ~/.config/fish/completions/ohmward.fish
  powershell  ohmward completion powershell >> $PROFILE`,
		Example: `ohmward completion bash
# bash completion V2 for ohmward …`,
		ValidArgs: shells,
		RunE: func(c *cobra.Command, args []string) error {
			switch root := c.Root(); args[0] {
			case "bash":
				return root.GenBashCompletionV2(env.Out, true)
			case "zsh":
				return root.GenZshCompletion(env.Out)
			case "fish":
				return root.GenFishCompletion(env.Out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(env.Out)
			}
			hint := helpHint(c)
			if n, near := nearest.Name(args[0], shells); near {
				hint = "did you mean: ohmward completion " + n
			}
			return misuse(hint, "no completion for %q: there is one for %s", args[0], strings.Join(shells, ", "))
		},
	}
}

// completeFlags tells the shell what may follow: files for as many operands as
// the command takes, and for a flag what its placeholder says.
func completeFlags(c *cobra.Command) {
	if c.ValidArgs == nil {
		c.ValidArgsFunction = func(c *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) < len(operands(c)) {
				return nil, cobra.ShellCompDirectiveDefault
			}
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
	}
	for _, f := range flagsOf(c) {
		form, follow := f.Value.Type(), cobra.NoFileCompletions
		switch {
		case form == "FOLDER":
			follow = cobra.FixedCompletions(nil, cobra.ShellCompDirectiveFilterDirs)
		case strings.HasPrefix(form, "FILE"):
			follow = cobra.FixedCompletions(nil, cobra.ShellCompDirectiveDefault)
		case strings.Contains(form, "|"):
			follow = cobra.FixedCompletions(strings.Split(form, "|"), cobra.ShellCompDirectiveNoFileComp)
		}
		if err := c.RegisterFlagCompletionFunc(f.Name, follow); err != nil {
			panic(err) // the flag was just found
		}
	}
}
