package cli

import (
	"context"
	"runtime/debug"
	"strings"

	"ohmward/internal/bench"
	"ohmward/internal/nearest"
)

// command is one row of the command table.
type command struct {
	name     string
	operands []string // placeholders, all compulsory but those in brackets, which stand last
	purpose  string   // one line
	about    string   // a paragraph or two, wrapped by hand at 76 columns
	flags    []*option
	example  string // a real command and what it prints
	run      func(context.Context, *call) error
}

// call is one command line, read.
type call struct {
	Env
	command  *command
	operands []string
	help     bool
	set      settings
}

// settings is what the flags of all commands set.
type settings struct {
	bench.Options
	json, timing, auto bool
	from, to           string
	givenRadius        bool
	pairs, at          string // files
	nets               []string
	picture            string
	budget             bool
	seed               uint64
	fault, meter       string
	trial              trialFlags
	current            currentFlags
	bench              benchFlags
}

// commands is the table, in the order of the help. A command stands here
// only once it works.
func commands() []*command {
	return []*command{
		boardCommand(), resistanceCommand(), suspectsCommand(), locateCommand(), practiceCommand(),
		trialCommand(), currentCommand(), benchCommand(),
	}
}

func find(name string) *command {
	for _, c := range commands() {
		if c.name == name {
			return c
		}
	}
	return nil
}

func unknownCommand(name string) error {
	names := []string{"help", "version"}
	for _, c := range commands() {
		names = append(names, c.name)
	}
	hint := "ohmward help lists the commands"
	if n, near := nearest.Name(name, names); near {
		hint = "did you mean: ohmward " + n
	}
	return misuse(hint, "no command %q", name)
}

// version gives the version that the build carries.
func version() string {
	info, known := debug.ReadBuildInfo()
	if !known {
		return "unknown"
	}
	v := strings.Trim(info.Main.Version, "()")
	if v == "" {
		v = "devel"
	}
	return v + " " + info.GoVersion
}
