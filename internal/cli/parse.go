package cli

import (
	"strings"

	"ohmward/internal/nearest"
)

// parse reads a command's operands and flags, which may stand in any order.
// Both "--name value" and "--name=value" are taken; after "--" all are
// operands.
func (c *command) parse(args []string, env Env) (*call, error) {
	k := &call{Env: env, command: c}
	for i := 0; i < len(args); i++ {
		arg := args[i]
		switch {
		case arg == "--":
			k.operands = append(k.operands, args[i+1:]...)
			i = len(args)
		case arg == "-h" || arg == "--help":
			k.help = true
			return k, nil
		case !strings.HasPrefix(arg, "-") || arg == "-":
			k.operands = append(k.operands, arg)
		default:
			used, err := c.take(&k.set, arg, args[i+1:])
			if err != nil {
				return nil, err
			}
			i += used
		}
	}
	return k, c.count(k.operands)
}

// take reads one flag and tells how many of the arguments after it it used.
func (c *command) take(s *settings, arg string, after []string) (int, error) {
	name, value, joined := strings.Cut(strings.TrimLeft(arg, "-"), "=")
	o := c.option(name)
	if o == nil || !strings.HasPrefix(arg, "--") {
		return 0, c.unknownFlag(arg, name)
	}
	used := 0
	switch {
	case o.value == "" && joined:
		return 0, misuse(c.usageHint(), "--%s takes no value", name)
	case o.value != "" && !joined:
		if len(after) == 0 {
			return 0, misuse(c.usageHint(), "--%s needs a value, as in --%s %s", name, name, o.value)
		}
		value, used = after[0], 1
	}
	if err := o.set(s, value); err != nil {
		return 0, misuse(c.usageHint(), "--%s: %s", name, err)
	}
	return used, nil
}

func (c *command) option(name string) *option {
	for _, o := range c.flags {
		if o.name == name {
			return o
		}
	}
	return nil
}

func (c *command) unknownFlag(arg, name string) error {
	names := make([]string, len(c.flags))
	for i, o := range c.flags {
		names[i] = o.name
	}
	hint := c.usageHint()
	if n, near := nearest.Name(name, names); near {
		hint = "did you mean --" + n
	}
	return misuse(hint, "ohmward %s has no flag %s", c.name, strings.SplitN(arg, "=", 2)[0])
}

// count checks the number of operands.
func (c *command) count(operands []string) error {
	least := 0
	for _, o := range c.operands {
		if !strings.HasPrefix(o, "[") {
			least++
		}
	}
	switch {
	case len(operands) < least:
		return misuse(c.usageHint(), "%s is missing: %s", c.operands[len(operands)], c.usage())
	case len(operands) > len(c.operands):
		return misuse(c.usageHint(), "%q is one too many: %s", operands[len(c.operands)], c.usage())
	}
	return nil
}

func (c *command) usage() string {
	return strings.Join(append([]string{"ohmward", c.name}, c.operands...), " ") + " [flags]"
}

func (c *command) usageHint() string { return "ohmward " + c.name + " --help says more" }
