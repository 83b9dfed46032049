package cli

import (
	"cmp"
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
			pages := map[string]string{"ohmward": manPage("ohmward",
				"finds shorts between two nets of a circuit board", []section{{"", welcome(c.Root())}})}
			for _, l := range listed(c.Root()) {
				pages["ohmward-"+l.Name()] = manPage("ohmward-"+l.Name(), l.Short, sections(l))
			}
			for name, text := range pages {
				if err := os.WriteFile(filepath.Join(args[0], name+".1"), []byte(text), 0o644); err != nil {
					return plain(err)
				}
			}
			return nil
		}}
}

// manPage is the page of ohmward itself or of a command, as its help has it.
func manPage(name, purpose string, parts []section) string {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH %s 1 \"\" %q\n.SH NAME\n%s \\- %s\n",
		roff(strings.ToUpper(name)), "ohmward "+versionOf().Version, roff(name), roff(purpose))
	for _, s := range parts {
		if s.text != "" {
			title := strings.ToUpper(strings.TrimSpace(cmp.Or(s.title, "Description")))
			fmt.Fprintf(&b, ".SH %s\n.nf\n%s\n.fi\n", title, roff(s.text))
		}
	}
	return b.String()
}

// roff writes text so that the formatter takes none of it as a command.
func roff(text string) string {
	return `\&` + strings.NewReplacer(`\`, `\e`, "-", `\-`, "\n", "\n\\&").Replace(text)
}
