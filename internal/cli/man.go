package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

// manCommand writes manual pages; it is hidden, being for packagers alone.
func manCommand() *cobra.Command {
	return &cobra.Command{Use: "man FOLDER", Short: "write manual pages into a folder", Hidden: true,
		Long:    "One page for ohmward and one for each of its commands, ohmward-COMMAND.1.",
		Example: "ohmward man share/man/man1",
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return plain(err)
			}
			pages := map[string]string{"ohmward": manRoot(c.Root())}
			for _, l := range listed(c.Root()) {
				pages["ohmward-"+l.Name()] = manPage(l)
			}
			for name, text := range pages {
				if err := os.WriteFile(filepath.Join(args[0], name+".1"), []byte(text), 0o644); err != nil {
					return plain(err)
				}
			}
			return nil
		}}
}

// manRoot is the page of ohmward itself.
func manRoot(root *cobra.Command) string {
	var b strings.Builder
	manHead(&b, "ohmward", "finds where two nets of a circuit board touch that must be apart", "ohmward COMMAND")
	b.WriteString(".SH COMMANDS\n")
	for _, c := range listed(root) {
		fmt.Fprintf(&b, ".TP\n.BR ohmward\\-%s (1)\n%s\n", c.Name(), roff(c.Short))
	}
	return b.String()
}

// manPage is the page of a command, with what its help says.
func manPage(c *cobra.Command) string {
	var b strings.Builder
	manHead(&b, "ohmward-"+c.Name(), c.Short, c.UseLine())
	verbatim(&b, "DESCRIPTION", c.Long)
	if flags := flagsOf(c); len(flags) > 0 {
		b.WriteString(".SH OPTIONS\n")
		for _, f := range flags {
			fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(written(f)), roff(f.Usage))
		}
	}
	verbatim(&b, "EXIT STATUS", strings.TrimPrefix(exits, "Exit codes\n"))
	verbatim(&b, "EXAMPLE", c.Example)
	return b.String()
}

func manHead(b *strings.Builder, name, purpose, usage string) {
	fmt.Fprintf(b, ".TH %s 1 \"\" %q\n.SH NAME\n%s \\- %s\n.SH SYNOPSIS\n.B %s\n",
		roff(strings.ToUpper(name)), "ohmward "+version(), roff(name), roff(purpose), roff(usage))
}

// verbatim is a section whose lines stand as they are.
func verbatim(b *strings.Builder, title, text string) {
	fmt.Fprintf(b, ".SH %s\n.nf\n%s\n.fi\n", title, roff(strings.TrimRight(text, "\n")))
}

// roff writes text so that the formatter takes none of it as a command.
func roff(text string) string {
	b := strings.Builder{}
	b.WriteString(`\&`)
	for _, r := range text {
		switch {
		case r == '\n':
			b.WriteString("\n\\&")
		case r == '\\':
			b.WriteString(`\e`)
		case r == '-':
			b.WriteString(`\-`)
		case r > '~':
			fmt.Fprintf(&b, `\[u%04X]`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
