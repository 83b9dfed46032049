package cli

import (
	"io"
	"strings"

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
			write, known := scripts[args[0]]
			if !known {
				return misuse(helpHint(c), "no completion for %q: there is one for %s",
					args[0], strings.Join(shells, ", "))
			}
			return write(c.Root(), env.Out)
		},
	}
}

// scripts writes the script of each shell.
var scripts = map[string]func(*cobra.Command, io.Writer) error{
	"bash":       func(root *cobra.Command, w io.Writer) error { return root.GenBashCompletionV2(w, true) },
	"zsh":        (*cobra.Command).GenZshCompletion,
	"fish":       func(root *cobra.Command, w io.Writer) error { return root.GenFishCompletion(w, true) },
	"powershell": (*cobra.Command).GenPowerShellCompletionWithDesc,
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
