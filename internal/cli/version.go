package cli

import (
	"cmp"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"ohmward/internal/answer"

	"github.com/spf13/cobra"
)

func versionCommand(env Env) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{Use: "version", Short: "the version of this program",
		Args: countOperands,
		RunE: func(*cobra.Command, []string) error {
			v := versionOf()
			k := &call{Env: env, answerFlags: answerFlags{json: asJSON}}
			return k.print(v, func(p *page) { p.out.WriteString(versionText(v)) })
		}}
	c.Flags().BoolVar(&asJSON, "json", false, "the answer as one JSON object")
	return c
}

// versionOf is what the build says of the program.
func versionOf() *answer.Version {
	v := &answer.Version{Header: answer.NewHeader(), Version: "unknown", Go: runtime.Version(),
		Platform: runtime.GOOS + "/" + runtime.GOARCH}
	info, known := debug.ReadBuildInfo()
	if !known {
		return v
	}
	v.Version = cmp.Or(strings.Trim(info.Main.Version, "()"), "devel")
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			v.Revision = s.Value
		case "vcs.modified":
			v.Changed = s.Value == "true"
		}
	}
	return v
}

func versionText(v *answer.Version) string {
	text := "ohmward " + v.Version
	if v.Revision != "" {
		text += ", revision " + v.Revision[:min(len(v.Revision), 12)]
	}
	if v.Changed {
		text += " with changes"
	}
	return fmt.Sprintf("%s, %s, %s\n", text, v.Go, v.Platform)
}
